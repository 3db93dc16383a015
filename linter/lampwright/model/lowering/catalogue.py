"""A parts catalogue with its lamps read and its resistors ready to be looked up by value."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from lampwright.model.circuit import Bulb, Led, StockLamp
from lampwright.model.defaults import SIZE_RATING
from lampwright.model.lowering.lamps import bulb, led
from lampwright.model.lowering.names import Notes
from lampwright.model.lowering.values import figure
from lampwright.model.stock import Stock, StockResistor
from lampwright.model.values import Figure
from lampwright.plan.catalogue import CatalogueLamp, CatalogueResistor, PartsCatalogue
from lampwright.plan.words import Word
from lampwright.records import dataclass, field


@dataclass(frozen=True, slots=True)
class Catalogue:
    """What the catalogues of a plan offer. A lamp is None if its data could not be read; `parts` says more of each.

    `is_complete` is false where a lamp that is not here may still exist, because something was dropped;
    `resistors_are_complete` says the same of resistors.
    """

    lamps: Mapping[str, Led | Bulb | None] = field(default_factory=dict)
    resistors: Stock = ()
    is_complete: bool = True
    resistors_are_complete: bool = True
    parts: Mapping[str, StockLamp] = field(default_factory=dict)


def lower_catalogue(shape: PartsCatalogue, notes: Notes) -> Catalogue:
    """The catalogue that `shape` writes."""
    parts = {word.text: _part(word, data, notes) for word, data in (shape.lamps or {}).items()}
    return Catalogue(
        lamps={name: part.kind for name, part in parts.items()},
        resistors=tuple(_resistors(shape.resistors or [])),
        is_complete=not shape.may_lack("lamps"),
        resistors_are_complete=not shape.may_lack("resistors") and all(map(_has_value, shape.resistors or [])),
        parts=parts,
    )


def merge(catalogues: Sequence[Catalogue | None]) -> Catalogue:
    """All catalogues of a plan as one; the first that has a lamp counts. None stands for one that was not readable."""
    readable = [catalogue for catalogue in catalogues if catalogue is not None]
    parts: dict[str, StockLamp] = {}
    for catalogue in reversed(readable):
        parts.update(catalogue.parts)
    all_readable = len(readable) == len(catalogues)
    return Catalogue(
        lamps={name: part.kind for name, part in parts.items()},
        # A catalogue that is named twice has its resistors once.
        resistors=tuple(dict.fromkeys(entry for catalogue in readable for entry in catalogue.resistors)),
        is_complete=all_readable and all(catalogue.is_complete for catalogue in readable),
        resistors_are_complete=all_readable and all(catalogue.resistors_are_complete for catalogue in readable),
        parts=parts,
    )


def size_rating(size: Word | None) -> Figure | None:
    """The basic rating of a chip size, watts."""
    return Figure.exact(SIZE_RATING[size.text], size.span) if size is not None else None


def _part(word: Word, data: CatalogueLamp | None, notes: Notes) -> StockLamp:
    return StockLamp(
        word.text,
        word.span,
        _lamp(data, notes),
        count=data.stock.value if data is not None and data.stock is not None else None,
        pack=data.pack.value if data is not None and data.pack is not None else None,
    )


def _lamp(data: CatalogueLamp | None, notes: Notes) -> Led | Bulb | None:
    if data is None or (data.says("bulb") and data.says("led")):
        return None
    if data.led is not None:
        return led(data.led, notes)
    return bulb(data.bulb, notes) if data.bulb is not None else None


def _has_value(entry: CatalogueResistor | None) -> bool:
    return entry is not None and entry.value is not None


def _resistors(entries: Sequence[CatalogueResistor | None]) -> list[StockResistor]:
    return [
        StockResistor(
            resistance=entry.value.usual,
            tolerance=entry.tolerance.usual if entry.tolerance is not None else None,
            rating=figure(entry.rating) or size_rating(entry.size),
            is_readable=not any(map(entry.lost, ("tolerance", "rating", "size"))),
            count=entry.stock.value if entry.stock is not None else None,
            size=entry.size.text if entry.size is not None else None,
            pack=entry.pack.value if entry.pack is not None else None,
            span=entry.span,
        )
        for entry in entries
        if entry is not None and entry.value is not None
    ]
