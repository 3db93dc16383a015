"""The example club: clean but for its folder of mistakes, in which each file has the one mistake that it is named after."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from syrupy.assertion import SnapshotAssertion

from lampwright.cli import main
from lampwright.rules import RULES

ROOT = Path(__file__).parent.parent
MISTAKES = "examples/mistakes/"


@pytest.fixture
def findings(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> list[dict[str, Any]]:
    """What the command says of the whole club."""
    monkeypatch.chdir(ROOT)
    assert main(["check", "examples", "--format", "json"]) == 1
    document = json.loads(capsys.readouterr().out)
    assert document["failures"] == []
    found: list[dict[str, Any]] = document["findings"]
    # Where one mistake has two sides, its owner excuses the other one.
    return [finding for finding in found if finding["allowed"] is None]


def test_everything_but_the_mistakes_is_clean(findings: list[dict[str, Any]]) -> None:
    assert [found for found in findings if not found["file"].startswith(MISTAKES)] == []


def test_each_mistake_is_found_once_and_by_its_name(findings: list[dict[str, Any]]) -> None:
    files = {path.relative_to(ROOT).as_posix() for path in (ROOT / MISTAKES).glob("*.yaml")}
    by_file = {found["file"]: found["rule"] for found in findings}
    assert len(by_file) == len(findings)
    for file in files - {f"{MISTAKES}lost-leaflet.decoder.yaml"}:
        assert by_file[file] == file.removeprefix(MISTAKES).partition(".")[0]


def test_every_rule_has_its_mistake(findings: list[dict[str, Any]]) -> None:
    # A slipped thousand needs no story of its own; its page has one.
    assert {rule.name for rule in RULES} - {found["rule"] for found in findings} <= {"implausible-value"}


@pytest.mark.parametrize("form", ["text", "json"])
def test_the_mistakes_are_told_as_before(
    form: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], snapshot: SnapshotAssertion
) -> None:
    monkeypatch.chdir(ROOT)
    assert main(["check", "--format", form, MISTAKES]) == 1
    assert capsys.readouterr().out == snapshot


def test_the_pages_read_as_before(capsys: pytest.CaptureFixture[str], snapshot: SnapshotAssertion) -> None:
    assert main(["explain"]) == 0
    assert main(["explain", "overdriven-led"]) == 0
    assert capsys.readouterr().out == snapshot
