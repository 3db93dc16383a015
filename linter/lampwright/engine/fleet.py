"""What a fleet has to know of one plan: its card."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from lampwright.analysis.needs import Need, ResistorPart, plan_needs
from lampwright.diagnostics import Card, Spot, Want
from lampwright.engine.excuses import Excuses
from lampwright.model.circuit import StockLamp
from lampwright.model.lighting import LightingPlan
from lampwright.model.settings import Settings
from lampwright.model.stock import StockResistor
from lampwright.model.vehicle import Address
from lampwright.rule import Rule
from lampwright.rule.writing import resistor_text
from lampwright.rules.shared_address import shared_address
from lampwright.rules.short_stock import short_stock
from lampwright.syntax import Tree, path_at
from lampwright.text import Source, Span


class Registry:
    """Where the spots of a card are looked up: the trees, settings and allowances of a plan and what it refers to."""

    def __init__(self, files: Mapping[Source, tuple[Tree, Settings]], excuses: Mapping[Source, Excuses]) -> None:
        self._files = files
        self._excuses = excuses

    def spot(self, span: Span, rule: Rule) -> Spot | None:
        """What `rule` would meet at `span`; None where that is in a file that was not read."""
        if span.source not in self._files:
            return None
        tree, settings = self._files[span.source]
        path = tuple(step for step in path_at(tree, span) if isinstance(step, str))
        level = settings.levels.get(rule.name, rule.level)
        return Spot(span.pinned(), path, level, self._excuses[span.source].reason(rule.name, span))


def card_of(plan: LightingPlan, source: Source, registry: Registry) -> Card:
    """The card of `plan`, which `source` holds."""
    vehicle = plan.vehicle
    return Card(
        plan=source,
        name=vehicle.name.text if vehicle.name is not None else source.name,
        set=vehicle.set.text if vehicle.set is not None else None,
        addresses=tuple(_addresses(plan, registry)),
        wants=tuple(_wants(plan, registry)),
    )


def _addresses(plan: LightingPlan, registry: Registry) -> Iterator[tuple[str, int, bool, Spot]]:
    if "set" in plan.vehicle.unreadable:
        # It may well be of one set with whoever answers too.
        return
    consist = plan.vehicle.consist
    written: list[tuple[Address | None, bool]] = [(plan.vehicle.address, False)]
    written.append((consist.address if consist is not None else None, True))
    for address, is_consist in written:
        spot = registry.spot(address.span, shared_address) if address is not None else None
        if address is not None and spot is not None:
            yield "long" if address.is_long else "short", address.number, is_consist, spot


def _wants(plan: LightingPlan, registry: Registry) -> Iterator[Want]:
    if all(entry.count is None for entry in plan.stock) and all(lamp.count is None for lamp in _lamps(plan)):
        return
    for need in plan_needs(plan).needs:
        entries = [(_span_of(entry), entry.count) for entry in need.stock]
        found = [(registry.spot(span, short_stock) if span is not None else None, count) for span, count in entries]
        pool = tuple((spot, count) for spot, count in found if spot is not None and count is not None)
        # Of an entry that says nothing there may be as many as anybody wants.
        if pool and len(pool) == len(entries):
            yield Want(_name_of(need), need.quantity, need.places[0].pinned(), pool)


def _lamps(plan: LightingPlan) -> Iterator[StockLamp]:
    return (lamp.part for lamp in plan.lamps.values() if lamp.part is not None)


def _span_of(entry: StockLamp | StockResistor) -> Span | None:
    return entry.span


def _name_of(need: Need) -> str:
    entry = need.stock[0]
    if isinstance(entry, StockLamp):
        return entry.name
    part = need.part
    assert isinstance(part, ResistorPart)
    return resistor_text(entry.resistance, entry.rating.usual if entry.rating is not None else part.rating)
