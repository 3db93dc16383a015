"""What a fleet has to know of one plan, and what is found in a fleet: the findings that no plan has alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from lampwright.analysis.needs import Need, ResistorPart, plan_needs
from lampwright.diagnostics import Card, Finding, Report, Severity, Spot, Want, merge_reports
from lampwright.engine.excuses import Excuses
from lampwright.engine.fingerprints import fingerprint_of
from lampwright.fleet import Fleet
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

FLEET_RULES = (shared_address, short_stock)


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
        return Spot(span, path, level, self._excuses[span.source].reason(rule.name, span))


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
            yield Want(_name_of(need), need.quantity, need.places[0], pool)


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


# --- What is found ----------------------------------------------------------------------------------------------------


def with_fleet(report: Report) -> Report:
    """`report` with what is found among the cards in it."""
    return merge_reports([report, Report(findings=tuple(judged(Fleet(report.cards))))]) if report.cards else report


def judged(fleet: Fleet) -> Iterator[Finding]:
    """All findings in `fleet`, stamped by the settings and allowances of the file that each is in."""
    spots = _spots(fleet.cards)
    for rule in FLEET_RULES:
        assert rule.of_fleet is not None
        yield from _stamped(rule, rule.of_fleet(fleet), spots)


def _spots(cards: Iterable[Card]) -> dict[tuple[str, Span], Spot]:
    found: dict[tuple[str, Span], Spot] = {}
    for card in cards:
        found.update(((shared_address.name, spot.span), spot) for *_, spot in card.addresses)
        found.update(((short_stock.name, spot.span), spot) for want in card.wants for spot, _ in want.pool)
    return found


def _stamped(rule: Rule, findings: Iterable[Finding], spots: Mapping[tuple[str, Span], Spot]) -> Iterator[Finding]:
    for finding in findings:
        spot = spots[rule.name, finding.span]
        if spot.level is not None:
            level = min(spot.level, finding.ceiling or Severity.ERROR)
            yield fingerprint_of(finding.stamped(rule.name, level, spot.allowed), spot.path)
