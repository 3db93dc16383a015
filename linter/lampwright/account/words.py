"""The sums of a report in words: what was found, and what was not checked. Knows no form of report."""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Report, Severity
from lampwright.harmless import visible, visible_name
from lampwright.text import Position, Span

LEVELS = tuple(sorted(Severity, reverse=True))
"""From the worst to the least."""


def opened(report: Report, level: Severity | None = None) -> list[Finding]:
    """The findings, or those of a level, that no allowance excuses."""
    return [each for each in report.findings if each.allowed is None and level in {None, each.level}]


def allowed(report: Report) -> list[Finding]:
    """The findings that an allowance excuses."""
    return [each for each in report.findings if each.allowed is not None]


def place(span: Span, start: Position | None = None) -> str:
    """Where `span` begins, as file, line and column, so that it may stand at the start of a line.

    `start` is where that is, if the caller knows.
    """
    position = start or span.source.position(span.start)
    return f"{visible_name(span.source.name)}:{position.line}:{position.column}"


def line(finding: Finding) -> str:
    """A finding as one line in the form that the GNU coding standards give to compilers' messages."""
    return f"{place(finding.span)}: {finding.level.word}: {visible(finding.message)} [{finding.rule}]"


def found(report: Report) -> str:
    """How many of each level, in how many files."""
    counts = [counted(len(opened(report, level)), level.word) for level in LEVELS]
    return f"{', '.join(counts)} in {counted(len(report.sources), 'file')}"


def unchecked(report: Report) -> str:
    """What this report does not judge, in parts that semicolons divide; empty if that is nothing."""
    return "; ".join(_unchecked(report))


def summary(report: Report) -> str:
    """Both in one line."""
    return "; ".join([found(report), *_unchecked(report)])


def _unchecked(report: Report) -> Iterator[str]:
    if allowed(report):
        yield f"{len(allowed(report))} allowed"
    if report.known:
        yield f"{report.known} known"
    if report.undecided:
        yield f"{len(report.undecided)} not decided"
    if report.ignored:
        yield f"rules ignored: {', '.join(report.ignored)}"
    if report.failures:
        yield counted(len(report.failures), "failure")


def counted(number: int, word: str) -> str:
    """`number` things that are called `word`."""
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
