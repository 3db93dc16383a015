"""The programming list as one JSON object, in the form that the plan language's page promises to programs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from lampwright.account.objects import written
from lampwright.account.plan_objects import setting_object
from lampwright.analysis.programming import Programming
from lampwright.diagnostics import Finding
from lampwright.model.lighting import LightingPlan
from lampwright.rule.cv_meanings import words_of


def render_cvs_json(name: str, plan: LightingPlan, programming: Programming, findings: Sequence[Finding]) -> str:
    """The list for the plan in file `name`, with what cannot be programmed; with a line end."""
    words = words_of(plan, programming)
    document = {
        "format": 1,
        "plan": name,
        "cvs": [setting_object(setting, words) for setting in programming.settings],
        "not-expressible": [_finding(finding) for finding in findings],
    }
    return f"{written(document, indent=2)}\n"


def _finding(finding: Finding) -> dict[str, Any]:
    start = finding.span.source.position(finding.span.start)
    return {
        "rule": finding.rule,
        "file": finding.span.source.name,
        "line": start.line,
        "column": start.column,
        "message": finding.message,
    }
