"""A report as a Code Quality artefact, which GitLab shows in a merge request beside the lines of the change.

The form knows nothing but issues with a place; so what was not checked is one more issue, of the least severity.
"""

from __future__ import annotations

from hashlib import sha256

from lampwright.account.objects import written
from lampwright.account.words import opened, unchecked
from lampwright.diagnostics import Failure, Finding, Report, Severity
from lampwright.harmless import visible

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

_SEVERITIES = {Severity.ERROR: "major", Severity.WARNING: "minor", Severity.NOTE: "info"}


def render_gitlab(report: Report) -> str:
    """A JSON array of issues, with a line end. Each has a fingerprint of its own that stays when lines move."""
    issues = [_finding(finding) for finding in opened(report)]
    issues += [_failure(failure) for failure in report.failures]
    issues += [_not_checked(report)] if unchecked(report) else []
    return f"{written(issues, indent=2)}\n"


def _finding(finding: Finding) -> dict[str, Any]:
    source = finding.span.source
    lines = {"begin": source.position(finding.span.start).line, "end": source.position(finding.span.end).line}
    key = (source.name, finding.fingerprint)
    return _issue(finding.rule, finding.message, _SEVERITIES[finding.level], source.name, lines, *key)


def _failure(failure: Failure) -> dict[str, Any]:
    name = failure.rule or "not-checked"
    return _issue(name, failure.text, "critical", failure.file, {"begin": 1}, name, failure.file, failure.text)


def _not_checked(report: Report) -> dict[str, Any]:
    """It changes, and so is news in a merge request, exactly when something else is not checked than before."""
    files = sorted(source.name for source in report.sources) or [failure.file for failure in report.failures]
    text = f"not checked: {unchecked(report)}"
    return _issue("not-checked", text, "info", next(iter(files), "."), {"begin": 1}, "lampwright", text)


def _issue(rule: str, text: str, severity: str, file: str, lines: dict[str, int], *key: str) -> dict[str, Any]:
    return {
        "type": "issue",
        "check_name": rule,
        "description": visible(text),
        "severity": severity,
        "fingerprint": sha256("\0".join(key).encode("utf-8", "surrogatepass")).hexdigest(),
        "location": {"path": file, "lines": lines},
    }
