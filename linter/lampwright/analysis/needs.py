"""Turns a plan into the parts that it needs, each with its quantity, its places and what the catalogues have of it.

A part is what a shop would be asked for: two of the same data are the same part, wherever they are written, but a lamp
of a catalogue is the one of that name in that file. Knows nothing of other plans, packs and prices.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.returns import circuits
from lampwright.model.circuit import (
    Board,
    Bulb,
    Diode,
    Driver,
    Element,
    Led,
    PlacedLamp,
    Regulator,
    Resistor,
    StockLamp,
    leaves,
)
from lampwright.model.defaults import RESISTOR_TOLERANCE
from lampwright.model.lighting import LightingPlan
from lampwright.model.settings import Settings
from lampwright.model.stock import StockResistor
from lampwright.model.values import Figure
from lampwright.records import dataclass
from lampwright.text import Span

_NOISE = 1e-9
"""Two figures this close to each other, relatively, differ by float noise only."""

Spread = tuple[float, float, float]
"""A figure without its place: lowest, usual, highest, in SI."""


@dataclass(frozen=True, slots=True)
class LedPart:
    """An LED by its data, without the current that a plan wishes for it: volts at amperes, amperes, ohms.

    `name` and `catalogue`, a file, say which lamp of which catalogue it is; None where the plan has its data.
    """

    forward_voltage: Spread
    test_current: float
    maximum_current: Spread
    built_in_resistor: Spread
    colour: str | None
    name: str | None = None
    catalogue: str | None = None


@dataclass(frozen=True, slots=True)
class BulbPart:
    """A bulb by its data: volts, amperes, volts. `name` and `catalogue` as of an LED."""

    voltage: Spread
    current: Spread
    maximum_voltage: Spread
    name: str | None = None
    catalogue: str | None = None


@dataclass(frozen=True, slots=True)
class ResistorPart:
    """A resistor: ohms, its tolerance as a share, the watts that it must stand, its case; None where that is open."""

    resistance: float
    tolerance: float
    rating: float | None = None
    size: str | None = None


@dataclass(frozen=True, slots=True)
class DiodePart:
    """A plain diode, volts."""

    drop: Spread


@dataclass(frozen=True, slots=True)
class RegulatorPart:
    """A current regulator: amperes, and the volts that it may take for itself, None where that is open."""

    current: Spread
    needs: Spread | None


@dataclass(frozen=True, slots=True)
class BoardPart:
    """A ready-made lighting board: volts, amperes."""

    voltage: Spread
    current: Spread


@dataclass(frozen=True, slots=True)
class DriverPart:
    """A transistor that carries so many amperes."""

    limit: Spread


LampPart = LedPart | BulbPart
Part = LampPart | ResistorPart | DiodePart | RegulatorPart | BoardPart | DriverPart


@dataclass(frozen=True, slots=True)
class Need:
    """A part, how many a plan needs of it, and where they stand in its circuits.

    A lamp that stands in two places is still one. `stock` are the entries of the plan's catalogues that it can be taken
    from: the lamp itself, or every resistor that is as good, the one that comes closest first.
    """

    part: Part
    quantity: int
    places: tuple[Span, ...]
    stock: tuple[StockLamp | StockResistor, ...] = ()

    @property
    def in_stock(self) -> int | None:
        """How many there are; None where no catalogue counts any. Other needs may want the same ones."""
        counts = [entry.count for entry in self.stock if entry.count is not None]
        return sum(counts) if counts else None


@dataclass(frozen=True, slots=True)
class PlanNeeds:
    """All that a plan needs, in reading order; `unknown` are the places in its circuits of which that cannot be told.

    `is_complete` is false where something may be missing that has no place: a circuit that could not be read.
    """

    needs: tuple[Need, ...]
    unknown: tuple[Span, ...] = ()
    is_complete: bool = True


def plan_needs(plan: LightingPlan) -> PlanNeeds:
    """What hangs in the circuits of `plan`. A lamp that no circuit names is not needed."""
    places: dict[Part, list[Span]] = {}
    lamps: dict[Part, set[str]] = {}
    parts: dict[Part, StockLamp] = {}
    unknown: list[Span] = []
    for element in _placed(plan):
        part = part_of(element)
        if part is None:
            unknown.append(element.span)
            continue
        places.setdefault(part, []).append(element.span)
        if isinstance(element, PlacedLamp):
            lamps.setdefault(part, set()).add(element.name)
            if element.lamp is not None and element.lamp.part is not None:
                parts[part] = element.lamp.part
    needs = [
        Need(part, len(lamps.get(part, spans)), tuple(spans), stock_of(plan, part, parts.get(part)))
        for part, spans in places.items()
    ]
    is_complete = plan.common_circuit is not None and all(each.circuit is not None for each in plan.outputs.values())
    return PlanNeeds(tuple(needs), tuple(unknown), is_complete and plan.wiring_is_complete)


def part_of(element: Element) -> Part | None:
    """What would be asked for at the shop to put `element` into a circuit; None if that cannot be told."""
    match element:
        case PlacedLamp(lamp=lamp) if lamp is not None and lamp.kind is not None:
            return lamp_part(lamp.kind, lamp.part)
        case Resistor(rating_is_readable=True):
            return resistor_part(element)
        case Diode():
            return DiodePart(_spread(element.drop))
        case Regulator():
            return RegulatorPart(_spread(element.current), _spread(element.needs) if element.needs else None)
        case Board():
            return BoardPart(_spread(element.voltage), _spread(element.current))
        case Driver():
            return DriverPart(_spread(element.limit))
    return None


def lamp_part(kind: Led | Bulb, part: StockLamp | None) -> LampPart:
    """The lamp of that kind; `part` is the catalogue's that it is."""
    name, catalogue = (part.name, part.span.source.name) if part is not None else (None, None)
    if isinstance(kind, Bulb):
        return BulbPart(_spread(kind.voltage), _spread(kind.current), _spread(kind.maximum_voltage), name, catalogue)
    return LedPart(
        forward_voltage=_spread(kind.forward_voltage),
        test_current=_tidy(kind.test_current),
        maximum_current=_spread(kind.maximum_current),
        built_in_resistor=_spread(kind.built_in_resistor),
        colour=kind.colour,
        name=name,
        catalogue=catalogue,
    )


def resistor_part(resistor: Resistor) -> ResistorPart:
    """The resistor with the tolerance, rating and size that are meant."""
    resistance = resistor.resistance.usual
    tolerance = resistor.resistance.highest / resistance - 1 if resistance else RESISTOR_TOLERANCE
    rating = _tidy(resistor.rating.usual) if resistor.rating is not None else None
    # What was made of a share and a value gives that share back only nearly.
    return ResistorPart(_tidy(resistance), round(tolerance, 6), rating, resistor.size)


def serves(entry: StockResistor, part: ResistorPart, settings: Settings) -> bool:
    """Whether a resistor of the catalogue is as good as `part`: of the same value and case, as exact, rated as high.

    Where the catalogue is silent, `settings` say what is meant, and where they are, it is 5 % and no rating.
    """
    if not entry.is_readable or abs(entry.resistance - part.resistance) > _NOISE * part.resistance:
        return False
    tolerance, rating = _quality(entry, settings)
    return (
        tolerance <= part.tolerance + _NOISE
        and (part.rating is None or (rating is not None and rating >= part.rating * (1 - _NOISE)))
        and (part.size is None or entry.size == part.size)
    )


def _quality(entry: StockResistor, settings: Settings) -> tuple[float, float | None]:
    """The tolerance and the rating of a resistor of the catalogue, what it does not say included."""
    tolerances = (entry.tolerance, settings.resistor_tolerance, RESISTOR_TOLERANCE)
    rating = entry.rating or settings.resistor_rating
    return next(each for each in tolerances if each is not None), rating.usual if rating is not None else None


def _placed(plan: LightingPlan) -> Iterator[Element]:
    for _, circuit in circuits(plan):
        yield from leaves(circuit)


def stock_of(plan: LightingPlan, part: Part, lamp: StockLamp | None = None) -> tuple[StockLamp | StockResistor, ...]:
    """What `part` can be taken from, by the catalogues of `plan`; `lamp` is the one of them that it is."""
    if not isinstance(part, ResistorPart):
        return (lamp,) if lamp is not None else ()
    fitting = [entry for entry in plan.stock if serves(entry, part, plan.settings)]
    return tuple(sorted(fitting, key=lambda entry: _excess(entry, plan.settings)))


def _excess(entry: StockResistor, settings: Settings) -> tuple[float, float]:
    """The better a resistor is than it need be, the later it is taken."""
    tolerance, rating = _quality(entry, settings)
    return rating or 0.0, -tolerance


def _spread(figure: Figure) -> Spread:
    return _tidy(figure.lowest), _tidy(figure.usual), _tidy(figure.highest)


def _tidy(value: float) -> float:
    """`value` without the last bits that a computation leaves, so that equal figures are equal."""
    return float(f"{value:.9g}")
