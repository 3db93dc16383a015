"""Checks and fixes a text as the command would, without files."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from lampwright.diagnostics import Finding, Report
from lampwright.engine import Refusal
from lampwright.engine import check as check_source
from lampwright.model.settings import Settings
from lampwright.text import Source, apply

PLAN = "plan.lights.yaml"


def report(
    text: str, name: str = PLAN, files: Mapping[str, str] | None = None, settings: Settings | None = None
) -> Report:
    """What is found in `text`, which may refer to `files`. A rule that fails raises."""
    sources = {path: Source(path, content) for path, content in (files or {}).items()}

    def load(_: Source, path: str) -> Source | Refusal:
        return sources.get(path, Refusal("missing"))

    return check_source(Source(name, text), settings or Settings(), load, raising=True)


def check(
    text: str, name: str = PLAN, files: Mapping[str, str] | None = None, settings: Settings | None = None
) -> list[Finding]:
    """The findings in `text` that are not allowed."""
    return [finding for finding in report(text, name, files, settings).findings if finding.allowed is None]


def fix(
    text: str,
    name: str = PLAN,
    files: Mapping[str, str] | None = None,
    settings: Settings | None = None,
    *,
    rounds: int = 10,
    but: Collection[str] = (),
    sure: bool = False,
) -> str:
    """`text` after the first fix of the first finding that has one, until none is left.

    Passed over are findings of the rules `but`, and with `sure` those whose fix is not sure.
    """
    for _ in range(rounds):
        findings = check(text, name, files, settings)
        fixed = (each for each in findings if each.fixes and each.rule not in but)
        found = next((each for each in fixed if each.fixes[0].sure or not sure), None)
        if found is None:
            return text
        text = apply(found.span.source, found.fixes[0].edits)
    raise AssertionError("fixes do not come to an end")


def says(text: str, name: str = PLAN, files: Mapping[str, str] | None = None) -> list[tuple[str, str, str]]:
    """Rule, culprit and message of each finding."""
    return [(finding.rule, finding.span.text, finding.message) for finding in check(text, name, files)]
