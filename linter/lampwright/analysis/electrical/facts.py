"""What is known of currents, voltages and powers once they are computed: plain data that rules and papers read.

All in SI. An unlimited current is `math.inf`.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import sqrt
from typing import Literal, NamedTuple

from lampwright.analysis.electrical.weakness import LawfulElement, WeakFact, weak_figures
from lampwright.model.circuit import Diode, PlacedLamp
from lampwright.model.lighting import Output
from lampwright.model.values import Figure
from lampwright.records import dataclass
from lampwright.text import Span


@dataclass(frozen=True, slots=True)
class Range:
    """One quantity in the cold corner, with all usual values, and in the hot corner."""

    lowest: float
    usual: float
    highest: float


@dataclass(frozen=True, slots=True)
class Corner:
    """The figures behind the current of an element in one corner.

    `forward_voltage` and `resistance` are the sums over what is in series with it on its own way from the common to the
    output, itself included, None where there is none.
    """

    supply: float
    forward_voltage: float | None
    resistance: float | None

    @property
    def data(self) -> Mapping[str, float | None]:
        """As it stands in the JSON output."""
        return {
            "supply": self.supply,
            "forward-voltage": self.forward_voltage,
            "resistance": self.resistance,
        }


class Corners(NamedTuple):
    """The figures behind the lowest, the usual and the highest current."""

    lowest: Corner
    usual: Corner
    highest: Corner


Basis = Figure | Literal["current", "lead", "bounded"]
"""What was measured and so counts instead of the supply: the volts at the output, the current through it, that through
the common lead in the same state, or that in another state, which bounds this one."""


@dataclass(frozen=True, slots=True)
class ElementFacts:
    """What one element of a circuit carries.

    It hangs on the weak figures `of_supply` and on all elements of its network, `beside`, itself among them.
    `hottest_resistance` is the value inside a resistor's tolerance at which its power is highest, in ohms; None for
    other elements, and where no current flows. What returns to a rail gets all this for `share_of_time` only. Of its
    rating a resistor stands the share `derating` in the warmth of the shell. `basis` is what of it was measured.
    """

    element: LawfulElement
    path: str
    current: Range
    voltage: Range
    power: Range
    corners: Corners
    hottest_resistance: float | None
    of_supply: tuple[WeakFact, ...]
    beside: tuple[LawfulElement, ...]
    share_of_time: float = 1.0
    derating: float = 1.0
    basis: Basis | None = None

    @property
    def weak(self) -> tuple[WeakFact, ...]:
        """The weak figures that any of this hangs on."""
        return (*self.of_supply, *[fact for element in self.beside for fact in weak_figures(element)])

    @property
    def span(self) -> Span:
        """Where the element stands in the circuit."""
        return self.element.span

    @property
    def corner(self) -> Corner:
        """The hot one."""
        return self.corners.highest

    @property
    def average_power(self) -> float:
        """Watts over all the time, with all usual values: what warms a shell."""
        return self.share_of_time * self.power.usual

    @property
    def effective_voltage(self) -> Range:
        """Volts that would heat the same, if they stood all the time: what counts for a filament."""
        share = sqrt(self.share_of_time)
        return Range(share * self.voltage.lowest, share * self.voltage.usual, share * self.voltage.highest)


@dataclass(frozen=True, slots=True)
class LedString:
    """The forward voltages that one current has to overcome, added up, with the LEDs and diodes that they belong to.

    Where the way splits, the branch that needs least counts. `supply` is what there is for them, and `of_supply` its
    weak figures.
    """

    total: Range
    elements: tuple[PlacedLamp | Diode, ...]
    supply: Range
    of_supply: tuple[WeakFact, ...]

    @property
    def weak(self) -> tuple[WeakFact, ...]:
        """The weak figures that this hangs on."""
        own = [fact for element in self.elements for fact in weak_figures(element) if fact.what == "forward-voltage"]
        return (*self.of_supply, *own)


@dataclass(frozen=True, slots=True)
class OutputFacts:
    """One output, fully on and alone, with the common lead in series.

    `elements` are those of its own circuit, in reading order; `forward_voltages` has one item for each chain with an
    LED of its own, where the common lead and the outermost chain are one. `basis` is what was measured at it.
    """

    output: Output
    supply: Range
    current: Range
    elements: tuple[ElementFacts, ...]
    forward_voltages: tuple[LedString, ...]
    of_supplies: tuple[WeakFact, ...]
    behind: tuple[LawfulElement, ...]
    basis: Basis | None = None

    @property
    def weak(self) -> tuple[WeakFact, ...]:
        """The weak figures of all supplies, and of all elements up to the common lead, in reading order."""
        return (*self.of_supplies, *[fact for element in self.behind for fact in weak_figures(element)])


@dataclass(frozen=True, slots=True)
class CommonFacts:
    """The common lead's own elements, and the current of all outputs, with several outputs on together.

    `is_upper_bound` where there is more than one output, for the keys may never turn on all of them. What returns to a
    rail is in `current`, but does not flow through the common lead. `basis` is what was measured of it.
    """

    supply: Range
    current: Range
    elements: tuple[ElementFacts, ...]
    is_upper_bound: bool
    of_supplies: tuple[WeakFact, ...]
    behind: tuple[LawfulElement, ...]
    basis: Basis | None = None

    @property
    def weak(self) -> tuple[WeakFact, ...]:
        """The weak figures of all supplies and of all elements, in reading order."""
        return (*self.of_supplies, *[fact for element in self.behind for fact in weak_figures(element)])


@dataclass(frozen=True, slots=True)
class Undetermined:
    """An output whose currents this analysis cannot tell, where and what it lacks, in short plain words.

    `output` is None for the common lead.
    """

    output: Output | None
    span: Span
    lacks: str
