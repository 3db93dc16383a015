"""What can be said about a text: problems without words from the lower floors, findings in words from the rules.

Knows places, not lamps. Everything here is data: a `Report` is what the command prints and the editor shows.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from enum import IntEnum

from lampwright.lazily import cached_property
from lampwright.records import dataclass, field
from lampwright.text import Edit, Source, Span

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class Severity(IntEnum):
    """How much a finding weighs; comparable, so that a ceiling is `min`."""

    NOTE = 1
    WARNING = 2
    ERROR = 3

    @property
    def word(self) -> str:
        """The level as users write and read it."""
        return self.name.lower()


@dataclass(frozen=True, slots=True)
class Problem:
    """A mistake that a lower floor saw: the name of the rule that words it, where, and what the wording needs."""

    kind: str
    span: Span
    data: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Note:
    """Another place that belongs to a finding, and what it has to do with it."""

    span: Span
    message: str


@dataclass(frozen=True, slots=True)
class Fix:
    """What to do, as an imperative, and the edits that do it. A sure one cannot change what the plan means."""

    title: str
    edits: tuple[Edit, ...]
    sure: bool = False


@dataclass(frozen=True, slots=True)
class Finding:
    """Something wrong at a place. A rule fills the first five; the engine stamps the rest.

    `ceiling` is the highest level that the facts behind the verdict allow; None means the level of the rule. `path` are
    the keys by name on the way to the place.
    """

    span: Span
    message: str
    notes: tuple[Note, ...] = ()
    fixes: tuple[Fix, ...] = ()
    data: Mapping[str, Any] = field(default_factory=dict)
    ceiling: Severity | None = None
    rule: str = ""
    level: Severity = Severity.ERROR
    allowed: str | None = None
    fingerprint: str = ""
    path: tuple[str, ...] = ()

    @property
    def culprit(self) -> str:
        """What stands at the place, whatever its layout."""
        return " ".join(self.span.text.split())

    def stamped(self, rule: str, level: Severity, allowed: str | None) -> Finding:
        """The same, as a finding of `rule`."""
        return Finding(self.span, self.message, self.notes, self.fixes, self.data, self.ceiling, rule, level, allowed)


@dataclass(frozen=True, slots=True)
class Undecided:
    """A place where a rule cannot tell, and what the plan lacks for a verdict."""

    span: Span
    lacks: str
    rule: str = ""


@dataclass(frozen=True, slots=True)
class Failure:
    """Work that could not be done: a rule that raised, or (rule None) a path that could not be read."""

    rule: str | None
    file: str
    text: str


@dataclass(frozen=True, slots=True)
class Spot:
    """A place of which a rule of the fleet may speak: its keys, the level that the settings give, why it is allowed.

    `level` is None where the settings ignore the rule, `allowed` where no comment allows it.
    """

    span: Span
    path: tuple[str, ...]
    level: Severity | None
    allowed: str | None


@dataclass(frozen=True, slots=True)
class Want:
    """What a plan takes from one entry of a catalogue, or from one of several that are as good: how many, of how many.

    `place` is the first one in the plan; `pool` has the spot of each entry with the number that is in stock, the one
    that fits best first.
    """

    name: str
    quantity: int
    place: Span
    pool: tuple[tuple[Spot, int], ...]


@dataclass(frozen=True, slots=True)
class Card:
    """What a fleet has to know of a plan, whatever else the plan says. `addresses` are those that it answers to.

    Each is "short" or "long", the number, and whether it is that of a consist. Vehicles of one `set` may share them.
    """

    plan: Source
    name: str
    set: str | None
    addresses: tuple[tuple[str, int, bool, Spot], ...]
    wants: tuple[Want, ...]

    @property
    def says(self) -> tuple[object, ...]:
        """What others may hear of it: all but the places."""
        addresses = [(kind, number, is_consist) for kind, number, is_consist, _ in self.addresses]
        wants = [(want.quantity, [(spot.path, count) for spot, count in want.pool]) for want in self.wants]
        return self.name, self.set, addresses, wants


@dataclass(frozen=True)
class Report:
    """All that a check found, sorted by file, line, column and rule, and all that it could not decide.

    `deal` gives the cards of the plans: whoever knows already what is found among them asks for none. `known` is how
    many findings were left out, because a baseline or an older state has them already; None if nobody asked for that.
    """

    sources: tuple[Source, ...] = ()
    findings: tuple[Finding, ...] = ()
    undecided: tuple[Undecided, ...] = ()
    failures: tuple[Failure, ...] = ()
    ignored: tuple[str, ...] = ()
    known: int | None = None
    deal: Callable[[], tuple[Card, ...]] = tuple

    @cached_property
    def cards(self) -> tuple[Card, ...]:
        """What the plans have to say to each other."""
        return self.deal()


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a file cannot be had: a short code that the rule unreadable-file words where another file refers to it."""

    reason: str


def merge_reports(reports: Iterable[Report]) -> Report:
    """Several reports as one: each thing once, in order of file, line, column and rule."""
    listed = list(reports)
    findings = {_order(finding): finding for report in listed for finding in report.findings}
    undecided = {_order(item): item for report in listed for item in report.undecided}
    failures = {failure for report in listed for failure in report.failures}
    sources = {source.name: source for report in listed for source in report.sources}
    return Report(
        sources=tuple(sources.values()),
        findings=tuple(finding for _, finding in sorted(findings.items())),
        undecided=tuple(item for _, item in sorted(undecided.items())),
        failures=tuple(sorted(failures, key=lambda failure: (failure.file, failure.rule or "", failure.text))),
        ignored=tuple(sorted({name for report in listed for name in report.ignored})),
        deal=lambda: tuple({card.plan.name: card for report in listed for card in report.cards}.values()),
    )


def _order(item: Finding | Undecided) -> tuple[str, int, str, int, str]:
    """Where a finding stands in a report; two of the same order are the same one."""
    words = item.message if isinstance(item, Finding) else item.lacks
    return item.span.source.name, item.span.start, item.rule, item.span.end, words
