"""What every form of report promises, whichever it is, and what each of them promises alone."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest
from syrupy.assertion import SnapshotAssertion

from command import BURNING, PLAN, SPARE, Command, lay
from lampwright.cli.reporting import FORMATS
from lampwright.diagnostics import Failure, Report, Severity
from reports import NAMES, clean, everything, render

ROOT = Path(__file__).parent.parent
MISTAKES = "examples/mistakes"
SOME = [
    f"{MISTAKES}/{name}.lights.yaml"
    for name in ("decimal-comma", "overdriven-led", "unlit-string", "unwired-lamp", "useless-allowance")
]
"""Mistakes with and without a fix, other places, another level, something that is not decided."""

# --- All of them ------------------------------------------------------------------------------------------------------


def test_there_is_a_module_for_each_format_and_a_format_for_each_module() -> None:
    modules = {path.stem for path in (ROOT / "linter/lampwright/render").glob("as_*.py")}
    assert modules == {f"as_{name.replace('-', '_')}" for name in FORMATS}


@pytest.mark.parametrize("form", NAMES)
def test_every_report_reads_as_before(form: str, snapshot: SnapshotAssertion) -> None:
    assert shown(form, render(form, everything())) == snapshot
    assert shown(form, render(form, clean())) == snapshot
    assert shown(form, render(form, Report())) == snapshot


@pytest.mark.parametrize("form", [name for name in NAMES if name not in {"text", "json"}])
def test_the_mistakes_of_the_example_club_read_as_before(
    command: Command, monkeypatch: pytest.MonkeyPatch, form: str, snapshot: SnapshotAssertion
) -> None:
    monkeypatch.chdir(ROOT)
    outcome = command("check", "--format", form, *(SOME if form != "line" else [MISTAKES]))
    assert (outcome.status, outcome.err) == (1, "")
    assert shown(form, outcome.out) == snapshot


def shown(form: str, printed: str) -> str:
    """A report without what changes with the rules' pages and the version."""
    if form != "sarif":
        return re.sub(r'("lampwright": ")[0-9.]+"', r'\1…"', printed)
    log = json.loads(printed)
    driver = log["runs"][0]["tool"]["driver"]
    driver |= {"version": "…", "semanticVersion": "…", "rules": len(driver["rules"]) > 20}
    for result in log["runs"][0]["results"]:
        result.pop("ruleIndex", None)
    return json.dumps(log, indent=1, ensure_ascii=False)


@pytest.mark.parametrize("form", NAMES)
def test_every_report_says_what_was_not_checked(form: str) -> None:
    printed = render(form, everything())
    # One finding is allowed, one place not decided, one rule ignored, and two things failed.
    assert "duplicate-key" in printed
    for kind, word in (("allowed", "allowed"), ("undecided", "not.decided"), ("failures", "failure|cannot read")):
        assert re.search(word, printed, re.IGNORECASE), kind
    assert not re.search("duplicate-key|allowed: |not.decided: |cannot read", render_clean(form), re.IGNORECASE)


def render_clean(form: str) -> str:
    """The report on nothing, without the pages of the rules."""
    return shown(form, render(form, clean()))


@pytest.mark.parametrize("form", NAMES)
def test_every_report_has_whole_lines(form: str) -> None:
    for report in (everything(), clean(), Report()):
        printed = render(form, report)
        assert printed == "" or printed.endswith("\n")
        assert not any(line != line.rstrip() for line in printed.splitlines())


@pytest.mark.parametrize("form", NAMES)
def test_a_report_does_not_depend_on_the_order_in_which_files_are_named(command: Command, form: str) -> None:
    lay({"a.lights.yaml": BURNING, "b.lights.yaml": SPARE, "c.lights.yaml": PLAN})
    paths = ["a.lights.yaml", "b.lights.yaml", "c.lights.yaml"]
    outcomes = [command("check", "--format", form, *order) for order in (paths, paths[::-1], ["."])]
    assert outcomes[0] == outcomes[1] == outcomes[2]
    assert outcomes[0].status == 1


@pytest.mark.parametrize("form", NAMES)
def test_the_status_is_the_same_in_every_form(command: Command, form: str) -> None:
    lay({"right.lights.yaml": PLAN, "wrong.lights.yaml": BURNING, "warned.lights.yaml": SPARE})
    assert command("check", "--format", form, "right.lights.yaml").status == 0
    assert command("check", "--format", form, "warned.lights.yaml").status == 0
    assert command("check", "--format", form, "wrong.lights.yaml").status == 1
    outcome = command("check", "--format", form, "wrong.lights.yaml", "nowhere.lights.yaml")
    assert (outcome.status, outcome.err) == (2, "lampwright: nowhere.lights.yaml: there is no such file\n")
    # What could be checked is reported all the same, and what could not is in the report too.
    assert "unprotected-led" in outcome.out
    assert re.search("nowhere.lights.yaml|1 failure", outcome.out)


# --- One line a finding -----------------------------------------------------------------------------------------------


def test_a_finding_is_one_line_in_the_form_of_the_gnu_coding_standards(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    # GNU coding standards, "Formatting Error Messages": sourcefile:lineno:column: message; a program's own: program: message.
    monkeypatch.chdir(ROOT)
    *lines, last = command("check", "--format", "line", MISTAKES).out.splitlines()
    findings = command.json(MISTAKES).json["findings"]
    assert lines == [
        f"{each['file']}:{each['line']}:{each['column']}: {each['level']}: {each['message']} [{each['rule']}]"
        for each in findings
        if each["allowed"] is None
    ]
    assert re.fullmatch("lampwright: not checked: [0-9]+ allowed; [0-9]+ not decided; rules ignored: [a-z-]+", last)
    assert render("line", clean()) == ""


# --- JSON lines -------------------------------------------------------------------------------------------------------


def test_json_lines_say_what_json_says(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    document = command.json(MISTAKES, "nowhere").json
    by_kind: dict[str, list[dict[str, Any]]] = {"finding": [], "undecided": [], "failure": [], "summary": []}
    for line in command("check", "--format", "json-lines", MISTAKES, "nowhere").out.splitlines():
        record = json.loads(line)
        by_kind[record.pop("kind")].append(record)
    assert by_kind["finding"] == document["findings"]
    assert by_kind["undecided"] == document["undecided"]
    assert by_kind["failure"] == document["failures"]
    head = {"lampwright": document["lampwright"], "format": 1}
    assert by_kind["summary"] == [{**head, **document["summary"]}]


# --- JUnit XML --------------------------------------------------------------------------------------------------------


def test_junit_fails_where_the_command_does() -> None:
    root = ET.fromstring(render("junit", everything()))
    assert (root.get("tests"), root.get("failures"), root.get("errors")) == ("11", "3", "2")
    suites = {suite.get("name"): suite for suite in root}
    assert list(suites) == ["clean.parts.yaml", "plans/a b.lights.yaml", "sheet.decoder.yaml", "rules ignored"]
    for suite in suites.values():
        assert suite.get("tests") == str(len(suite.findall("testcase")))
        for kind in ("failure", "error", "skipped"):
            attribute = kind if kind == "skipped" else f"{kind}s"
            assert suite.get(attribute) == str(len(suite.findall(f"testcase/{kind}")))
    (case,) = suites["clean.parts.yaml"]
    assert list(case) == []
    assert [f"{case[0].tag} {case[0].get('type', '')}" for case in suites["plans/a b.lights.yaml"]] == [
        "failure error",
        "skipped allowed",
        "system-out ",
        "system-out ",
        "failure error",
        "skipped undecided",
        "error failure",
    ]


# --- Workflow commands ------------------------------------------------------------------------------------------------


def test_at_most_ten_annotations_of_a_level_come_and_the_rest_is_in_the_log() -> None:
    # Ten of a level in one step is the limit that the service documents: from memory.
    lines = render("github", everything(many=30)).splitlines()
    commands = [line.split(" ")[0] for line in lines if line.startswith("::")]
    assert [commands.count(f"::{level}") for level in ("error", "warning", "notice")] == [5, 10, 2]
    assert commands == [*sorted(commands[:-1], key=["::error", "::warning", "::notice"].index), "::notice"]
    plain = [line for line in lines if not line.startswith("::")]
    assert len(plain) == 20
    assert all(re.fullmatch(r"plans/a b\.lights\.yaml:3:11: warning: .* \[unwired-lamp\]", line) for line in plain)
    assert lines[-1].endswith("; 20 findings only in the log")


def test_the_sums_are_an_annotation_only_where_something_is_missing() -> None:
    assert render("github", clean()) == "0 errors, 0 warnings, 0 notes in 2 files\n"
    assert render("github", everything()).splitlines()[-1].startswith("::notice title=lampwright::3 errors, 1 warning")


def test_more_failures_than_are_shown_leave_no_room_for_errors() -> None:
    failures = tuple(Failure(None, f"{number}", "gone") for number in range(12))
    report = Report(findings=everything().findings, failures=failures)
    lines = render("github", report).splitlines()
    assert sum(line.startswith("::error") for line in lines) == 12
    assert [line for line in lines if ": error: " in line and not line.startswith("::")] != []


# --- Code Quality -----------------------------------------------------------------------------------------------------


def test_issues_have_the_fields_that_gitlab_documents() -> None:
    # description, check_name, fingerprint, severity, location.path and location.lines.begin: from memory of its manual.
    issues = json.loads(render("gitlab", everything(many=30)))
    for issue in issues:
        assert {"description", "check_name", "fingerprint", "severity", "location"} <= set(issue)
        assert issue["severity"] in {"info", "minor", "major", "critical", "blocker"}
        assert re.fullmatch("[0-9a-f]{64}", issue["fingerprint"])
        assert issue["location"]["lines"]["begin"] >= 1
        assert not issue["location"]["path"].startswith("./")
    assert len({issue["fingerprint"] for issue in issues}) == len(issues) == 37
    assert json.loads(render("gitlab", clean())) == []


def test_fingerprints_of_issues_stay_when_lines_move(command: Command) -> None:
    def fingerprints(text: str) -> dict[str, str]:
        lay({"a.lights.yaml": text})
        issues = json.loads(command("check", "--format", "gitlab", "a.lights.yaml").out)
        return {issue["check_name"]: issue["fingerprint"] for issue in issues}

    before = fingerprints(BURNING)
    after = fingerprints(f"# a line\n\n{BURNING}")
    assert before["unprotected-led"] == after["unprotected-led"]


# --- Markdown ---------------------------------------------------------------------------------------------------------


def test_markdown_puts_the_worst_first_and_says_how_many_it_leaves_out() -> None:
    page = render("markdown", everything(many=150))
    headings = [line for line in page.splitlines() if line.startswith("#")]
    assert headings == [
        "## Lampwright: 3 errors, 150 warnings, 1 note in 3 files",
        "### Errors",
        "### Warnings",
        "### Notes",
        "### Not checked",
    ]
    assert "- and 50 more\n" in page
    assert page.count("**unwired-lamp**") == 100
    assert render("markdown", clean()) == "## Lampwright: 0 errors, 0 warnings, 0 notes in 2 files\n"


def test_levels_are_in_all_reports_as_they_are_in_the_findings() -> None:
    report = everything()
    open_levels = [finding.level for finding in report.findings if finding.allowed is None]
    log = json.loads(render("sarif", report))["runs"][0]["results"]
    assert [each["level"] for each in log if each["kind"] == "fail" and not each["suppressions"]] == [
        level.word for level in open_levels
    ]
    severities = {Severity.ERROR: "major", Severity.WARNING: "minor", Severity.NOTE: "info"}
    issues = json.loads(render("gitlab", report))
    assert [issue["severity"] for issue in issues][: len(open_levels)] == [severities[level] for level in open_levels]


# --- Statistics -------------------------------------------------------------------------------------------------------


def test_statistics_count_what_json_lists(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    counted: dict[str, list[int]] = {}
    files: dict[str, set[str]] = {}
    document = json.loads(command("check", "--format", "json", "examples").out)
    for item in [*document["findings"], *document["undecided"]]:
        is_open = item.get("allowed") is None
        column = ["error", "warning", "note"].index(item["level"]) if "level" in item and is_open else 3
        column = column if "level" in item else 4
        counted.setdefault(item["rule"], [0] * 5)[column] += 1
        files.setdefault(item["rule"], set()).add(item["file"])
    heading, *rows, blank, sums = command("check", "--format", "statistics", "examples").out.splitlines()
    assert heading.split() == ["rule", "errors", "warnings", "notes", "allowed", "not", "decided", "files"]
    assert blank == ""
    assert sums == command("check", "examples").out.splitlines()[-1]
    printed = {name: [0 if each == "." else int(each) for each in numbers] for name, *numbers in map(str.split, rows)}
    assert printed == {rule: [*numbers, len(files[rule])] for rule, numbers in counted.items()}
    totals = [sum(numbers[:3]) for numbers in printed.values()]
    assert totals == sorted(totals, reverse=True)


def test_statistics_of_nothing_are_the_sums_alone() -> None:
    assert render("statistics", clean()) == "0 errors, 0 warnings, 0 notes in 2 files\n"
