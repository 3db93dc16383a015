"""What is found among the cards of many plans: the findings that no plan has alone.

Loads the two rules that compare, and no more: what the plans have alone may have been recalled.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from lampwright.diagnostics import Card, Finding, Report, Severity, Spot, merge_reports
from lampwright.fleet import Fleet
from lampwright.records import replace
from lampwright.rule import Rule
from lampwright.rules.shared_address import shared_address
from lampwright.rules.short_stock import short_stock
from lampwright.text import Span

FLEET_RULES = (shared_address, short_stock)


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
            yield _fingerprinted(finding.stamped(rule.name, level, spot.allowed), spot.path)


def _fingerprinted(finding: Finding, path: tuple[str, ...]) -> Finding:
    """The only finding of its rule at its place with such a key; `path` are the keys on the way."""
    from hashlib import sha256

    content = "\0".join((finding.rule, "\0".join(path), finding.culprit, "1"))
    key = sha256(content.encode("utf-8", "surrogatepass")).hexdigest()[:16]
    return replace(finding, fingerprint=key, path=path)
