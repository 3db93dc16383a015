"""A report as JUnit XML, for services that show test reports: a file is a suite, a finding a case of it.

Cases fail as the command does: an error fails, a warning or a note passes and says its words, what could not be judged
is skipped. A file without any of these has one case that passes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lampwright.account.words import line, place
from lampwright.diagnostics import Failure, Finding, Report, Severity, Undecided
from lampwright.harmless import visible, visible_name
from lampwright.records import dataclass


def render_junit(report: Report) -> str:
    """An XML document, with a line end. It holds no time, so that the same plans give the same report."""
    suites = list(_suites(report))
    cases = [case for _, listed in suites for case in listed]
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<testsuites name="lampwright" {_sums(cases)}>',
        *(each for name, listed in suites for each in _suite(name, listed)),
        "</testsuites>",
    ]
    return "".join(f"{each}\n" for each in lines)


@dataclass(frozen=True, slots=True)
class _Case:
    """A test case. `outcome` is the element that tells how it ended, with its message and its text."""

    name: str
    outcome: str = ""
    kind: str = ""
    message: str = ""
    text: str = ""


# --- From the report --------------------------------------------------------------------------------------------------


def _suites(report: Report) -> Iterator[tuple[str, list[_Case]]]:
    """The cases of each file by its name, and of the rules that the settings leave out."""
    cases: dict[str, list[_Case]] = {source.name: [] for source in report.sources}
    for finding in report.findings:
        cases.setdefault(finding.span.source.name, []).append(_finding(finding))
    for item in report.undecided:
        cases.setdefault(item.span.source.name, []).append(_undecided(item))
    for failure in report.failures:
        cases.setdefault(failure.file, []).append(_failure(failure))
    for name, listed in sorted(cases.items()):
        yield name, listed or [_Case("nothing found")]
    if report.ignored:
        yield "rules ignored", [_Case(rule, "skipped", "ignored", "ignored by the settings") for rule in report.ignored]


def _finding(finding: Finding) -> _Case:
    name, words = f"{finding.rule} {_numbers(finding)}", visible(finding.message)
    if finding.allowed is not None:
        return _Case(name, "skipped", "allowed", f"allowed: {visible(finding.allowed)}", line(finding))
    outcome = "failure" if finding.level is Severity.ERROR else "system-out"
    return _Case(name, outcome, finding.level.word, words, "\n".join(_told(finding)))


def _told(finding: Finding) -> Iterator[str]:
    yield line(finding)
    for note in finding.notes:
        yield f"{place(note.span)}: {visible(note.message)}"
    for fix in finding.fixes:
        yield f"fix: {visible(fix.title)}"


def _undecided(item: Undecided) -> _Case:
    return _Case(f"{item.rule} {_numbers(item)}", "skipped", "undecided", f"not decided: lacks {visible(item.lacks)}")


def _failure(failure: Failure) -> _Case:
    return _Case(failure.rule or "reading", "error", "failure", visible(failure.text))


def _numbers(item: Finding | Undecided) -> str:
    position = item.span.source.position(item.span.start)
    return f"{position.line}:{position.column}"


# --- To XML -----------------------------------------------------------------------------------------------------------


def _suite(name: str, cases: list[_Case]) -> Iterator[str]:
    shown = _escaped(visible_name(name))
    yield f'  <testsuite name="{shown}" {_sums(cases)} skipped="{_count(cases, "skipped")}">'
    for case in cases:
        start = f'    <testcase classname="{shown}" name="{_escaped(case.name)}"'
        yield f"{start}>{_outcome(case)}</testcase>" if case.outcome else f"{start}/>"
    yield "  </testsuite>"


def _outcome(case: _Case) -> str:
    text = _escaped(case.text)
    if case.outcome == "system-out":
        return f"<system-out>{text}</system-out>"
    return f'<{case.outcome} type="{case.kind}" message="{_escaped(case.message)}">{text}</{case.outcome}>'


def _sums(cases: list[_Case]) -> str:
    return f'tests="{len(cases)}" failures="{_count(cases, "failure")}" errors="{_count(cases, "error")}"'


def _count(cases: Iterable[_Case], outcome: str) -> int:
    return sum(case.outcome == outcome for case in cases)


def _escaped(text: str) -> str:
    # What XML cannot hold at all, such as NUL and lone surrogates, is written as its code before this.
    return text.translate(_ESCAPES)


_ESCAPES = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;"})
