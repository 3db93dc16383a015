"""A report as a Markdown page, for the summary of a job or a comment on a change.

Whatever a file or a message says stands in a code span, where Markdown has no markup, no links, no HTML and no mentions
of people; only the names of our own rules and our own words stand outside.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.account.pages import page_of
from lampwright.account.words import LEVELS, allowed, counted, found, opened, place, unchecked
from lampwright.diagnostics import Finding, Report, Undecided
from lampwright.harmless import code_span

MOST_LISTED = 100
"""Entries of one list. A job's summary may have 1 MiB, and nobody reads further."""


def render_markdown(report: Report, pages: str | None = None) -> str:
    """The page, with a line end: the sums, the findings from the worst level to the least, and what was not checked.

    `pages` is the address of the rules' pages, for links to them.
    """
    return "\n".join([f"## Lampwright: {found(report)}", *_found(report, pages), *_not_checked(report)]) + "\n"


def _found(report: Report, pages: str | None) -> Iterator[str]:
    for level in LEVELS:
        findings = opened(report, level)
        if findings:
            yield from _list(f"### {level.word.capitalize()}s", [_finding(finding, pages) for finding in findings])


def _not_checked(report: Report) -> Iterator[str]:
    if not unchecked(report):
        return
    yield from ("", "### Not checked")
    excused = [
        f"- {code_span(place(each.span))} {each.rule}: {code_span(each.allowed or '')}" for each in allowed(report)
    ]
    failures = [
        f"- {code_span(each.file)}{f' {each.rule}' if each.rule else ''}: {code_span(each.text)}"
        for each in report.failures
    ]
    yield from _list("Failures:", failures)
    yield from _list("Allowed, and why:", excused)
    yield from _list("Not decided, for lack of something:", list(_undecided(report.undecided)))
    yield from _list("Rules ignored by the settings:", [f"- {rule}" for rule in report.ignored])


def _list(title: str, entries: list[str]) -> Iterator[str]:
    if not entries:
        return
    yield from ("", title, "", *entries[:MOST_LISTED])
    if len(entries) > MOST_LISTED:
        yield f"- and {len(entries) - MOST_LISTED} more"


def _finding(finding: Finding, pages: str | None) -> str:
    rule = f"[{finding.rule}](<{page_of(pages, finding.rule)}>)" if pages is not None else finding.rule
    first = f"- {code_span(place(finding.span))} **{rule}**: {code_span(finding.message)}"
    notes = [f"  - {code_span(place(note.span))}: {code_span(note.message)}" for note in finding.notes]
    fixes = [f"  - fix: {code_span(fix.title)}" for fix in finding.fixes]
    return "\n".join([first, *notes, *fixes])


def _undecided(items: tuple[Undecided, ...]) -> Iterator[str]:
    """An entry for each file and thing that it lacks, with the rules that cannot tell."""
    grouped: dict[tuple[str, str], list[Undecided]] = {}
    for item in items:
        grouped.setdefault((item.span.source.name, item.lacks), []).append(item)
    for (_, lacks), group in grouped.items():
        rules = ", ".join(dict.fromkeys(item.rule for item in group))
        places = counted(len(dict.fromkeys(item.span for item in group)), "place")
        yield f"- {code_span(place(group[0].span))} lacks {code_span(lacks)} ({places}): {rules}"
