"""A report as workflow commands, which services that run GitHub's workflows show beside the lines of a change.

They show ten of each level at most, so that the worst come first; the rest follow as plain lines of the log. A name in
a plan cannot give a command of its own: whatever could end or begin one is escaped.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.account.words import LEVELS, counted, line, opened, place, summary, unchecked
from lampwright.diagnostics import Failure, Finding, Report, Severity
from lampwright.harmless import visible

MOST_SHOWN = 10
"""Annotations of one level that the service shows of one step."""

_COMMANDS = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.NOTE: "notice"}


def render_github(report: Report) -> str:
    """The commands, worst level first, then what has no room among them, then the sums."""
    failures = [_failure(failure) for failure in report.failures]
    by_level = {level: opened(report, level) for level in LEVELS}
    room = {
        Severity.ERROR: max(0, MOST_SHOWN - len(failures)),
        Severity.WARNING: MOST_SHOWN,
        # The sums need the place of one.
        Severity.NOTE: MOST_SHOWN - 1,
    }
    shown = [each for level, findings in by_level.items() for each in findings[: room[level]]]
    left = [each for level, findings in by_level.items() for each in findings[room[level] :]]
    lines = [*failures, *map(_annotation, shown), *map(line, left), _sums(report, len(left))]
    return "".join(f"{each}\n" for each in lines)


def _sums(report: Report, left: int) -> str:
    """A notice if someone has to know that not all is checked or shown; else a line of the log is enough."""
    parts = [summary(report), *([f"{counted(left, 'finding')} only in the log"] if left else [])]
    if not left and not unchecked(report):
        return parts[0]
    return _command("notice", {"title": "lampwright"}, "; ".join(parts))


def _annotation(finding: Finding) -> str:
    start, end = (finding.span.source.position(at) for at in (finding.span.start, finding.span.end))
    where: dict[str, object] = {"file": finding.span.source.name, "line": start.line, "endLine": end.line}
    if start.line == end.line:
        # The service refuses columns of a place that has several lines.
        where |= {"col": start.column, "endColumn": end.column}
    return _command(_COMMANDS[finding.level], {**where, "title": finding.rule}, *_told(finding))


def _told(finding: Finding) -> Iterator[str]:
    yield finding.message
    for note in finding.notes:
        yield f"{place(note.span)}: {note.message}"
    for fix in finding.fixes:
        yield f"fix: {fix.title}"


def _failure(failure: Failure) -> str:
    return _command("error", {"file": failure.file, "title": failure.rule or "not checked"}, failure.text)


def _command(name: str, properties: dict[str, object], *message: str) -> str:
    """A command; each of `message` is a line of what is shown."""
    written = ",".join(f"{key}={_property(str(value))}" for key, value in properties.items())
    return f"::{name} {written}::{_data(chr(10).join(map(visible, message)))}"


def _data(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _data(visible(text)).replace(":", "%3A").replace(",", "%2C")
