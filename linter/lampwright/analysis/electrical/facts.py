"""What is known of currents, voltages and powers once they are computed: plain data that rules and papers read.

All in SI. An unlimited current is `math.inf`.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import sqrt
from typing import Literal, NamedTuple

from lampwright.model.circuit import Board, Diode, Driver, PlacedLamp, Regulator, Resistor
from lampwright.model.lighting import Output
from lampwright.model.values import Figure
from lampwright.records import dataclass
from lampwright.text import Span

LawfulElement = Resistor | PlacedLamp | Diode | Regulator | Board | Driver
"""An element with a law of its own; the others are made of these, or could not be read."""

WeakWhat = Literal[
    "common",
    "regulated",
    "track",
    "drop",
    "resistance",
    "forward-voltage",
    "built-in-resistor",
    "voltage",
    "current",
    "needs",
    "board",
]
"""Of the supply: common, regulated, track, drop (the decoder's). Of an element: the rest; a diode's drop is a forward
voltage, `board` the straight line through the one point that is known of a lighting board."""


@dataclass(frozen=True, slots=True)
class Range:
    """One quantity in the cold corner, with all usual values, and in the hot corner."""

    lowest: float
    usual: float
    highest: float


@dataclass(frozen=True, slots=True)
class WeakFact:
    """A figure that a verdict may not lean on for more than a warning: what it is, and of which element if of one."""

    what: WeakWhat
    figure: Figure
    element: LawfulElement | None = None


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


Basis = Figure | Literal["current"]
"""What was measured and so counts instead of the supply: the volts at the output, or the current through it."""


@dataclass(frozen=True, slots=True)
class ElementFacts:
    """What one element of a circuit carries. `weak` are the weak figures that any of this hangs on.

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
    weak: tuple[WeakFact, ...]
    share_of_time: float = 1.0
    derating: float = 1.0
    basis: Basis | None = None

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

    Where the way splits, the branch that needs least counts. `supply` is what there is for them.
    """

    total: Range
    elements: tuple[PlacedLamp | Diode, ...]
    supply: Range
    weak: tuple[WeakFact, ...]


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
    weak: tuple[WeakFact, ...]
    basis: Basis | None = None


@dataclass(frozen=True, slots=True)
class CommonFacts:
    """The common lead's own elements, and the current of all outputs, with several outputs on together.

    `is_upper_bound` where there is more than one output, for the keys may never turn on all of them. What returns to a
    rail is in `current`, but does not flow through the common lead.
    """

    supply: Range
    current: Range
    elements: tuple[ElementFacts, ...]
    is_upper_bound: bool
    weak: tuple[WeakFact, ...]


@dataclass(frozen=True, slots=True)
class Undetermined:
    """An output whose currents this analysis cannot tell, where and what it lacks, in short plain words.

    `output` is None for the common lead.
    """

    output: Output | None
    span: Span
    lacks: str
