"""Turns the needs of several plans into an order: of each part how many, what of that lies in stock, what is missing.

Sums of whole numbers only. Knows no files, and none of the reasons why a plan is counted or not.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from math import ceil

from lampwright.allotment import allot
from lampwright.analysis.needs import (
    BoardPart,
    BulbPart,
    DiodePart,
    DriverPart,
    LedPart,
    Need,
    Part,
    PlanNeeds,
    RegulatorPart,
    ResistorPart,
)
from lampwright.model.circuit import StockLamp
from lampwright.model.stock import StockResistor
from lampwright.records import dataclass

Entry = StockLamp | StockResistor
EntryKey = tuple[str, int]
"""Which entry of which catalogue: the file, and where in it."""


@dataclass(frozen=True, slots=True)
class Spares:
    """How many of each part are bought beyond what the plans need: a share of that, rounded up, or a number."""

    share: Fraction = Fraction(0)
    number: int = 0

    def of(self, quantity: int) -> int:
        """How many spares go with `quantity`."""
        return ceil(quantity * self.share) + self.number


USUAL_SPARES = Spares(share=Fraction(1, 10))
"""One of ten, and so at least one of each: small parts are lost, overheated, and put in the wrong way round."""


@dataclass(frozen=True, slots=True)
class Demand:
    """A plan that is counted: its file, what its vehicle is called if it says so, what it needs."""

    plan: str
    vehicle: str | None
    needs: PlanNeeds


@dataclass(frozen=True, slots=True)
class Line:
    """A part of the order. `plans` are those that need it, by file, each with how many.

    `stock` is how many there are in all entries that it can be taken from, None where nobody counted; `from_stock` how
    many of these are for this line. `pack` is how many are sold together.
    """

    part: Part
    plans: tuple[tuple[str, int], ...]
    spares: int
    stock: int | None
    from_stock: int
    pack: int | None = None

    @property
    def quantity(self) -> int:
        """How many the plans need."""
        return sum(count for _, count in self.plans)

    @property
    def missing(self) -> int:
        """How many are not in stock, spares included."""
        return self.quantity + self.spares - self.from_stock

    @property
    def packs(self) -> int | None:
        """How many packs these are, if they are sold in packs."""
        return -(-self.missing // self.pack) if self.pack is not None else None

    @property
    def buy(self) -> int:
        """How many come to be bought: whole packs."""
        return self.packs * self.pack if self.packs is not None and self.pack is not None else self.missing


@dataclass(frozen=True, slots=True)
class Order:
    """What the plans `demands` need together, in the order of a shop's shelves; `taken` is how many of each entry."""

    demands: tuple[Demand, ...]
    spares: Spares
    lines: tuple[Line, ...]
    taken: Mapping[EntryKey, int]

    @property
    def missing(self) -> tuple[Line, ...]:
        """The lines of which something is to be bought."""
        return tuple(line for line in self.lines if line.missing)


def order_of(demands: Sequence[Demand], spares: Spares = USUAL_SPARES) -> Order:
    """The order for `demands`, whatever order they come in.

    As much as can be is taken from stock, each part from the catalogues that its plans name. What is needed goes before
    what is spare.
    """
    sorted_demands = tuple(sorted(demands, key=lambda demand: demand.plan))
    claims: dict[Part, list[tuple[str, Need]]] = {}
    for demand in sorted_demands:
        for need in demand.needs.needs:
            claims.setdefault(need.part, []).append((demand.plan, need))
    parts = sorted(claims, key=shelf)
    stores = {part: _entries(claims[part]) for part in parts}
    allotted, taken = _allotted(parts, claims, stores, spares)
    lines = tuple(
        Line(
            part=part,
            plans=tuple((plan, need.quantity) for plan, need in claims[part]),
            spares=spares.of(_quantity(claims[part])),
            stock=_counted(stores[part].values()),
            from_stock=allotted[part],
            pack=_pack(stores[part]),
        )
        for part in parts
    )
    return Order(sorted_demands, spares, lines, taken)


def key_of(entry: Entry) -> EntryKey:
    """Which entry it is."""
    span = entry.span
    return (span.source.name, span.start) if span is not None else ("", 0)


_SHELVES: tuple[type[Part], ...] = (
    LedPart,
    BulbPart,
    ResistorPart,
    DiodePart,
    RegulatorPart,
    DriverPart,
    BoardPart,
)


def shelf(part: Part) -> tuple[object, ...]:
    """Where a part stands among others: lamps of catalogues by name, then all else by its figures."""
    rank = _SHELVES.index(type(part))
    if isinstance(part, LedPart):
        own = (part.forward_voltage, part.test_current, part.maximum_current, part.built_in_resistor)
        return rank, part.name is None, part.name or "", part.catalogue or "", part.colour or "", own
    if isinstance(part, BulbPart):
        data = (part.voltage, part.current, part.maximum_voltage)
        return rank, part.name is None, part.name or "", part.catalogue or "", "", data
    match part:
        case ResistorPart():
            return rank, part.resistance, part.rating or 0.0, -part.tolerance, part.size or ""
        case DiodePart():
            return rank, part.drop
        case RegulatorPart():
            return rank, part.current, part.needs or ()
        case BoardPart():
            return rank, part.voltage, part.current
        case DriverPart():
            return rank, part.limit


def _quantity(claims: Sequence[tuple[str, Need]]) -> int:
    return sum(need.quantity for _, need in claims)


def _entries(claims: Sequence[tuple[str, Need]]) -> dict[EntryKey, Entry]:
    """Everything that a part can be taken from in some plan; what comes closest to it first."""
    ranked: dict[EntryKey, tuple[int, Entry]] = {}
    for _, need in claims:
        for rank, entry in enumerate(need.stock):
            ranked.setdefault(key_of(entry), (rank, entry))
    return {key: entry for key, (_, entry) in sorted(ranked.items(), key=lambda item: (item[1][0], item[0]))}


def _counted(entries: Iterable[Entry]) -> int | None:
    counts = [entry.count for entry in entries if entry.count is not None]
    return sum(counts) if counts else None


def _pack(store: Mapping[EntryKey, Entry]) -> int | None:
    """How many of a part are sold together: as the entry says that comes closest to it, or another that says the same.

    How something better is sold says nothing of what is asked for.
    """
    entries = list(store.values())
    alike = [entry for entry in entries if _says(entry) == _says(entries[0])]
    return next((entry.pack for entry in alike if entry.pack is not None), None)


def _says(entry: Entry) -> object:
    return entry.says if isinstance(entry, StockResistor) else None


# --- Taking from stock ------------------------------------------------------------------------------------------------


def _allotted(
    parts: Sequence[Part],
    claims: Mapping[Part, Sequence[tuple[str, Need]]],
    stores: Mapping[Part, Mapping[EntryKey, Entry]],
    spares: Spares,
) -> tuple[dict[Part, int], dict[EntryKey, int]]:
    """Of each part, and of each entry, how many are taken from stock."""
    counts = {key: entry.count or 0 for store in stores.values() for key, entry in store.items()}
    wishes: list[tuple[Part, tuple[int, tuple[EntryKey, ...]]]] = []
    for part in parts:
        grouped: dict[tuple[EntryKey, ...], int] = {}
        for _, need in claims[part]:
            keys = tuple(map(key_of, need.stock))
            grouped[keys] = grouped.get(keys, 0) + need.quantity
        wishes += [(part, (quantity, keys)) for keys, quantity in sorted(grouped.items())]
    wishes += [(part, (spares.of(_quantity(claims[part])), tuple(stores[part]))) for part in parts]
    given = allot([wish for _, wish in wishes], counts)
    of_part = dict.fromkeys(parts, 0)
    taken: dict[EntryKey, int] = {}
    for (part, _), shares in zip(wishes, given, strict=True):
        of_part[part] += sum(shares.values())
        for key, count in shares.items():
            taken[key] = taken.get(key, 0) + count
    return of_part, taken
