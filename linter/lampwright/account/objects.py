"""Findings and sums as plain objects, in the form that the plan language's page promises to programs.

Lines and columns count from 1, columns in code points, ends exclusive. Knows no form of report.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping

from lampwright.account.words import LEVELS, allowed, opened
from lampwright.diagnostics import Failure, Finding, Fix, Note, Report, Undecided
from lampwright.harmless import harmless_json
from lampwright.text import Edit, Span

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


def written(value: Any, indent: int | None = None) -> str:
    """`value` as JSON text in which nothing is a command to whoever shows it."""
    return harmless_json(json.dumps(value, ensure_ascii=False, allow_nan=False, indent=indent))


def finding_object(finding: Finding) -> dict[str, Any]:
    """All that a program may want to know of a finding."""
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


def undecided_object(item: Undecided) -> dict[str, Any]:
    """Where a rule could not tell, and for lack of what."""
    start = item.span.source.position(item.span.start)
    return {
        "rule": item.rule,
        "file": item.span.source.name,
        "line": start.line,
        "column": start.column,
        "lacks": item.lacks,
    }


def failure_object(failure: Failure) -> dict[str, Any]:
    """What could not be done."""
    return {"rule": failure.rule, "file": failure.file, "text": failure.text}


def summary_object(report: Report) -> dict[str, Any]:
    """How many of what; allowed findings are counted apart and nowhere else."""
    return {
        "files": len(report.sources),
        **{f"{level.word}s": len(opened(report, level)) for level in LEVELS},
        "allowed": len(allowed(report)),
        **({"known": report.known} if report.known is not None else {}),
        "not-decided": len(report.undecided),
        "rules-ignored": list(report.ignored),
    }


def _plain(value: Any) -> Any:
    """`value` as JSON can hold it: a figure without bound, such as the life of a lamp that glows faintly, is null."""
    if isinstance(value, Mapping):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    return None if isinstance(value, float) and not math.isfinite(value) else value


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
