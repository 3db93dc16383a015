"""What hangs between the common wire and an output: chains of resistors, lamps and the rest, in SI, names resolved."""

from __future__ import annotations

from collections.abc import Sequence

from lampwright.lazily import cached_property
from lampwright.model.values import Figure
from lampwright.records import dataclass
from lampwright.text import Span


@dataclass(frozen=True, slots=True)
class Led:
    """An LED. `forward_voltage` holds at `test_current`; `wish` is the current that the installer wants, if said.

    Volts, amperes, ohms. `built_in_resistor` is zero where the LED has none.
    """

    forward_voltage: Figure
    test_current: float
    wish: Figure | None
    maximum_current: Figure
    built_in_resistor: Figure
    colour: str | None = None


@dataclass(frozen=True, slots=True)
class Bulb:
    """An incandescent lamp: `current` flows at `voltage`; `current` carries the bulb's tolerance as its spread."""

    voltage: Figure
    current: Figure
    maximum_voltage: Figure


@dataclass(frozen=True, slots=True)
class StockLamp:
    """A lamp of a catalogue. `span` is its name there. `kind` is None if its data could not be read.

    `count` is how many there are, `pack` how many are sold together.
    """

    name: str
    span: Span
    kind: Led | Bulb | None
    count: int | None = None
    pack: int | None = None


@dataclass(frozen=True, slots=True)
class Lamp:
    """A lamp of the plan. `span` is its name where it is defined. `kind` is None if its data could not be read.

    `part` is the lamp of a catalogue that it is, None where it has data of its own or no catalogue has it.
    """

    name: str
    span: Span
    kind: Led | Bulb | None
    part: StockLamp | None = None


@dataclass(frozen=True, slots=True)
class Resistor:
    """A resistor in a circuit. `resistance` carries the tolerance as its spread, ohms; `rating` is in watts.

    `rating` is None where neither the plan, the catalogue nor the settings state one, as far as they could be read:
    `rating_is_readable` is false where one may be stated in what was dropped with a problem. `tolerance` is the share
    that is written at this place, None where the spread comes from elsewhere; `size` is its case, if that is said.
    """

    span: Span
    resistance: Figure
    rating: Figure | None
    tolerance: float | None = None
    rating_is_readable: bool = True
    size: str | None = None


@dataclass(frozen=True, slots=True)
class PlacedLamp:
    """A lamp's name in a circuit. `lamp` is None if no such lamp is defined."""

    span: Span
    name: str
    lamp: Lamp | None
    reversed: bool = False


@dataclass(frozen=True, slots=True)
class Diode:
    """A plain diode with its forward drop, volts."""

    span: Span
    drop: Figure


@dataclass(frozen=True, slots=True)
class Regulator:
    """A current regulator: amperes it lets through, volts it needs for itself."""

    span: Span
    current: Figure
    needs: Figure | None


@dataclass(frozen=True, slots=True)
class Board:
    """A ready-made lighting board: volts it is made for, amperes it takes there."""

    span: Span
    voltage: Figure
    current: Figure


@dataclass(frozen=True, slots=True)
class Driver:
    """A transistor that a logic-level output commands; the rest of the chain hangs on it. `limit` in amperes."""

    span: Span
    limit: Figure


@dataclass(frozen=True, slots=True)
class Unreadable:
    """An element that was dropped with a problem, or whose data were; whatever depends on it rests.

    `hides_lamps` is false where it can be seen to be no lamp.
    """

    span: Span
    hides_lamps: bool = True


@dataclass(frozen=True)
class Chain:
    """Elements in series, from the common wire to the output. `rail` marks one that returns to a rail instead.

    `rail_span` is where that is said.
    """

    span: Span
    elements: tuple[Element, ...]
    rail_span: Span | None = None

    # Nearly all rules ask for these of nearly all circuits.
    @cached_property
    def leaves(self) -> tuple[Element, ...]:
        """Every element in it that is neither a chain nor a parallel, in reading order."""
        if not any(isinstance(part, Chain | Parallel) for part in self.elements):
            return self.elements
        return tuple([leaf for part in self.elements for leaf in leaves(part)])

    @cached_property
    def lamps(self) -> tuple[PlacedLamp, ...]:
        """Every lamp in it, in reading order."""
        return tuple([leaf for leaf in self.leaves if isinstance(leaf, PlacedLamp)])


@dataclass(frozen=True, slots=True)
class Parallel:
    """Chains side by side."""

    span: Span
    branches: tuple[Chain, ...]


Element = Resistor | PlacedLamp | Diode | Regulator | Board | Driver | Unreadable | Parallel | Chain


def leaves(element: Element) -> Sequence[Element]:
    """Every element below `element` that is neither a chain nor a parallel, in reading order."""
    if isinstance(element, Chain):
        return element.leaves
    if isinstance(element, Parallel):
        return [leaf for branch in element.branches for leaf in branch.leaves]
    return (element,)


def placed_lamps(element: Element) -> Sequence[PlacedLamp]:
    """Every lamp below `element`, in reading order."""
    if isinstance(element, Chain):
        return element.lamps
    return [leaf for leaf in leaves(element) if isinstance(leaf, PlacedLamp)]


def lamp_kind(element: Element) -> Led | Bulb | None:
    """What kind of lamp `element` is; None if it is no lamp, or one whose data could not be read."""
    return element.lamp.kind if isinstance(element, PlacedLamp) and element.lamp is not None else None


def returns_to_rail(element: Element) -> bool:
    """Whether anything in `element`, or all of it, returns to a rail instead of the common."""
    match element:
        case Chain(elements=parts):
            return element.rail_span is not None or any(map(returns_to_rail, parts))
        case Parallel(branches=branches):
            return any(map(returns_to_rail, branches))
    return False


def is_readable(element: Element) -> bool:
    """Whether all data below `element` could be read."""
    return not any(
        isinstance(leaf, Unreadable) or (isinstance(leaf, PlacedLamp) and (leaf.lamp is None or leaf.lamp.kind is None))
        for leaf in leaves(element)
    )
