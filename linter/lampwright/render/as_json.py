"""A report as one JSON object, in the form that the plan language's page promises to programs."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping
from typing import Any

from lampwright import __version__
from lampwright.diagnostics import Finding, Fix, Note, Report, Severity, Undecided
from lampwright.text import Edit, Span


def render_json(report: Report) -> str:
    """The report, with a line end. Lines and columns count from 1, columns in code points, ends exclusive."""
    document = {
        "lampwright": __version__,
        "format": 1,
        "findings": [_finding(finding) for finding in report.findings],
        "undecided": [_undecided(item) for item in report.undecided],
        "failures": [{"rule": item.rule, "file": item.file, "text": item.text} for item in report.failures],
        "summary": summary(report),
    }
    text = json.dumps(document, ensure_ascii=False, allow_nan=False, indent=2)
    return _BEYOND_ASCII.sub(_harmless, text) + "\n"


_BEYOND_ASCII = re.compile("[^\x00-\x7e]")


def _harmless(match: re.Match[str]) -> str:
    """A character as it is, or as the code that means the same in a string, if a terminal would obey or hide it."""
    return match[0] if match[0].isprintable() else json.dumps(match[0])[1:-1]


def summary(report: Report) -> dict[str, Any]:
    """How many of what; allowed findings are counted apart and nowhere else."""
    open_levels = [finding.level for finding in report.findings if finding.allowed is None]
    return {
        "files": len(report.sources),
        "errors": open_levels.count(Severity.ERROR),
        "warnings": open_levels.count(Severity.WARNING),
        "notes": open_levels.count(Severity.NOTE),
        "allowed": len(report.findings) - len(open_levels),
        **({"known": report.known} if report.known is not None else {}),
        "not-decided": len(report.undecided),
        "rules-ignored": list(report.ignored),
    }


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "rule": finding.rule,
        "level": finding.level.word,
        **_place(finding.span),
        "message": finding.message,
        "allowed": finding.allowed,
        "related": [_note(note) for note in finding.notes],
        "fixes": [_fix(fix) for fix in finding.fixes],
        "fingerprint": finding.fingerprint,
        "data": _plain(finding.data),
    }


def _plain(value: Any) -> Any:
    """`value` as JSON can hold it: a figure without bound, such as the life of a lamp that glows faintly, is null."""
    if isinstance(value, Mapping):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    return None if isinstance(value, float) and not math.isfinite(value) else value


def _undecided(item: Undecided) -> dict[str, Any]:
    start = item.span.source.position(item.span.start)
    return {
        "rule": item.rule,
        "file": item.span.source.name,
        "line": start.line,
        "column": start.column,
        "lacks": item.lacks,
    }


def _place(span: Span) -> dict[str, Any]:
    start, end = span.source.position(span.start), span.source.position(span.end)
    return {
        "file": span.source.name,
        "line": start.line,
        "column": start.column,
        "end-line": end.line,
        "end-column": end.column,
    }


def _note(note: Note) -> dict[str, Any]:
    return {**_place(note.span), "message": note.message}


def _fix(fix: Fix) -> dict[str, Any]:
    return {"title": fix.title, "sure": fix.sure, "edits": [_edit(edit) for edit in fix.edits]}


def _edit(edit: Edit) -> dict[str, Any]:
    return {**_place(edit.span), "text": edit.text}
