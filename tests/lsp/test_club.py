"""A club's files around an open plan: saved and unsaved, open and closed, come, gone and renamed."""

from __future__ import annotations

import asyncio
import queue
import sys
import threading
import time
from pathlib import Path
from typing import Any

import pytest
from lsprotocol import types

from command import BURNING, FAULTY_SHEET, PLAN, REFERRING, SHEET, lay
from conversation import PULL, Conversation, conversation
from lampwright.text import Source
from lampwright_lsp.client import Preferences, preferences_of
from lampwright_lsp.desk import Desk
from lampwright_lsp.documents import Documents
from lampwright_lsp.features.diagnostics import diagnostics
from lampwright_lsp.telling import everything
from lampwright_lsp.texts import Text
from lampwright_lsp.work import Run, Work
from lsp_seam import FOLDER, documents, snapshot
from lsp_seam import lay as type_in

LOW = SHEET.replace("limit: 100 mA", "limit: 2 mA")
REFRESHED = {**PULL, "workspace": {"diagnostics": {"refreshSupport": True}}}


def known(items: list[dict[str, Any]]) -> dict[str, Any]:
    return {"previousResultIds": [{"uri": each["uri"], "value": each["resultId"]} for each in items]}


def told(answer: dict[str, Any]) -> dict[str, list[str]]:
    """The rules that found something, by the name of the file, as far as it is news."""
    full = [each for each in answer["items"] if each["kind"] == "full"]
    return {Path(each["uri"]).name: [item["code"] for item in each["items"]] for each in full}


def watched(talk: Conversation, *names: str) -> None:
    changes = [{"uri": talk.uri(name), "type": 2} for name in names]
    talk.tell("workspace/didChangeWatchedFiles", {"changes": changes})


# --- Files that are not open ------------------------------------------------------------------------------------------


def test_who_knows_all_is_answered_when_there_is_news(tmp_path: Path) -> None:
    lay({"loco.lights.yaml": REFERRING, "bench-six.decoder.yaml": SHEET}, tmp_path)
    with conversation(tmp_path) as talk:
        talk.initialize()
        first = talk.ask("workspace/diagnostic", {"previousResultIds": []})
        assert told(first) == {"loco.lights.yaml": [], "bench-six.decoder.yaml": []}
        waiting = talk.begin("workspace/diagnostic", known(first["items"]))
        with pytest.raises(queue.Empty):
            talk.answer(waiting, seconds=0.5)
        lay({"bench-six.decoder.yaml": LOW}, tmp_path)
        watched(talk, "bench-six.decoder.yaml")
        second = talk.answer(waiting)["result"]
        assert told(second)["loco.lights.yaml"] == ["overloaded-output"]
        # A file that is gone has nothing wrong any more.
        (tmp_path / "loco.lights.yaml").rename(tmp_path / "renamed.lights.yaml")
        watched(talk, "loco.lights.yaml")
        third = talk.ask("workspace/diagnostic", known(second["items"]))
        assert told(third) == {"loco.lights.yaml": [], "renamed.lights.yaml": ["overloaded-output"]}
        assert talk.end() == 0


def test_who_waits_for_news_can_be_cancelled(tmp_path: Path) -> None:
    lay({"loco.lights.yaml": PLAN}, tmp_path)
    with conversation(tmp_path) as talk:
        talk.initialize()
        waiting = talk.begin(
            "workspace/diagnostic", known(talk.ask("workspace/diagnostic", {"previousResultIds": []})["items"])
        )
        talk.tell("$/cancelRequest", {"id": waiting})
        assert talk.answer(waiting)["error"]["code"] == -32800
        assert talk.end() == 0


def test_what_is_said_the_same_is_not_said_again(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize()
        uri = talk.open("loco.lights.yaml", BURNING)
        first = talk.about("textDocument/diagnostic", uri)
        talk.change(uri, 2, {"text": BURNING + "# A word more.\n"})
        again = talk.about("textDocument/diagnostic", uri, previousResultId=first["resultId"])
        assert again == {"kind": "unchanged", "resultId": first["resultId"]}
        talk.change(uri, 3, {"text": "# A line above.\n" + BURNING})
        moved = talk.about("textDocument/diagnostic", uri, previousResultId=first["resultId"])
        assert moved["items"][0]["range"]["start"]["line"] == first["items"][0]["range"]["start"]["line"] + 1


def test_what_git_ignores_and_the_settings_exclude_is_not_told_of(tmp_path: Path) -> None:
    lay({"lampwright.yaml": "lampwright: 1\nexclude: [attic/]\n", ".gitignore": "/draft*\n"}, tmp_path)
    lay(dict.fromkeys(("attic/a.lights.yaml", "draft.lights.yaml", "loco.lights.yaml"), BURNING), tmp_path)
    with conversation(tmp_path) as talk:
        talk.initialize()
        answer = talk.ask("workspace/diagnostic", {"previousResultIds": []})
        assert told(answer) == {"loco.lights.yaml": ["unprotected-led"], "lampwright.yaml": []}
        # Who opens it means it all the same, as who names it to the command.
        assert talk.rules(talk.open("draft.lights.yaml", BURNING)) == ["unprotected-led"]


def test_a_sheet_outside_the_folders_is_told_of(tmp_path: Path) -> None:
    lay({"lampwright.yaml": "lampwright: 1\n", "bench-six.decoder.yaml": FAULTY_SHEET}, tmp_path)
    lay({"loco.lights.yaml": REFERRING.replace("bench-six", "../bench-six")}, tmp_path / "vehicles")
    with conversation(tmp_path / "vehicles") as talk:
        talk.initialize()
        answer = talk.ask("workspace/diagnostic", {"previousResultIds": []})
        assert told(answer)["bench-six.decoder.yaml"] == ["misspelt-unit"]


def test_several_folders_and_one_that_comes_later(tmp_path: Path) -> None:
    for name in ("north", "south", "east"):
        lay({f"{name}.lights.yaml": BURNING}, tmp_path / name)
    north, south, east = ({"uri": (tmp_path / name).as_uri(), "name": name} for name in ("north", "south", "east"))
    with conversation(tmp_path) as talk:
        talk.initialize(workspaceFolders=[north, south])
        first = talk.ask("workspace/diagnostic", {"previousResultIds": []})
        assert set(told(first)) == {"north.lights.yaml", "south.lights.yaml"}
        talk.tell("workspace/didChangeWorkspaceFolders", {"event": {"added": [east], "removed": [south]}})
        second = talk.ask("workspace/diagnostic", known(first["items"]))
        assert told(second) == {"south.lights.yaml": [], "east.lights.yaml": ["unprotected-led"]}
        assert talk.end() == 0


def test_a_folder_behind_a_link_keeps_the_name_that_the_client_has_for_it(tmp_path: Path) -> None:
    lay({"loco.lights.yaml": REFERRING, "bench-six.decoder.yaml": FAULTY_SHEET}, tmp_path / "real")
    (tmp_path / "link").symlink_to(tmp_path / "real")
    with conversation(tmp_path / "link") as talk:
        talk.initialize()
        uris = {each["uri"] for each in talk.ask("workspace/diagnostic", {"previousResultIds": []})["items"]}
        assert uris == {talk.uri("loco.lights.yaml"), talk.uri("bench-six.decoder.yaml")}


# --- Files that are not saved -----------------------------------------------------------------------------------------


def test_settings_that_are_not_saved_govern(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize(REFRESHED)
        uri = talk.open("vehicles/loco.lights.yaml", BURNING)
        assert talk.rules(uri) == ["unprotected-led"]
        settings = talk.open("lampwright.yaml", "lampwright: 1\nlevels: {unprotected-led: ignore}\n")
        talk.note("workspace/diagnostic/refresh")
        assert talk.rules(uri) == []
        talk.close(settings)
        talk.note("workspace/diagnostic/refresh")
        assert talk.rules(uri) == ["unprotected-led"]
        assert talk.end() == 0


def test_a_plan_that_changes_concerns_no_other(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize(REFRESHED)
        uri = talk.open("loco.lights.yaml", BURNING)
        talk.change(uri, 2, {"text": PLAN})
        assert talk.rules(uri) == []
        with pytest.raises(queue.Empty):
            talk.note("workspace/diagnostic/refresh", seconds=0.6)


@pytest.mark.parametrize("uri", ["untitled:loco.lights.yaml", "untitled:/nowhere/at/all/loco.lights.yaml"])
def test_a_plan_without_a_place_is_checked_by_the_defaults(tmp_path: Path, uri: str) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize()
        document = {"uri": uri, "languageId": "yaml", "version": 1, "text": BURNING}
        talk.tell("textDocument/didOpen", {"textDocument": document})
        assert talk.rules(uri) == ["unprotected-led"]
        talk.change(uri, 2, {"text": REFERRING})
        assert talk.rules(uri) == ["unreadable-file"]


@pytest.mark.parametrize(
    "uri", ["untitled:Untitled-1", "git:/loco.lights.yaml?HEAD", "file:///loco.yaml", "inmemory://x", "file:///%00.lights.yaml", "file://[", ""]
)  # fmt: skip
def test_what_is_none_of_ours_gets_no_word(tmp_path: Path, uri: str) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize()
        document = {"uri": uri, "languageId": "yaml", "version": 1, "text": BURNING}
        talk.tell("textDocument/didOpen", {"textDocument": document})
        talk.change(uri, 2, {"text": "["})
        assert talk.rules(uri) == []
        assert talk.about("textDocument/foldingRange", uri) is None
        talk.close(uri)
        assert talk.end() == 0
        assert talk.errors() == ""


def test_a_buffer_with_what_no_text_should_hold(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize()
        uri = talk.open("loco.lights.yaml", "\ufeff" + BURNING)
        assert talk.rules(uri) == ["unprotected-led"]
        talk.change(uri, 2, {"text": BURNING + "# \ud83d\0\u2028\x85\n"})
        assert "unprotected-led" in talk.rules(uri)
        talk.change(uri, 3, {"text": ""})
        assert talk.rules(uri) == ["missing-key"]
        assert talk.end() == 0
        assert talk.errors() == ""


# --- What is read again, and what is not ------------------------------------------------------------------------------


def test_a_snapshot_is_kept_as_long_as_nothing_changes_that_it_was_made_from() -> None:
    made = documents({"loco.lights.yaml": REFERRING, "bench-six.decoder.yaml": SHEET, "other.lights.yaml": PLAN})
    uri = FOLDER + "loco.lights.yaml"
    first = made.snapshot(uri)
    type_in(made, "other.lights.yaml", BURNING)
    assert made.snapshot(uri) is first
    type_in(made, "bench-six.decoder.yaml", LOW)
    second = made.snapshot(uri)
    assert second is not None
    assert second is not first
    assert [finding.rule for finding in second.report.findings] == ["overloaded-output"]
    made.desk.take_away(FOLDER + "bench-six.decoder.yaml")
    third = made.snapshot(uri)
    assert third is not None
    assert [finding.rule for finding in third.report.findings] == ["unreadable-file"]


def test_files_on_the_disk_are_read_again_when_they_have_changed(tmp_path: Path) -> None:
    lay({"loco.lights.yaml": REFERRING}, tmp_path)
    desk = Desk()
    desk.folders = [tmp_path]
    made = Documents(desk)
    uri = (tmp_path / "loco.lights.yaml").as_uri()

    def rules() -> list[str]:
        found = made.snapshot(uri)
        assert found is not None
        return [finding.rule for finding in found.report.findings]

    assert rules() == ["unreadable-file"]
    lay({"bench-six.decoder.yaml": SHEET}, tmp_path)
    assert rules() == []
    lay({"bench-six.decoder.yaml": LOW}, tmp_path)
    assert rules() == ["overloaded-output"]
    lay({"lampwright.yaml": "lampwright: 1\nlevels: {overloaded-output: ignore}\n"}, tmp_path)
    assert rules() == []
    (tmp_path / "lampwright.yaml").unlink()
    (tmp_path / "loco.lights.yaml").unlink()
    assert made.snapshot(uri) is None


def test_a_key_costs_one_check_however_many_plans_there_are(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    judged: list[str] = []
    from lampwright_lsp import documents as module

    judge = module.judge
    monkeypatch.setattr(
        module, "judge", lambda surveyed, **how: judged.append(surveyed.document.source.name) or judge(surveyed, **how)
    )
    lay({f"loco-{number}.lights.yaml": REFERRING for number in range(30)}, tmp_path)
    lay({"bench-six.decoder.yaml": SHEET}, tmp_path)
    desk = Desk()
    desk.folders = [tmp_path]
    made = Documents(desk)
    assert len(everything(made, lambda: None)) == len(judged) == 31
    uri = (tmp_path / "loco-7.lights.yaml").as_uri()
    for version in (1, 2, 3):
        judged.clear()
        desk.lay(Text(uri, version, (REFERRING + "#" * version,)))
        assert made.judged(uri)
        assert judged == ["loco-7.lights.yaml"]
    judged.clear()
    everything(made, lambda: None)
    assert judged == []
    assert made.concerned((tmp_path / "bench-six.decoder.yaml").as_uri()) == sorted(
        (tmp_path / f"loco-{number}.lights.yaml").as_uri() for number in range(30)
    )


def test_what_could_be_read_last_is_remembered_behind_a_syntax_error() -> None:
    made = documents({"loco.lights.yaml": PLAN})
    uri = FOLDER + "loco.lights.yaml"
    good = made.snapshot(uri)
    for version in range(2, 6):
        type_in(made, "loco.lights.yaml", PLAN + "extra: [" + "[" * version, version)
        broken = made.snapshot(uri)
        assert broken is not None
        assert broken.tree.broken
        assert broken.good.source.text == PLAN
        assert broken.good.last_good is None
        assert broken.report.findings[0].rule == "syntax-error"
    assert good is not None
    assert good.good is good
    assert snapshot("vehicle: [").good.tree.broken


def test_a_file_that_is_open_under_two_names_counts_until_both_are_closed(tmp_path: Path) -> None:
    lay({"loco.lights.yaml": PLAN}, tmp_path)
    (tmp_path / "link").symlink_to(tmp_path)
    desk, real = Desk(), (tmp_path / "loco.lights.yaml").resolve()
    uris = [(tmp_path / name).as_uri() for name in ("loco.lights.yaml", "link/loco.lights.yaml")]

    def held() -> str:
        source = desk.read(real, "loco.lights.yaml")
        assert isinstance(source, Source)
        return source.text

    desk.lay(Text(uris[0], 1, ("first",)))
    desk.lay(Text(uris[1], 1, ("second",)))
    assert held() == "second"
    desk.take_away(uris[1])
    assert held() == "first"
    desk.take_away(uris[0])
    assert held() == PLAN


# --- What is said of a finding ----------------------------------------------------------------------------------------


def said(text: str, **preferences: Any) -> list[types.Diagnostic]:
    made = documents({"loco.lights.yaml": text}, preferences=Preferences(**preferences))
    made.judged(FOLDER + "loco.lights.yaml")
    return diagnostics(made.found(FOLDER + "loco.lights.yaml"), made.client)


def test_what_has_no_effect_is_faded_and_what_is_allowed_is_not_shown() -> None:
    (useless,) = said(
        PLAN.replace("front headlamp]}", "front headlamp]}  # lampwright: allow unprotected-led -- it has one")
    )
    assert useless.code == "useless-allowance"
    assert useless.tags == [types.DiagnosticTag.Unnecessary]
    assert (
        said(
            BURNING.replace("[front headlamp]}", "[front headlamp]}  # lampwright: allow unprotected-led -- it has one")
        )
        == []
    )
    assert said(BURNING)[0].tags is None


def test_the_page_of_a_rule_is_linked_where_a_club_has_it() -> None:
    assert said(BURNING)[0].code_description is None
    page = said(BURNING, pages="https://club.example/{rule}.html")[0].code_description
    assert page == types.CodeDescription("https://club.example/unprotected-led.html")


@pytest.mark.parametrize(
    ("settings", "expected"),
    [
        (None, Preferences()),
        ([], Preferences()),
        ({"lampwright": {"inlayHints": {"currents": False}}}, Preferences(inlay_hints_currents=False)),
        ({"inlayHints": {"currents": False, "power": "no"}}, Preferences(inlay_hints_currents=False)),
        ({"inlayHints": False, "codeLens": False}, Preferences(code_lens=False)),
        ({"pages": "https://club.example/{rule}"}, Preferences(pages="https://club.example/{rule}")),
        ({"pages": "javascript:{rule}"}, Preferences()),
        ({"pages": 1, "workspaceDiagnostics": False}, Preferences(workspace_diagnostics=False)),
    ],
)
def test_preferences_are_taken_as_far_as_they_make_sense(settings: object, expected: Preferences) -> None:
    assert preferences_of(settings) == expected


class Choosy(Conversation):
    """A client whose user wants nothing to be said of files that are not open."""

    def reply(self, message: dict[str, Any]) -> object:
        if message["method"] != "workspace/configuration":
            return None
        assert message["params"]["items"] == [{"section": "lampwright"}]
        return [{"workspaceDiagnostics": False}]


def test_a_client_is_asked_for_its_settings(tmp_path: Path) -> None:
    lay({"loco.lights.yaml": BURNING}, tmp_path)
    talk = Choosy(tmp_path)
    try:
        talk.initialize({"workspace": {"configuration": True}})
        talk.note("workspace/configuration")
        with pytest.raises(queue.Empty):
            talk.note("textDocument/publishDiagnostics", seconds=1)
        uri = talk.open("loco.lights.yaml", BURNING)
        assert talk.note("textDocument/publishDiagnostics")["diagnostics"][0]["code"] == "unprotected-led"
        talk.close(uri)
        assert talk.note("textDocument/publishDiagnostics")["diagnostics"] == []
        assert talk.end() == 0
    finally:
        talk.process.kill()
        talk.process.communicate()


def test_a_long_row_of_keys_is_answered_for_the_last_one(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize({})
        uri = talk.open("loco.lights.yaml", BURNING)
        for version in range(2, 60):
            talk.change(uri, version, {"text": BURNING + "# A word more.\n" * version})
        talk.change(uri, 60, {"text": PLAN})
        end = time.monotonic() + 30
        versions = []
        while not versions or versions[-1] != 60:
            assert time.monotonic() < end
            sent = talk.note("textDocument/publishDiagnostics")
            versions.append(sent["version"])
        assert sent["diagnostics"] == []
        # Nothing is said of an older text after a newer one, and not each is worth a word.
        assert versions == sorted(set(versions))
        assert len(versions) < 60
        assert talk.end() == 0


# --- Clients that ask, but cannot be asked to ask again ---------------------------------------------------------------


def test_who_cannot_be_asked_again_is_told_at_once_of_what_another_buffer_changes(tmp_path: Path) -> None:
    lay({"bench-six.decoder.yaml": SHEET}, tmp_path)
    with conversation(tmp_path) as talk:
        can = {"textDocument": {"diagnostic": {}, "publishDiagnostics": {"versionSupport": True}}}
        assert "diagnosticProvider" not in talk.initialize(can)["capabilities"]
        plan = talk.open("loco.lights.yaml", REFERRING)
        assert published(talk, plan, []) == 1
        sheet = talk.open("bench-six.decoder.yaml", SHEET)
        talk.change(sheet, 2, {"text": LOW})
        # The plan has not changed, and nobody has asked.
        assert published(talk, plan, ["overloaded-output"]) == 1
        talk.change(sheet, 3, {"text": SHEET})
        assert published(talk, plan, []) == 1
        assert talk.end() == 0


def published(talk: Conversation, uri: str, rules: list[str]) -> int | None:
    """The version that the next news of the file are about, which name these rules."""
    while True:
        sent = talk.note("textDocument/publishDiagnostics")
        if sent["uri"] == uri:
            assert [each["code"] for each in sent["diagnostics"]] == rules
            version: int | None = sent.get("version")
            return version


@pytest.mark.parametrize(
    ("can", "asks"),
    [
        (PULL, True),
        (REFRESHED, True),
        ({**REFRESHED, "textDocument": {"diagnostic": {}, "publishDiagnostics": {}}}, True),
        ({"textDocument": {"diagnostic": {"relatedDocumentSupport": True}, "publishDiagnostics": {}}}, False),
        ({"textDocument": {"publishDiagnostics": {}}}, False),
        ({"workspace": {"diagnostics": {"refreshSupport": True}}}, False),
        ({}, False),
    ],
)
def test_a_client_asks_or_is_told_and_never_both(tmp_path: Path, can: dict[str, Any], asks: bool) -> None:
    with conversation(tmp_path) as talk:
        assert ("diagnosticProvider" in talk.initialize(can)["capabilities"]) is asks
        uri = talk.open("loco.lights.yaml", BURNING)
        if asks:
            assert talk.rules(uri) == ["unprotected-led"]
            with pytest.raises(queue.Empty):
                talk.note("textDocument/publishDiagnostics", seconds=0.5)
        else:
            assert published(talk, uri, ["unprotected-led"]) == 1
            assert "error" in talk.answer(talk.begin("textDocument/diagnostic", {"textDocument": {"uri": uri}}))
        assert talk.end() == 0


# --- Files that are gone ----------------------------------------------------------------------------------------------

ANSWERING = PLAN.replace("Quarry switcher 7}", "Quarry switcher 7, address: 7}")
SETTINGS = "lampwright: 1\nexclude: [attic/]\n"


def comes(talk: Conversation, uri: str, rules: list[str]) -> int | None:
    """The same, once the news are so; others may come before."""
    while True:
        sent = talk.note("textDocument/publishDiagnostics")
        if sent["uri"] == uri and [each["code"] for each in sent["diagnostics"]] == rules:
            version: int | None = sent.get("version")
            return version


def test_who_is_told_hears_no_more_of_a_file_that_nobody_looks_for(tmp_path: Path) -> None:
    lay({"lampwright.yaml": SETTINGS, "attic/loco.lights.yaml": BURNING}, tmp_path / "club")
    lay({"loose.lights.yaml": BURNING}, tmp_path)
    with conversation(tmp_path / "club") as talk:
        talk.initialize({})
        for name in ("attic/loco.lights.yaml", "../loose.lights.yaml"):
            uri = talk.open(name, BURNING)
            assert comes(talk, uri, ["unprotected-led"]) == 1
            talk.close(uri)
            assert comes(talk, uri, []) is None
        assert talk.end() == 0


@pytest.mark.parametrize("way", ["deleted", "renamed", "excluded", "the folder is removed"])
def test_a_plan_that_is_gone_answers_to_no_address(tmp_path: Path, way: str) -> None:
    club = tmp_path / "club"
    lay({"other.lights.yaml": ANSWERING}, club)
    with conversation(tmp_path) as talk:
        folder = {"uri": club.as_uri(), "name": "club"}
        talk.initialize({}, workspaceFolders=[folder])
        uri = talk.open("club/loco.lights.yaml", ANSWERING)
        comes(talk, uri, ["shared-address"])
        if way == "deleted":
            (club / "other.lights.yaml").unlink()
        elif way == "renamed":
            (club / "other.lights.yaml").rename(club / "other.lights.yaml.old")
        elif way == "excluded":
            lay({"lampwright.yaml": "lampwright: 1\nexclude: [other.lights.yaml]\n"}, club)
        if way == "the folder is removed":
            talk.tell("workspace/didChangeWorkspaceFolders", {"event": {"added": [], "removed": [folder]}})
        else:
            watched(talk, "club/other.lights.yaml")
        comes(talk, uri, [])
        assert talk.end() == 0


@pytest.mark.parametrize("capabilities", [PULL, REFRESHED])
def test_a_text_that_was_never_saved_answers_to_no_address_once_it_is_closed(
    tmp_path: Path, capabilities: dict[str, Any]
) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize(capabilities)
        uris = [talk.open(f"loco-{number}.lights.yaml", ANSWERING) for number in (1, 2)]
        assert [talk.rules(uri) for uri in [*uris, uris[0]]] == [[], ["shared-address"], ["shared-address"]]
        talk.close(uris[1])
        assert talk.rules(uris[0]) == []
        assert talk.end() == 0


def test_who_is_told_hears_of_an_address_that_changes_on_the_disk(tmp_path: Path) -> None:
    lay({"other.lights.yaml": PLAN}, tmp_path)
    with conversation(tmp_path) as talk:
        talk.initialize({})
        uri = talk.open("loco.lights.yaml", ANSWERING)
        assert comes(talk, uri, []) == 1
        lay({"other.lights.yaml": ANSWERING}, tmp_path)
        watched(talk, "other.lights.yaml")
        assert comes(talk, uri, ["shared-address"]) == 1
        assert talk.end() == 0


def test_who_asks_is_asked_again_when_an_address_changes_on_the_disk(tmp_path: Path) -> None:
    lay({"other.lights.yaml": PLAN}, tmp_path)
    with conversation(tmp_path) as talk:
        talk.initialize(REFRESHED)
        uri = talk.open("loco.lights.yaml", ANSWERING)
        assert talk.rules(uri) == []
        first = talk.ask("workspace/diagnostic", {"previousResultIds": []})
        lay({"other.lights.yaml": ANSWERING}, tmp_path)
        watched(talk, "other.lights.yaml")
        talk.note("workspace/diagnostic/refresh")
        talk.ask("workspace/diagnostic", known(first["items"]))
        talk.note("workspace/diagnostic/refresh")
        assert talk.rules(uri) == ["shared-address"]
        assert talk.end() == 0


def test_a_folder_that_comes_and_goes_makes_another_fleet_of_what_is_open(tmp_path: Path) -> None:
    lay({"vehicles/other.lights.yaml": ANSWERING, "lampwright.yaml": "lampwright: 1\n"}, tmp_path / "club")
    with conversation(tmp_path) as talk:
        folder = {"uri": (tmp_path / "club").as_uri(), "name": "club"}
        talk.initialize({}, workspaceFolders=[])
        uri = talk.open("club/attic/loco.lights.yaml", ANSWERING)
        comes(talk, uri, [])
        for _ in range(2):
            talk.tell("workspace/didChangeWorkspaceFolders", {"event": {"added": [folder], "removed": []}})
            comes(talk, uri, ["shared-address"])
            talk.tell("workspace/didChangeWorkspaceFolders", {"event": {"added": [], "removed": [folder]}})
            comes(talk, uri, [])
        assert talk.end() == 0


@pytest.mark.parametrize("seconds", [0.0, 0.7], ids=["at once", "when all is quiet"])
def test_settings_outside_the_folders_are_told_of_with_the_plan_that_they_govern(
    tmp_path: Path, seconds: float
) -> None:
    lay({"lampwright.yaml": "lampwright: 1\ninsid: 40 °C\n"}, tmp_path / "club")
    with conversation(tmp_path) as talk:
        talk.initialize({}, workspaceFolders=[])
        # After the look at all files with which a server begins.
        time.sleep(seconds)
        plan = talk.open("club/loco.lights.yaml", BURNING)
        comes(talk, talk.uri("club/lampwright.yaml"), ["unknown-key"])
        talk.close(plan)
        comes(talk, talk.uri("club/lampwright.yaml"), [])
        assert talk.end() == 0


def test_what_is_closed_while_it_is_asked_about_is_judged_as_it_was() -> None:
    made = documents({"loco.lights.yaml": REFERRING, "bench-six.decoder.yaml": LOW})
    uri = FOLDER + "loco.lights.yaml"
    open_one = made.snapshot(uri)
    assert open_one is not None
    made.desk.take_away(uri)
    assert made.snapshot(uri) is None
    assert [finding.rule for finding in made.judge(uri)(open_one.source).findings] == ["overloaded-output"]


def test_a_folder_that_is_forgotten_meanwhile_is_known_all_the_same(tmp_path: Path) -> None:
    class Forgetful(dict[Path, Path]):
        """As if another thread had just cleared it."""

        def __setitem__(self, path: Path, folder: Path) -> None:
            pass

    desk = Desk()
    desk.folders = [tmp_path]
    desk._folder_of = Forgetful()
    assert desk.folder_of(tmp_path / "inner" / "loco-1.lights.yaml") == tmp_path


def test_a_plan_under_two_names_is_still_one_when_it_is_closed_under_one(tmp_path: Path) -> None:
    lay({"loco-1.lights.yaml": ANSWERING, "other.lights.yaml": ANSWERING}, tmp_path)
    desk = Desk()
    desk.folders = [tmp_path]
    made = Documents(desk)
    everything(made, lambda: None)
    uri, odd = ((tmp_path / "loco-1.lights.yaml").as_uri().replace("loco", word) for word in ("loco", "%6Coco"))
    desk.lay(Text(odd, 1, (ANSWERING,)))
    assert made.judged(odd)
    desk.take_away(odd)
    made.closed(odd)
    for _ in range(2):
        found = {each.uri: [finding.rule for finding in each.findings] for each in everything(made, lambda: None)}
        assert found == {uri: ["shared-address"], uri.replace("loco-1", "other"): ["shared-address"]}


def test_a_fleet_that_changes_while_it_is_judged_is_judged_as_it_was(tmp_path: Path) -> None:
    names = [f"loco-{number}.lights.yaml" for number in range(12)]
    lay({**dict.fromkeys(names, ANSWERING), "club.parts.yaml": "resistors: []\n"}, tmp_path)
    desk = Desk()
    desk.folders = [tmp_path]
    made = Documents(desk)
    everything(made, lambda: None)
    faults: list[BaseException] = []
    is_over = threading.Event()

    def look() -> None:
        try:
            while not is_over.is_set():
                made.found((tmp_path / "club.parts.yaml").as_uri())
        except Exception as error:  # noqa: BLE001  # whatever it is
            faults.append(error)

    threads = [threading.Thread(target=look) for _ in range(3)]
    interval = sys.getswitchinterval()
    sys.setswitchinterval(1e-5)
    try:
        for thread in threads:
            thread.start()
        for version in range(40):
            uri = (tmp_path / names[version % 12]).as_uri()
            desk.lay(Text(uri, version, (ANSWERING + "#" * version,)))
            made.judged(uri)
    finally:
        is_over.set()
        sys.setswitchinterval(interval)
        for thread in threads:
            thread.join()
    assert faults == []


@pytest.mark.parametrize("asks_for", ["findings", "something else"])
def test_who_waits_for_what_is_judged_in_the_background_is_not_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, asks_for: str
) -> None:
    lay({"loco.lights.yaml": BURNING}, tmp_path)
    uri = (tmp_path / "loco.lights.yaml").as_uri()
    desk = Desk()
    desk.folders = [tmp_path]
    made = Documents(desk)
    work = Work(made, lambda documents, uri: [each.rule for each in documents.found(uri).findings])
    is_begun = threading.Event()
    from lampwright_lsp import documents as module

    judge = module.judge

    def in_many_steps(surveyed: Any, *, pause: Any) -> Any:
        is_begun.set()
        for _ in range(50):
            time.sleep(0.001)
            pause()
        return judge(surveyed, pause=pause)

    monkeypatch.setattr(module, "judge", in_many_steps)

    def rules() -> list[str]:
        shown = made.snapshot(uri)
        assert shown is not None
        return [each.rule for each in shown.report.findings]

    async def ask() -> list[str]:
        run: Run[None] = Run()
        background = asyncio.create_task(work.in_background(lambda pause: everything(made, pause), run))
        try:
            await asyncio.to_thread(is_begun.wait)
            question = work.judged(uri) if asks_for == "findings" else work.answer(rules)
            return await asyncio.wait_for(question, 20)
        finally:
            run.is_stopped = True
            await asyncio.wait([background])

    assert asyncio.run(ask()) == ["unprotected-led"]
