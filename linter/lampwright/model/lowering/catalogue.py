"""A parts catalogue with its lamps read and its resistors ready to be looked up by value."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from lampwright.model.circuit import Bulb, Led
from lampwright.model.defaults import SIZE_RATING
from lampwright.model.lowering.lamps import bulb, led
from lampwright.model.lowering.names import Notes
from lampwright.model.lowering.values import figure
from lampwright.model.values import Figure
from lampwright.plan.catalogue import CatalogueLamp, CatalogueResistor, PartsCatalogue
from lampwright.plan.words import Word


@dataclass(frozen=True, slots=True)
class StockResistor:
    """A resistor of the catalogue: ohms, its tolerance as a share, watts; None where it is silent."""

    resistance: float
    tolerance: float | None
    rating: Figure | None


@dataclass(frozen=True, slots=True)
class Catalogue:
    """What the catalogues of a plan offer. A lamp is None if its data could not be read.

    `is_complete` is false where anything was dropped, so that a part that is not here may still exist.
    """

    lamps: Mapping[str, Led | Bulb | None] = field(default_factory=dict)
    resistors: Sequence[StockResistor] = ()
    is_complete: bool = True

    def only_resistor(self, resistance: float) -> StockResistor | None:
        """The entry of that value, if there is exactly one."""
        found = [entry for entry in self.resistors if abs(entry.resistance - resistance) <= 1e-9 * resistance]
        return found[0] if len(found) == 1 else None


def lower_catalogue(shape: PartsCatalogue, notes: Notes) -> Catalogue:
    """The catalogue that `shape` writes."""
    return Catalogue(
        lamps={word.text: _lamp(data, notes) for word, data in (shape.lamps or {}).items()},
        resistors=tuple(_resistors(shape.resistors or [])),
        is_complete=not shape.lost("lamps"),
    )


def merge(catalogues: Sequence[Catalogue | None]) -> Catalogue:
    """All catalogues of a plan as one; the first that has a lamp counts. None stands for one that was not readable."""
    lamps: dict[str, Led | Bulb | None] = {}
    for catalogue in reversed(catalogues):
        lamps.update(catalogue.lamps if catalogue is not None else {})
    return Catalogue(
        lamps=lamps,
        resistors=tuple(entry for catalogue in catalogues if catalogue is not None for entry in catalogue.resistors),
        is_complete=all(catalogue is not None and catalogue.is_complete for catalogue in catalogues),
    )


def size_rating(size: Word | None) -> Figure | None:
    """The basic rating of a chip size, watts."""
    return Figure.exact(SIZE_RATING[size.text], size.span) if size is not None else None


def _lamp(data: CatalogueLamp | None, notes: Notes) -> Led | Bulb | None:
    if data is None:
        return None
    if data.led is not None:
        return led(data.led, notes)
    return bulb(data.bulb) if data.bulb is not None else None


def _resistors(entries: Sequence[CatalogueResistor | None]) -> list[StockResistor]:
    return [
        StockResistor(
            resistance=entry.value.usual,
            tolerance=entry.tolerance.usual if entry.tolerance is not None else None,
            rating=figure(entry.rating) or size_rating(entry.size),
        )
        for entry in entries
        if entry is not None and entry.value is not None
    ]
