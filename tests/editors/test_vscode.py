"""What can be held about the extension for Visual Studio Code without Node.js: its settings, patterns, snippets, schemas.

What a person sees in the real editor is tried by `npm run test:editor`; editors/vscode/RESULTS.md says what came of it.
"""

from __future__ import annotations

import json
import re
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest

import lampwright
from lampwright.kinds import Kind, kind_of
from lampwright_lsp.client import NAMES, SECTION, Preferences, preferences_of
from lampwright_lsp.server import _WATCHED
from seam import report

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "editors" / "vscode"
PACKAGE: dict[str, Any] = json.loads((FOLDER / "package.json").read_text("utf-8"))
SETTINGS: dict[str, dict[str, Any]] = PACKAGE["contributes"]["configuration"]["properties"]
SNIPPETS: list[dict[str, Any]] = json.loads((FOLDER / "snippets" / "snippets.json").read_text("utf-8"))
OWN = {"lampwright.server.path", "lampwright.trace.server"}
"""Settings of the extension itself, which the server does not ask for."""
PATTERNS = {each for each in _WATCHED if each.endswith(".yaml")}


def source(name: str) -> str:
    return (FOLDER / "src" / name).read_text("utf-8")


def test_its_settings_are_the_preferences_of_the_server_with_their_defaults() -> None:
    usual = Preferences()
    expected = {".".join((SECTION, *NAMES[each.name])): getattr(usual, each.name) or None for each in fields(usual)}
    assert {name: said["default"] for name, said in SETTINGS.items() if name not in OWN} == expected
    assert SETTINGS.keys() > OWN


def test_its_settings_are_described_as_in_the_readme() -> None:
    rows = re.findall(
        r"^\| `(lampwright\.\S+)` \| .+? \| (.+?) \|$", (ROOT / "README.md").read_text("utf-8"), re.MULTILINE
    )
    said = {name: SETTINGS[name].get("description", "") for name, _words in rows if name != "lampwright.pages"}
    assert said == {name: f"{words[0].upper()}{words[1:]}." for name, words in rows if name != "lampwright.pages"}
    assert {name for name, _words in rows} == SETTINGS.keys() - OWN


def test_pages_that_nobody_has_set_are_left_to_the_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LAMPWRIGHT_PAGES", "https://club.example/{rule}")
    assert preferences_of({"pages": SETTINGS["lampwright.pages"]["default"]}).pages == "https://club.example/{rule}"


def test_it_knows_our_files_by_the_names_that_the_command_knows() -> None:
    text = source("files.ts")
    ends = re.search(r"ENDS = \[(.*?)\]", text)
    settings = re.search(r'SETTINGS = "(.*?)"', text)
    assert ends is not None
    assert settings is not None
    assert [*re.findall(r'"(.*?)"', ends[1]), settings[1]] == [kind.value for kind in Kind]
    ours = PACKAGE["contributes"]["languages"][0]
    assert [*ours["extensions"], *ours["filenames"]] == [kind.value for kind in Kind]


def test_it_wakes_for_yaml_and_our_files_only() -> None:
    assert set(PACKAGE["activationEvents"]) == {"onLanguage:yaml", *(f"workspaceContains:{each}" for each in PATTERNS)}


def test_nothing_of_it_is_for_all_yaml() -> None:
    contributed = PACKAGE["contributes"]
    # These would show in every YAML file, or beside what our server answers.
    assert not contributed.keys() & {"snippets", "yamlValidation", "jsonValidation", "views", "viewsContainers"}
    assert list(contributed["configurationDefaults"]) == ["[lampwright-page]"]
    shown = [each for place, entries in contributed["menus"].items() if place != SUBMENU for each in entries]
    assert all("lampwright.concerned" in each["when"] or "lampwright.bench" in each["when"] for each in shown)


SUBMENU = "lampwright.plan"


def test_it_starts_nothing_in_a_folder_that_is_not_trusted() -> None:
    trust = PACKAGE["capabilities"]["untrustedWorkspaces"]
    assert trust["supported"] == "limited"
    assert "lampwright.server.path" in trust["restrictedConfigurations"]
    # All that starts a process asks for trust first, in one place.
    starters = [each.name for each in (FOLDER / "src").glob("*.ts") if "child_process" in each.read_text("utf-8")]
    assert sorted(starters) == ["command.ts", "server.ts"]
    for name in starters:
        text = source(name)
        # What they start comes from `command()`, which says no there.
        assert "= command();" in text
        assert set(re.findall(r"(?:execFile|spawn)\((\w+\.?\w*),", text)) == {"found.path"}
    before, _, after = source("command.ts").partition("findCommand(workspace")
    assert "if (!workspace.isTrusted) {\n    return" in before.rpartition("export function")[2]
    assert after.count("findCommand(") == 0


def test_its_commands_are_all_there() -> None:
    text = source("extension.ts")
    actions = re.search(r"const ACTIONS.*?= \{\n(.*?)\n\};", text, re.DOTALL)
    assert actions is not None
    made = {f"lampwright.{each}" for each in re.findall(r"^  (\w+):", actions[1], re.MULTILINE)}
    assert made == {each["command"] for each in PACKAGE["contributes"]["commands"]}
    for entries in PACKAGE["contributes"]["menus"].values():
        assert {each["command"] for each in entries if "command" in each} <= made


def test_it_lends_the_schemas_that_there_are() -> None:
    lent = dict(re.findall(r"\[(?:ENDS\[(?:\d)\]|SETTINGS)\]: \"(.*?)\"()", source("schemas.ts")))
    assert set(lent) == {each.name for each in (ROOT / "schemas").iterdir()}
    # They are copied at every build, from where they are made, and are no second copy in the repository.
    assert 'cp("../../schemas", "dist/schemas"' in (FOLDER / "build.mjs").read_text("utf-8")
    assert not list(FOLDER.glob("schemas/*"))


def test_the_copies_of_the_last_build_are_equal() -> None:
    copies = FOLDER / "dist" / "schemas"
    if not copies.exists():
        pytest.skip("it was not built here")
    for each in (ROOT / "schemas").iterdir():
        assert (copies / each.name).read_bytes() == each.read_bytes()


def test_it_is_the_version_of_the_command() -> None:
    lock = json.loads((FOLDER / "package-lock.json").read_text("utf-8"))
    assert PACKAGE["version"] == lock["version"] == lampwright.__version__


def test_it_asks_nobody_and_tells_nobody() -> None:
    for each in (FOLDER / "src").glob("*.ts"):
        text = each.read_text("utf-8")
        assert not re.search(r"\bfetch\(|node:https?\b|node:net\b|XMLHttpRequest|TelemetryLogger|machineId", text), (
            each.name
        )
    assert list(PACKAGE["dependencies"]) == ["vscode-languageclient"]


# --- Snippets ---------------------------------------------------------------------------------------------------------


def filled(snippet: dict[str, Any]) -> str:
    """A snippet as it stands there when everything proposed is taken."""
    text = "\n".join(snippet["body"])
    text = re.sub(r"\$\{\d+\|([^,|]*)[^}]*\}", r"\1", text)
    return re.sub(r"\$\{\d+:([^}]*)\}", r"\1", text)


def chosen(end: str, prefix: str) -> dict[str, Any]:
    return next(each for each in SNIPPETS if (each["file"], each["prefix"]) == (end, prefix))


SHEET = filled(chosen(Kind.DECODER_SHEET.value, "sheet"))
CATALOGUE = filled(chosen(Kind.PARTS_CATALOGUE.value, "catalogue"))
FILES = {"bench-six.decoder.yaml": SHEET, "club.parts.yaml": CATALOGUE}
PLAN = filled(chosen(Kind.LIGHTING_PLAN.value, "plan"))


@pytest.mark.parametrize("snippet", [each for each in SNIPPETS if "below" not in each], ids=lambda each: each["prefix"])
def test_a_whole_file_has_no_finding(snippet: dict[str, Any]) -> None:
    kind = Kind(snippet["file"])
    name = kind.value if kind is Kind.SETTINGS else f"new{kind.value}"
    assert kind_of(name) is kind
    assert [each.message for each in report(filled(snippet), name, files=FILES).findings] == []


@pytest.mark.parametrize(
    "snippet", [each for each in SNIPPETS if "below" in each], ids=lambda each: f"{each['prefix']}{each['file']}"
)
def test_what_is_put_into_a_file_has_no_error(snippet: dict[str, Any]) -> None:
    """In the whole file of its kind, as the first entry below its key; what it names is there, or is to be named."""
    kind = Kind(snippet["file"])
    whole = {Kind.LIGHTING_PLAN: PLAN, Kind.DECODER_SHEET: SHEET, Kind.PARTS_CATALOGUE: CATALOGUE}[kind]
    key = f"\n{snippet['below']}:\n"
    text = filled(snippet)
    # A key or a wire that the whole file has already is what the new entry replaces.
    entry = text.partition(":")[0]
    lines = [line for line in whole.split("\n") if not line.startswith(f"  {entry}:")]
    indented = "".join(f"  {line}\n" for line in text.split("\n"))
    rest = "\n".join([*lines, ""])
    assert key in rest
    changed = rest.replace(key, key + indented, 1)
    found = report(changed, f"new{kind.value}", files=FILES).findings
    # What it goes with is still to be written.
    allowed = {"unwired-lamp", "dark-output", "unknown-name", "empty-output"}
    assert {each.rule for each in found} <= allowed, [each.message for each in found]


def test_snippets_are_told_apart() -> None:
    known = [(each["file"], each.get("below"), each["prefix"]) for each in SNIPPETS]
    assert len(set(known)) == len(known)
    assert {each["file"] for each in SNIPPETS} == {kind.value for kind in Kind}
