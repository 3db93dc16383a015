"""Names that would be commands, markup, formulas or links do no harm in any report, on any terminal, in any log.

What build services obey is from memory of their manuals: workflow commands begin a line with `::` (blanks before it do
not count), older ones stand anywhere as `##[name]` or `##name[...]`.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
import xmlschema
from jsonschema import Draft4Validator
from markdown_it import MarkdownIt

from command import PLAN, Command, lay
from lampwright.harmless import harmless_json, visible, visible_name
from reports import NAMES, everything, render

SCHEMAS = Path(__file__).parent / "outside" / "schemas"

HOSTILE = {
    "command": "::error::x",
    "command on a line": "a\n::error file=x,line=1::y\r\n::stop-commands::z",
    "older command": "##[error]x",
    "command of an agent": "a ##vso[task.setvariable variable=x]y ##teamcity[z]",
    "encoded": "%0A::error::x%25",
    "property": "a,title=b:c",
    "formula": "=cmd()",
    "another formula": "+1+cmd|' /C calc'!A0",
    "option": "--help",
    "script": "<script>alert(1)</script>",
    "image": "![x](http://a.example/x.png)<img src=x onerror=alert(1)>",
    "link": "[click](http://a.example) https://a.example www.a.example",
    "mention": "@everyone #1 !2",
    "code": "`a``b```c`",
    "backtick": "`",
    "table": "a|b\\|c",
    "end of a section": "]]>",
    "entity": "&amp;&lt;&#0;",
    "quotes": "\"a' b\\",
    "escape": "\x1b[2J\x1b]0;title\x07\x9b31m",
    "cursor": "a\b\b\r\t\v\fb",
    "lines": "a\nb\rc\r\nd\x85e\u2028f\u2029g",
    "nothing": "a\0b",
    "direction": "\u202eabc\u2066\u200f\u061c",
    "surrogates": "\ud800 \udcff \udfff",
    "no characters": "\ufffe\uffff\U0001fffe",
    "private": "\ue000\U0010fffd",
    "fillers": "a\u3164\u115f\u1160\uffa0b",
    "tags": "\U000e0041\u200b\u00ad\ufeff",
    "blanks": "  a  ",
    "placeholder": "{0} {{1}} %s {name}",
    "astral": "\U0001f686\u0301Ω車",
}
each_name = pytest.mark.parametrize("hostile", HOSTILE.values(), ids=HOSTILE)
each_form = pytest.mark.parametrize("form", NAMES)


# --- In every report --------------------------------------------------------------------------------------------------


@each_form
@each_name
def test_no_character_is_obeyed_and_no_command_is_given(form: str, hostile: str) -> None:
    for printed in (render(form, everything(hostile)), render(form, everything("x", name=f"{hostile}.lights.yaml"))):
        for line in printed.split("\n"):
            assert visible(line) == line
            assert not re.search(r"##\w*\[", line)
            assert form == "github" or not line.strip().startswith("::")
            assert form == "markdown" or not line.startswith(("=", "+", "-", "@"))


@each_form
@each_name
def test_no_name_makes_a_line_of_its_own(form: str, hostile: str) -> None:
    assert render(form, everything(hostile)).count("\n") == render(form, everything("x")).count("\n")


@each_name
def test_what_is_made_visible_is_visible_and_stays_so(hostile: str) -> None:
    assert visible(visible(hostile)) == visible(hostile)
    assert visible_name(visible_name(hostile)) == visible_name(hostile)
    # The same characters, in the same order, none left out.
    assert re.sub(r"\\u[0-9a-f]{4}|\\U[0-9a-f]{8}", unescaped, visible(hostile)) == hostile


def unescaped(match: re.Match[str]) -> str:
    digits = match[0][2:]
    return chr(int(digits, base=16))


@pytest.mark.parametrize("text", ["", "plain", "a # b ## c", "Lämpchen 3 Ω", "[a] {b} 'c'", "##", "## heading", "#[x]"])
def test_what_does_no_harm_stays_as_it_is(text: str) -> None:
    assert visible(text) == text
    assert harmless_json(json.dumps(text, ensure_ascii=False)) == json.dumps(text, ensure_ascii=False)


@pytest.mark.parametrize("name", ["a.lights.yaml", "../a", "./a", "7.lights.yaml", "Ω.lights.yaml", ".x", "_a", "/a"])
def test_a_usual_name_of_a_file_stays_as_it_is(name: str) -> None:
    assert visible_name(name) == name


@pytest.mark.parametrize("name", ["::error::x", " ::error::x", "=cmd()", "-rf", "@x", "+1", "#x", "\x1b[2J"])
def test_an_unusual_name_of_a_file_still_names_it(name: str) -> None:
    # `./` before a name is the same file.
    assert visible_name(name) == f"./{visible(name)}" or visible_name(name) == visible(name)
    assert re.match(r"[\w.\\]", visible_name(name))


@each_name
@pytest.mark.parametrize(
    "told",
    [
        "figures",
        "figures --format wiring",
        "states",
        "states --format grid",
        "cvs",
        "fleet",
        "fleet --format csv",
        "order",
    ],
)
def test_what_is_told_of_a_plan_gives_no_command(command: Command, told: str, hostile: str) -> None:
    escaped = "".join(f"\\U{ord(character):08x}" for character in hostile)
    text = PLAN.replace("Quarry switcher 7", f'"{escaped}"').replace("Headlamps", f'"{escaped}"')
    lay({"a.lights.yaml": text.replace("front headlamp", f'"{escaped}"')})
    what, *more = told.split()
    out = command(what, "a.lights.yaml", *more).out
    # YAML has no lone surrogates, also in codes: such a plan is not read.
    assert out or hostile == HOSTILE["surrogates"]
    for line in out.splitlines():
        assert visible(line) == line
        assert not line.strip().startswith("::")


# --- For programs: the very text comes back ---------------------------------------------------------------------------


@each_name
@pytest.mark.parametrize("form", ["json", "json-lines"])
def test_json_gives_back_every_character(form: str, hostile: str) -> None:
    printed = render(form, everything(hostile, f"{hostile}.lights.yaml"))
    records = [json.loads(printed)] if form == "json" else [json.loads(line) for line in printed.splitlines()]
    first = records[0]["findings"][0] if form == "json" else records[0]
    assert first["message"] == f'the lamp "{hostile}" is wrong'
    assert first["file"] == f"{hostile}.lights.yaml"
    assert first["fixes"][0]["edits"][0]["text"] == hostile


@each_name
def test_sarif_keeps_its_schema(hostile: str) -> None:
    schema = json.loads((SCHEMAS / "sarif-schema-2.1.0.json").read_text("utf-8"))
    log = json.loads(render("sarif", everything(hostile, f"{hostile}.lights.yaml")))
    Draft4Validator(schema).validate(log)
    result = log["runs"][0]["results"][0]
    # A link is `[text](target)` with nothing before the bracket that takes its meaning away.
    assert not re.search(r"(?<!\\)\[[^\[\]]*(?<!\\)\]\(", result["message"]["text"])
    assert result["fixes"][0]["artifactChanges"][0]["replacements"][0]["insertedContent"]["text"] == hostile
    uri = result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
    assert re.fullmatch(r"(?:[A-Za-z0-9._~/-]|%[0-9A-F]{2})+", uri)


# --- For services -----------------------------------------------------------------------------------------------------


@each_name
def test_junit_is_xml_that_keeps_its_schema_and_says_the_words(hostile: str) -> None:
    printed = render("junit", everything(hostile, f"{hostile}.lights.yaml"))
    xmlschema.XMLSchema(SCHEMAS / "junit-10.xsd").validate(printed)
    root = ET.fromstring(printed.encode())
    messages = [each.get("message") for each in root.iter("failure")]
    assert f'the lamp "{visible(hostile)}" is wrong' in messages
    assert {each.tag for each in root.iter()} == {
        "testsuites",
        "testsuite",
        "testcase",
        "failure",
        "error",
        "skipped",
        "system-out",
    }


@each_name
def test_workflow_commands_are_ours_alone(hostile: str) -> None:
    name = f"{hostile}.lights.yaml"
    lines = render("github", everything(hostile, name)).splitlines()
    commands = [parsed(line) for line in lines]
    assert [command for command, _, _ in commands] == ["error"] * 5 + ["warning", "notice", "notice"]
    _, properties, message = commands[2]
    assert properties["file"] == visible(name)
    assert set(properties) == {"file", "line", "endLine", "col", "endColumn", "title"}
    assert properties["title"] == "overdriven-led"
    assert message.split("\n")[0] == f'the lamp "{visible(hostile)}" is wrong'
    assert len(message.split("\n")) == 4


def parsed(line: str) -> tuple[str, dict[str, str], str]:
    """A workflow command as its runner reads it: split at the second `::`, then at commas; from memory of its source."""
    match = re.fullmatch("::([a-z-]+) (.*?)::(.*)", line)
    assert match is not None, line
    properties = dict(part.split("=", 1) for part in match[2].split(","))
    return match[1], {key: unquoted(value) for key, value in properties.items()}, unquoted(match[3])


def unquoted(text: str) -> str:
    for code, character in (("%0D", "\r"), ("%0A", "\n"), ("%3A", ":"), ("%2C", ","), ("%25", "%")):
        text = text.replace(code, character)
    return text


@each_name
def test_markdown_has_no_markup_but_ours(hostile: str) -> None:
    page = render("markdown", everything(hostile, f"{hostile}.lights.yaml"))
    tokens = MarkdownIt("commonmark", {"html": True}).parse(page)
    inside = [child for token in tokens for child in token.children or []]
    assert {token.type for token in tokens} <= {
        f"{kind}_{side}" for kind in ("heading", "bullet_list", "list_item", "paragraph") for side in ("open", "close")
    } | {"inline"}
    assert {child.type for child in inside} <= {"text", "code_inline", "strong_open", "strong_close", "softbreak"}
    codes = [child.content for child in inside if child.type == "code_inline"]
    assert f'the lamp "{visible(hostile)}" is wrong' in codes
    assert sum(child.content == visible(hostile) for child in inside if child.type == "code_inline") >= 1
    # No service looks for people, links or other issues in code; outside of it stand our own words alone.
    outside = "".join(child.content for child in inside if child.type == "text")
    assert not re.search(r"[<@&#!\[\]]|://|www", outside)


@each_name
def test_issues_of_code_quality_are_json(hostile: str) -> None:
    issues = json.loads(render("gitlab", everything(hostile, f"{hostile}.lights.yaml")))
    assert issues[0]["description"] == f'the lamp "{visible(hostile)}" is wrong'
    assert issues[0]["location"]["path"] == f"{hostile}.lights.yaml"


# --- The whole way ----------------------------------------------------------------------------------------------------


@each_form
def test_hostile_plans_and_files_are_checked_without_harm(command: Command, form: str) -> None:
    names = [text for key, text in HOSTILE.items() if key != "surrogates"]
    lamps = "".join(
        f"  {json.dumps(name)}: {{bulb: {{voltage: 12 V, curent: {json.dumps(name)}}}}}\n" for name in names
    )
    lay({"::error::x.lights.yaml": PLAN.replace("outputs:", f"{lamps}outputs:", 1).replace("Quarry", "::error::x")})
    lay({"=cmd().lights.yaml": PLAN.replace("[1.5 kohm 1/4 W, front", '["<script>]]>", "::error::x", front')})
    lay({"\x1b[2J\n::error::y.lights.yaml": PLAN.replace("F0:", '"F0\\e[2J":')})
    lay({"nul.lights.yaml": PLAN.replace("Quarry", "Qu\0rry\x1b[2J")})
    outcome = command("check", "--format", form)
    assert outcome.status == 1
    for line in (outcome.out + outcome.err).splitlines():
        assert visible(line) == line
        assert form == "github" or not line.strip().startswith("::")
        assert not re.search(r"##\w*\[", line)
    if form == "github":
        commands = [line for line in outcome.out.splitlines() if line.startswith("::")]
        assert all(parsed(line)[0] in {"error", "warning", "notice"} for line in commands)
    if form == "junit":
        assert ET.fromstring(outcome.out.encode()).tag == "testsuites"


def test_a_hostile_name_that_cannot_be_read_is_one_harmless_line(command: Command) -> None:
    outcome = command("check", "\n::error::x\x1b[2J.lights.yaml", "##[error]x.lights.yaml")
    assert outcome.status == 2
    lines = outcome.err.splitlines()
    assert len(lines) == 2
    assert all(line.startswith("lampwright: ") and visible(line) == line for line in lines)
