"""A report as sums: how often each rule spoke, at which level, in how many files, and what it could not say."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from lampwright.account.words import LEVELS, allowed, opened, summary
from lampwright.diagnostics import Finding, Report, Undecided

_HEADING = ("rule", *(f"{level.word}s" for level in LEVELS), "allowed", "not decided", "files")


def render_statistics(report: Report) -> str:
    """A table with a row for each rule that spoke, the most frequent first, and the sums of all below it.

    A rule's files are those in which it found something or could not decide; an allowed finding counts among them.
    """
    columns = [Counter(each.rule for each in opened(report, level)) for level in LEVELS]
    columns += [Counter(each.rule for each in items) for items in (allowed(report), report.undecided)]
    files = _files([*report.findings, *report.undecided])
    rules = sorted(files, key=lambda rule: ([-column[rule] for column in _ranked(columns)], rule))
    rows = [(rule, [*(column[rule] for column in columns), files[rule]]) for rule in rules]
    lines = [*_table(rows), ""] if rows else []
    return "".join(f"{line}\n" for line in [*lines, summary(report)])


def _ranked(columns: list[Counter[str]]) -> list[Counter[str]]:
    """What the rows are sorted by: all that is open, then each column from the worst level to what is not decided."""
    of_levels = columns[: len(LEVELS)]
    return [sum(of_levels, Counter()), *columns]


def _files(items: Iterable[Finding | Undecided]) -> Counter[str]:
    """In how many files each rule spoke."""
    return Counter(rule for rule, _ in {(item.rule, item.span.source.name) for item in items})


def _table(rows: list[tuple[str, list[int]]]) -> list[str]:
    """Names to the left, numbers to the right; a nought is a dot, so that the eye finds what there is."""
    shown = [_HEADING, *((rule, *(str(number or ".") for number in numbers)) for rule, numbers in rows)]
    widths = [max(map(len, column)) for column in zip(*shown, strict=True)]
    return [
        "  ".join([f"{rule:<{widths[0]}}", *(f"{each:>{width}}" for each, width in zip(rest, widths[1:], strict=True))])
        for rule, *rest in shown
    ]
