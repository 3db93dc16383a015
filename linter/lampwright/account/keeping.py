"""A report as a plain object that JSON can hold, and back, word by word. Knows nothing of where it is kept.

Each source stands for its place in a list that whoever reads it back must have again.
"""

from __future__ import annotations

from collections.abc import Sequence

from lampwright.diagnostics import Finding, Fix, Note, Report, Severity, Undecided
from lampwright.text import Edit, Source, Span

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


def kept(report: Report, sources: Sequence[Source]) -> list[Any] | None:
    """`report`, whose places lie in `sources`; None if one does not, or if something failed in it."""
    numbers = {source: number for number, source in reversed(list(enumerate(sources)))}
    if report.failures or report.known is not None:
        return None
    try:
        return [
            [numbers[source] for source in report.sources],
            [_kept_finding(finding, numbers) for finding in report.findings],
            [[_kept_span(item.span, numbers), item.lacks, item.rule] for item in report.undecided],
            list(report.ignored),
        ]
    except KeyError:
        return None


def recalled(plain: list[Any], sources: Sequence[Source]) -> Report:
    """The report that was kept as `plain`. Raises LookupError, TypeError or ValueError if it is none."""
    own, findings, undecided, ignored = plain
    return Report(
        sources=tuple([sources[number] for number in own]),
        findings=tuple([_finding(each, sources) for each in findings]),
        undecided=tuple([Undecided(_span(span, sources), lacks, rule) for span, lacks, rule in undecided]),
        ignored=tuple(ignored),
    )


Numbers = dict[Source, int]


def _kept_finding(finding: Finding, numbers: Numbers) -> list[Any]:
    return [
        _kept_span(finding.span, numbers),
        finding.message,
        [[_kept_span(note.span, numbers), note.message] for note in finding.notes],
        [
            [fix.title, [[_kept_span(edit.span, numbers), edit.text] for edit in fix.edits], fix.sure]
            for fix in finding.fixes
        ],
        finding.data,
        finding.ceiling,
        finding.rule,
        finding.level,
        finding.allowed,
        finding.fingerprint,
        finding.path,
    ]


def _finding(plain: list[Any], sources: Sequence[Source]) -> Finding:
    span, message, notes, fixes, data, ceiling, rule, level, allowed, fingerprint, path = plain
    return Finding(
        _span(span, sources),
        message,
        tuple([Note(_span(place, sources), words) for place, words in notes]),
        tuple([_fix(fix, sources) for fix in fixes]),
        data,
        None if ceiling is None else Severity(ceiling),
        rule,
        Severity(level),
        allowed,
        fingerprint,
        tuple(path),
    )


def _fix(plain: list[Any], sources: Sequence[Source]) -> Fix:
    title, edits, sure = plain
    return Fix(title, tuple([Edit(_span(span, sources), text) for span, text in edits]), sure)


def _kept_span(span: Span, numbers: Numbers) -> list[int]:
    return [numbers[span.source], span.start, span.end]


def _span(plain: list[int], sources: Sequence[Source]) -> Span:
    number, start, end = plain
    return Span(sources[number], start, end)
