"""What is printed for programs, held to every promise of the plan language's page."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from command import BURNING, PLAN, REFERRING, SHEET, SPARE, Command, lay
from lampwright.diagnostics import Finding, Fix, Report, Severity
from lampwright.render.as_json import render_json
from lampwright.text import Edit, Source
from report_format import hold, hold_place

ROOT = Path(__file__).parent.parent


@pytest.mark.parametrize("path", ["examples/mistakes", "examples/vehicles", "examples", "tests/language"])
def test_the_report_keeps_every_promise(command: Command, monkeypatch: pytest.MonkeyPatch, path: str) -> None:
    monkeypatch.chdir(ROOT)
    outcome = command.json(path)
    hold(outcome.json, ROOT)
    errors = outcome.json["summary"]["errors"]
    assert outcome.status == (1 if errors else 0)
    assert outcome.out.endswith("}\n")


def test_the_report_has_all_its_parts_when_there_is_nothing_to_say(command: Command) -> None:
    # A decoder of which nothing is left unsaid that a rule would ask for.
    lay({"a.lights.yaml": PLAN})
    outcome = command.json("a.lights.yaml")
    hold(outcome.json, Path())
    zero = {"errors": 0, "warnings": 0, "notes": 0, "allowed": 0, "not-decided": 0, "rules-ignored": []}
    assert outcome.json == {
        **outcome.json,
        "findings": [],
        "undecided": [],
        "failures": [],
        "summary": {"files": 1, **zero},
    }


def test_the_report_is_printed_at_status_2_too(command: Command) -> None:
    lay({"a.lights.yaml": BURNING, "lampwright.yaml": "levels: {duplicate-key: ignore}\n"})
    outcome = command.json("a.lights.yaml", "nowhere.lights.yaml")
    hold(outcome.json, Path())
    assert outcome.status == 2
    assert outcome.json["summary"] == {
        **outcome.json["summary"],
        "files": 2,
        "errors": 1,
        "rules-ignored": ["duplicate-key"],
    }
    assert [failure["file"] for failure in outcome.json["failures"]] == ["nowhere.lights.yaml"]


def test_allowed_findings_are_listed_and_count_nowhere_else(command: Command) -> None:
    excused = BURNING.replace(
        "front headlamp]}", "front headlamp]}  # lampwright: allow unprotected-led --  for the bench "
    )
    lay({"a.lights.yaml": excused})
    outcome = command.json("a.lights.yaml")
    hold(outcome.json, Path())
    assert [(finding["rule"], finding["level"], finding["allowed"]) for finding in outcome.json["findings"]] == [
        ("unprotected-led", "error", "for the bench")
    ]
    assert (outcome.status, outcome.json["summary"]["errors"], outcome.json["summary"]["allowed"]) == (0, 0, 1)


def test_columns_count_code_points(command: Command) -> None:
    name = "\U0001f686e\u0301Ω車"
    lay({"a.lights.yaml": f"\ufeff{SPARE}".replace("Quarry switcher 7}", f"{name}, colur: {name}}}").encode()})
    (finding,) = [
        finding for finding in command.json("a.lights.yaml").json["findings"] if finding["rule"] == "unknown-key"
    ]
    line = f"vehicle: {{name: {name}, colur: {name}}}"
    hold_place(finding, Path())
    assert line[finding["column"] - 1 : finding["end-column"] - 1] == "colur"


def test_edits_lead_from_the_bad_text_to_the_good_one(command: Command) -> None:
    lay({"a.lights.yaml": PLAN.replace("14.5 V", "14,5 V")})
    (finding,) = command.json("a.lights.yaml").json["findings"]
    (fix,) = finding["fixes"]
    (edit,) = fix["edits"]
    lines = Path("a.lights.yaml").read_text("utf-8").split("\n")
    line = lines[edit["line"] - 1]
    lines[edit["line"] - 1] = line[: edit["column"] - 1] + edit["text"] + line[edit["end-column"] - 1 :]
    assert "\n".join(lines) == PLAN


@pytest.mark.parametrize("figure", [float("inf"), float("-inf"), float("nan")])
def test_a_figure_without_bound_is_null(figure: float) -> None:
    source = Source("a", "x")
    data: dict[str, Any] = {"life": figure, "corner": {"supply": figure, "resistance": 1.5}, "suggested": [figure, 1]}
    found = Finding(
        source.span(0, 1),
        "m",
        data=data,
        level=Severity.NOTE,
        rule="dim-led",
        fixes=(Fix("t", (Edit(source.span(0, 0), "y"),)),),
    )
    printed = render_json(Report((source,), (found,)))
    assert not re.search("NaN|Infinity", printed)
    assert '"life": null' in printed
    assert '"supply": null' in printed
    assert '"resistance": 1.5' in printed


def test_no_file_of_the_reports_goes_by_another_name(command: Command) -> None:
    lay({"a.lights.yaml": REFERRING, "bench-six.decoder.yaml": SHEET.replace("100 mA", "100 ma")})
    outcome = command.json("a.lights.yaml")
    hold(outcome.json, Path())
    assert outcome.json["findings"][0]["file"] == outcome.json["findings"][0]["fixes"][0]["edits"][0]["file"]
