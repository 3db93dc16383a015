"""Fixes put to work: a source and a way to judge it go in, a better source comes out. Opens and writes nothing.

Fixes are applied in rounds, each of which must prove itself: what it makes is judged again, and a round that leaves
its findings or causes others is taken back.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Callable, Iterator

from lampwright.diagnostics import Finding, Fix, Report
from lampwright.engine import RULE_NAMES
from lampwright.engine.documents import read_document
from lampwright.engine.improvement import is_better, needs_plan
from lampwright.kinds import kind_of
from lampwright.records import dataclass, replace
from lampwright.syntax import Tree, path_at
from lampwright.text import Source, Span, apply

MOST_ROUNDS = 100
"""Rounds for one file, those included that are taken back; one with more to fix can be fixed again."""

Judge = Callable[[Source], Report]
"""Gives all that is found in a source and in what it refers to."""


@dataclass(frozen=True, slots=True)
class Repair:
    """A fix that was applied, and the finding that it cured; places are those of the text as it was then."""

    finding: Finding
    fix: Fix

    @property
    def name(self) -> tuple[str, str]:
        """By what it is known again in another round."""
        return self.finding.fingerprint, self.fix.title


@dataclass(frozen=True, slots=True)
class Mended:
    """What came of a source: the text as it is now, what was done to it in order, and what is found in it now."""

    source: Source
    repairs: tuple[Repair, ...]
    report: Report


def mend(source: Source, judge: Judge, *, unsure: bool = False) -> Mended:
    """`source` with the sure fixes of its findings applied, with `unsure` the best fix of each finding.

    Done again and again until nothing is left to fix, MOST_ROUNDS times at most.
    """
    mended = Mended(source, (), judge(source))
    refused: set[tuple[str, str]] = set()
    # A text that was there before would only come round again.
    seen = {source.text}
    for _ in range(MOST_ROUNDS):
        offered = [each for each in _offered(mended, unsure) if each.name not in refused]
        if not offered:
            break
        chosen, better = _round(mended, list(_compatible(mended.source, offered)), judge, seen)
        if better is None:
            refused.add(chosen[0].name)
            continue
        mended = better
        seen.add(mended.source.text)
        refused.clear()
    return mended


def _offered(mended: Mended, unsure: bool) -> Iterator[Repair]:  # noqa: FBT001  # handed on from `mend`
    """The fixes that may be applied to this source, in the order of the places of their findings."""
    source = mended.source
    if source.fault is not None:
        return
    for finding in mended.report.findings:
        best = finding.fixes[0] if unsure and finding.fixes else None
        fix = next((fix for fix in finding.fixes if fix.sure), best)
        # A fix is applied whole or not at all, and other files are not ours to change.
        if fix is not None and finding.allowed is None and all(edit.span.source is source for edit in fix.edits):
            yield Repair(finding, fix)


def _round(mended: Mended, chosen: list[Repair], judge: Judge, seen: set[str]) -> tuple[list[Repair], Mended | None]:
    """As many of `chosen` from the first on as are good together, and what they make; None if the first hurts alone."""
    better = _tried(mended, chosen, judge, seen)
    while better is None and len(chosen) > 1:
        chosen = chosen[: len(chosen) // 2]
        better = _tried(mended, chosen, judge, seen)
    return chosen, better


def _tried(mended: Mended, chosen: list[Repair], judge: Judge, seen: set[str]) -> Mended | None:
    """What `chosen` make of the source, if that is better."""
    edits = [edit for repair in chosen for edit in repair.fix.edits]
    text = apply(mended.source, edits)
    if text in seen:
        return None
    changed = replace(mended.source, text=text)
    report = judge(changed)
    if not is_better(mended.report, report, [repair.finding for repair in chosen], edits):
        return None
    return Mended(changed, (*mended.repairs, *chosen), report)


# --- Which fixes go together ------------------------------------------------------------------------------------------


def _compatible(source: Source, offered: list[Repair]) -> Iterator[Repair]:
    """Those of `offered` that leave each other alone: of two that meet, the first by place; the other has to wait.

    Two cures of one output meet as well, wherever they write, since the first may be one for both.
    """
    kind = kind_of(source.name)
    assert kind is not None
    tree = read_document(source, kind, RULE_NAMES).tree
    taken: list[tuple[int, int]] = []
    cured: set[tuple[str | int, ...]] = set()
    for repair in offered:
        places = [(edit.span.start, edit.span.end) for edit in repair.fix.edits]
        entries = _entries(tree, repair) if needs_plan(repair.finding.rule) else set()
        if entries & cured or any(_meets(place, taken) for place in places):
            continue
        for place in places:
            insort(taken, place)
        cured |= entries
        yield repair


def _meets(place: tuple[int, int], taken: list[tuple[int, int]]) -> bool:
    """Whether a place lies in, or touches, one of those that are taken; these are in order and apart."""
    at = bisect_left(taken, place)
    return (at < len(taken) and taken[at][0] <= place[1]) or (at > 0 and taken[at - 1][1] >= place[0])


def _entries(tree: Tree, repair: Repair) -> set[tuple[str | int, ...]]:
    """The outputs, lamps or keys in which the finding stands and the fix writes."""
    spans: list[Span] = [repair.finding.span, *(edit.span for edit in repair.fix.edits)]
    return {path_at(tree, span)[:2] for span in spans}


__all__ = ["MOST_ROUNDS", "Judge", "Mended", "Repair", "mend"]
