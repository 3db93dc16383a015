"""The example files of `language/`, with something changed in them, checked together as a club's repository would be."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from lampwright.diagnostics import Finding, Report
from lampwright.engine import Refusal, check, merge_reports, settings_of
from lampwright.model.settings import Settings
from lampwright.text import Source

FOLDER = Path(__file__).parent / "language"
PLAN = "quarry-switcher-7.lights.yaml"
SHEET = "bench-six.decoder.yaml"
PARTS = "club.parts.yaml"
SETTINGS = "lampwright.yaml"

# A file, a piece of it that stands there (the first one counts), and what is put in its place.
Change = tuple[str, str, str]


def files(*changes: Change) -> dict[str, str]:
    """All files by name, after the changes."""
    texts = {name: (FOLDER / name).read_text("utf-8") for name in (PLAN, SHEET, PARTS, SETTINGS)}
    for name, old, new in changes:
        assert old in texts[name], f"{name} holds no {old!r}"
        texts[name] = texts[name].replace(old, new, 1)
    return texts


def reported(*changes: Change) -> Report:
    """What is found in all files after the changes, those of the settings included."""
    return report_of(files(*changes))


def report_of(texts: dict[str, str]) -> Report:
    """The same for files that are given."""
    settings = settings_in(texts[SETTINGS])

    def load(_: Source, path: str) -> Source | Refusal:
        return source(path, texts[path]) if path in texts else Refusal("missing")

    reports = [check(source(name, texts[name]), settings, load, raising=True) for name in (PLAN, SETTINGS)]
    return merge_reports(reports)


@cache
def source(name: str, text: str) -> Source:
    """The same source for the same text, so that what does not change is read once."""
    return Source(name, text)


@cache
def settings_in(text: str) -> Settings:
    """The settings that a text holds."""
    return settings_of(Source(SETTINGS, text))


def found(*changes: Change) -> list[tuple[str, str]]:
    """Rule and culprit of each finding."""
    return [(finding.rule, finding.span.text) for finding in reported(*changes).findings]


def only(*changes: Change) -> Finding:
    """The one finding that there must be."""
    findings = reported(*changes).findings
    assert len(findings) == 1, [(finding.rule, finding.span.text, finding.message) for finding in findings]
    return findings[0]
