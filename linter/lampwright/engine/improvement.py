"""Whether a text is better for the fixes that were applied to it, by what is found in it before and after."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from lampwright.diagnostics import Finding, Report
from lampwright.engine.hearing import MOST_FINDINGS
from lampwright.rules import RULES
from lampwright.text import Edit

_READING = frozenset(rule.name for rule in RULES if not rule.needs_plan)

_About = tuple[str, str, str]


def needs_plan(rule: str) -> bool:
    """Whether a rule judges what a plan comes to, not how it is written."""
    return rule not in _READING


def is_better(before: Report, after: Report, cured: Sequence[Finding], edits: Sequence[Edit]) -> bool:
    """Whether the findings `cured` are gone after `edits`, and no other has come.

    What could not be seen before does not count as come: findings of a rule that could not tell, or that waited for
    what was badly written, or that stand in an entry whose key was put right.
    """
    old, new = _counted(before), _counted(after)
    # Of a rule that finds more than a report shows, others take the places of those that are gone.
    wanted = Counter(_about(finding) for finding in cured if not _is_crowded(finding.rule, before))
    if any(old[about] - new[about] < number for about, number in wanted.items()):
        return False
    added = new - old
    come = [finding for finding in after.findings if added[_about(finding)]]
    return not come or all(_was_hidden(finding, before, cured, edits) for finding in come)


def _counted(report: Report) -> Counter[_About]:
    return Counter(map(_about, report.findings))


def _about(finding: Finding) -> _About:
    """What a finding is about, the figures left out, which may change without harm."""
    return finding.span.source.name, finding.rule, finding.culprit


def _was_hidden(finding: Finding, before: Report, cured: Sequence[Finding], edits: Sequence[Edit]) -> bool:
    """Whether a finding was there before the edits, and could only not be told."""
    rule = finding.rule
    if rule == "useless-allowance":
        # Whoever cures a finding has no more use for its excuse, and that can be told only of a plan that can be read.
        return True
    if _is_crowded(rule, before):
        return True
    if needs_plan(rule):
        return any(item.rule == rule for item in before.undecided) or not all(needs_plan(item.rule) for item in cured)
    return any(_stands_behind(finding, edit, edits) for edit in edits)


def _is_crowded(rule: str, report: Report) -> bool:
    return sum(item.rule == rule for item in report.findings) > MOST_FINDINGS


def _stands_behind(finding: Finding, edit: Edit, edits: Sequence[Edit]) -> bool:
    """Whether a finding stands in the value of a key that `edit`, one of `edits`, wrote."""
    before = [other for other in edits if other.span.start < edit.span.start]
    start = edit.span.start + sum(len(other.text) - len(other.span.text) for other in before)
    return edit.text in finding.path and finding.span.start >= start + len(edit.text)
