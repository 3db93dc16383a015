"""Reports held to what others published: the schema of SARIF by OASIS, the schema of JUnit XML, a reader of Markdown.

Where the schemas come from is said in `schemas/README.md`.
"""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import unquote_to_bytes

import pytest
import xmlschema
from jsonschema import Draft4Validator, FormatChecker
from markdown_it import MarkdownIt

from command import Command, lay
from lampwright.cli.reporting import FORMATS
from lampwright.diagnostics import Failure, Finding, Fix, Note, Report
from lampwright.rules import RULES
from lampwright.text import Edit, Position, Source, apply
from reports import clean, everything, render

ROOT = Path(__file__).parents[2]
SCHEMAS = Path(__file__).parent / "schemas"
REPORTS = [everything(), everything(many=30), clean(), Report(), Report(failures=(Failure(None, "a", "gone"),))]


@cache
def sarif_schema() -> Draft4Validator:
    return Draft4Validator(
        json.loads((SCHEMAS / "sarif-schema-2.1.0.json").read_text("utf-8")), format_checker=FormatChecker()
    )


@cache
def junit_schema() -> xmlschema.XMLSchema:
    return xmlschema.XMLSchema(SCHEMAS / "junit-10.xsd")


def sarif_run(printed: str) -> dict[str, Any]:
    """The run of a log that keeps the schema and says nothing in no words."""
    log = json.loads(printed)
    assert [error.message for error in sarif_schema().iter_errors(log)] == []
    assert "" not in strings(log)
    (run,) = log["runs"]
    return dict(run)


def strings(value: Any) -> list[str]:
    if isinstance(value, dict):
        return [text for item in value.values() for text in strings(item)]
    if isinstance(value, list):
        return [text for item in value for text in strings(item)]
    return [value] if isinstance(value, str) else []


# --- SARIF ------------------------------------------------------------------------------------------------------------


def test_the_schema_can_fail() -> None:
    log = json.loads(render("sarif", everything()))
    assert sarif_schema().is_valid(log)
    log["runs"][0]["results"][0]["level"] = "fatal"
    assert not sarif_schema().is_valid(log)
    log = json.loads(render("sarif", everything()))
    log["runs"][0]["results"][0]["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] = "a b"
    assert not sarif_schema().is_valid(log)


@pytest.mark.parametrize("report", REPORTS)
def test_a_log_keeps_the_schema_of_oasis(report: Report) -> None:
    run = sarif_run(render("sarif", report))
    results = run["results"]
    assert run["columnKind"] == "utf16CodeUnits"
    assert run["invocations"][0]["executionSuccessful"] == (not report.failures)
    assert len(run["invocations"][0]["toolExecutionNotifications"]) == len(report.failures)
    assert len(results) == len(report.findings) + len(report.undecided)
    for result in results:
        # SARIF 2.1.0, 3.27.9 and 3.27.10: of any kind but "fail" the level is "none"; 3.27.23: all or no suppressions.
        assert (result["kind"] == "fail") == (result["level"] != "none")
        assert "suppressions" in result
        # 3.27.6: the index leads to the rule of that name.
        assert run["tool"]["driver"]["rules"][result["ruleIndex"]]["id"] == result["ruleId"]
        (place,) = result["locations"]
        assert set(place["physicalLocation"]["region"]) == {"startLine", "startColumn", "endLine", "endColumn"}
        assert place["physicalLocation"]["artifactLocation"]["uriBaseId"] in run["originalUriBaseIds"]


@pytest.mark.parametrize("path", ["examples/mistakes", "examples/vehicles", "tests/language"])
def test_the_log_of_real_plans_keeps_the_schema(command: Command, monkeypatch: pytest.MonkeyPatch, path: str) -> None:
    monkeypatch.chdir(ROOT)
    run = sarif_run(command("check", "--format", "sarif", path).out)
    document = command.json(path).json
    assert [(each["ruleId"], each["level"]) for each in run["results"] if each["kind"] == "fail"] == [
        (each["rule"], each["level"]) for each in document["findings"]
    ]
    assert sum(each["kind"] == "open" for each in run["results"]) == len(document["undecided"])
    keys = [
        (
            each["locations"][0]["physicalLocation"]["artifactLocation"]["uri"],
            each["partialFingerprints"]["lampwright/v1"],
        )
        for each in run["results"]
        if each["kind"] == "fail"
    ]
    assert len(set(keys)) == len(keys)


def test_a_log_lists_every_rule_that_ran_with_its_page() -> None:
    listed = sarif_run(render("sarif", clean()))["tool"]["driver"]["rules"]
    assert [each["id"] for each in listed] == [rule.name for rule in RULES]
    assert [each["help"]["text"] for each in listed] == [rule.page.strip() for rule in RULES]
    assert [each["defaultConfiguration"]["level"] for each in listed] == [rule.level.word for rule in RULES]
    run = sarif_run(render("sarif", Report(ignored=("duplicate-key", "unknown-key"))))
    assert [each["id"] for each in run["tool"]["driver"]["rules"]] == [
        rule.name for rule in RULES if rule.name not in {"duplicate-key", "unknown-key"}
    ]
    notices = run["invocations"][0]["toolConfigurationNotifications"]
    assert [each["message"]["text"] for each in notices] == [
        "The rule duplicate-key is ignored by the settings.",
        "The rule unknown-key is ignored by the settings.",
    ]


def test_a_rule_that_one_folder_ignores_and_another_hears_did_run() -> None:
    source = Source("a.lights.yaml", "x")
    found = Finding(source.span(0, 1), "m", rule="unknown-key", fingerprint="f")
    run = sarif_run(render("sarif", Report((source,), (found,), ignored=("unknown-key",))))
    assert run["tool"]["driver"]["rules"][run["results"][0]["ruleIndex"]]["id"] == "unknown-key"


def test_pages_are_markdown() -> None:
    for rule in sarif_run(render("sarif", clean()))["tool"]["driver"]["rules"]:
        html = MarkdownIt("commonmark").render(rule["help"]["markdown"])
        assert html.count("<pre><code>") >= 2, rule["id"]
        assert re.search(r"<p>Bad( \([^)]+\))?:</p>", html), rule["id"]
        tags = {token.type for token in MarkdownIt("commonmark").parse(rule["help"]["markdown"])}
        lists = {f"{what}_{end}" for what in ("bullet_list", "list_item") for end in ("open", "close")}
        assert tags <= {"paragraph_open", "paragraph_close", "inline", "code_block", *lists}, rule["id"]


def test_allowed_findings_are_suppressed_and_stay() -> None:
    results = sarif_run(render("sarif", everything()))["results"]
    assert [each["suppressions"] for each in results if each["suppressions"]] == [
        [{"kind": "inSource", "justification": "because lamp 1"}]
    ]


def test_places_are_where_they_are_in_utf_16() -> None:
    # The plan is read back as a reader would: the log's columns, in the code units that it declares.
    report = everything()
    texts = {source.name: source.text for source in report.sources}
    for result, finding in zip(sarif_run(render("sarif", report))["results"], report.findings, strict=False):
        physical = result["locations"][0]["physicalLocation"]
        name = unquote_to_bytes(physical["artifactLocation"]["uri"]).decode()
        assert name == finding.span.source.name
        assert in_utf_16(texts[name], physical["region"]) == finding.span.text


def in_utf_16(text: str, region: dict[str, int]) -> str:
    lines = [line.encode("utf-16-le") for line in text.split("\n")]

    def offset(line: int, column: int) -> int:
        return sum(len(each) + 2 for each in lines[: line - 1]) + 2 * (column - 1)

    start = offset(region["startLine"], region["startColumn"])
    end = offset(region["endLine"], region["endColumn"])
    return text.encode("utf-16-le")[start:end].decode("utf-16-le")


def test_a_fix_can_be_applied_from_the_log(command: Command) -> None:
    text = "vehicle: {name: \U0001f686, scale: H0}\ndecoder: {outputs: {}}\nlamps: {}\noutputs: {}\nkeys: {}\n"
    lay({"a.lights.yaml": text})
    (fix,) = (
        fix
        for result in sarif_run(command("check", "--format", "sarif", "a.lights.yaml").out)["results"]
        for fix in result.get("fixes", [])
    )
    ((replacement,),) = (change["replacements"] for change in fix["artifactChanges"])
    region = replacement["deletedRegion"]
    assert in_utf_16(text, region) == "H0"
    source = Source("a", text)
    start, end = (
        source.offset_of_units(region[f"{side}Line"], region[f"{side}Column"] - 1, "utf-16")
        for side in ("start", "end")
    )
    edit = Edit(source.span(start, end), replacement["insertedContent"]["text"])
    assert apply(source, [edit]) == text.replace("H0", "HO")


def test_a_fix_that_takes_away_or_spans_files_keeps_the_schema() -> None:
    fixes = [fix for each in sarif_run(render("sarif", everything()))["results"] for fix in each.get("fixes", [])]
    assert [len(fix["artifactChanges"]) for fix in fixes] == [2]
    first, second = fixes[0]["artifactChanges"][0]["replacements"]
    assert first["insertedContent"] == {"text": "lamp 1"}
    assert "insertedContent" not in second


@pytest.mark.parametrize(
    ("name", "uri"),
    [
        ("plans/a b.lights.yaml", "plans/a%20b.lights.yaml"),
        ("Ω.lights.yaml", "%CE%A9.lights.yaml"),
        ("100%.lights.yaml", "100%25.lights.yaml"),
        ("a:b?c#d.lights.yaml", "a%3Ab%3Fc%23d.lights.yaml"),
        ("../club.parts.yaml", "../club.parts.yaml"),
        ("<script>.lights.yaml", "%3Cscript%3E.lights.yaml"),
        ("\udcff.lights.yaml", "%FF.lights.yaml"),
        ("a\\b.lights.yaml", "a%5Cb.lights.yaml"),
        ("\n.lights.yaml", "%0A.lights.yaml"),
    ],
)
def test_names_are_relative_uris(name: str, uri: str) -> None:
    # RFC 3986, sections 2.1 to 2.3 and 4.2: what is not unreserved is percent-encoded, a colon in a first segment too.
    (artifact,) = sarif_run(render("sarif", Report((Source(name, ""),))))["artifacts"]
    assert artifact["location"] == {"uri": uri, "uriBaseId": "%SRCROOT%"}


def test_a_file_on_another_drive_has_an_absolute_uri() -> None:
    (artifact,) = sarif_run(render("sarif", Report((Source("D:/plans/a b.lights.yaml", ""),))))["artifacts"]
    assert artifact["location"] == {"uri": "file:///D:/plans/a%20b.lights.yaml"}


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("the list [forward, reverse] (both)", "the list [forward, reverse] (both)"),
        ("{any: [forward]}", "{any: [forward]}"),
        ("a [link](https://a.example)", "a \\[link\\](https://a.example)"),
        ("the lamp {0}", "the lamp {{0}}"),
    ],
)
def test_no_name_is_a_link_or_a_placeholder(said: str, written: str) -> None:
    # SARIF 2.1.0, 3.11.5 (placeholders: braces are doubled) and 3.11.6 (embedded links: brackets are escaped).
    source = Source("a.lights.yaml", "x")
    span = source.span(0, 1)
    found = Finding(
        span, said, (Note(span, said),), (Fix(said, (Edit(span, said),)),), rule="unknown-key", fingerprint="f"
    )
    (result,) = sarif_run(render("sarif", Report((source,), (found,))))["results"]
    assert result["message"]["text"] == written
    assert result["relatedLocations"][0]["message"]["text"] == written
    assert result["fixes"][0]["description"]["text"] == written
    # What a fix inserts is the user's text, to the letter.
    assert result["fixes"][0]["artifactChanges"][0]["replacements"][0]["insertedContent"]["text"] == said


def test_positions_are_those_of_the_text_when_lines_end_in_carriage_returns() -> None:
    source = Source("a.lights.yaml", "a\r\U0001f686b\rc")
    at = source.offset(Position(2, 2))
    found = Finding(source.span(at, at + 1), "m", rule="unknown-key", fingerprint="f")
    run = sarif_run(render("sarif", Report((source,), (found,))))
    assert "\r" in run["newlineSequences"]
    region = run["results"][0]["locations"][0]["physicalLocation"]["region"]
    assert region == {"startLine": 2, "startColumn": 3, "endLine": 2, "endColumn": 4}


# --- JUnit XML and Markdown -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("report", REPORTS)
def test_junit_keeps_its_schema(report: Report) -> None:
    junit_schema().validate(render("junit", report))


def test_the_schema_of_junit_can_fail() -> None:
    assert not junit_schema().is_valid(
        render("junit", everything()).replace("<failure ", "<broken ").replace("</failure", "</broken")
    )


def test_junit_of_real_plans_keeps_its_schema(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    junit_schema().validate(command("check", "--format", "junit", "examples").out)


def test_a_markdown_page_is_headings_and_lists() -> None:
    assert "markdown" in FORMATS
    for report in REPORTS:
        kinds = {token.tag for token in MarkdownIt("commonmark").parse(render("markdown", report)) if token.tag}
        assert kinds <= {"h2", "h3", "ul", "li", "p"}
