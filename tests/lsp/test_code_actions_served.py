"""Code actions over the wire, where an editor gives back what it was given as JSON."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from command import BURNING, PLAN
from conversation import Conversation, conversation

TYPED = BURNING.replace("14.5 V", "14,5 V")
CAN: dict[str, Any] = {
    "textDocument": {
        "diagnostic": {},
        "codeAction": {
            "codeActionLiteralSupport": {"codeActionKind": {"valueSet": ["quickfix", "source"]}},
            "dataSupport": True,
            "resolveSupport": {"properties": ["edit"]},
        },
    },
    "workspace": {"workspaceEdit": {"documentChanges": True, "changeAnnotationSupport": {}}},
}
ALL = {"start": {"line": 0, "character": 0}, "end": {"line": 99, "character": 0}}


def offered(talk: Conversation, uri: str) -> dict[str, Any]:
    shown = talk.about("textDocument/diagnostic", uri)["items"]
    actions = talk.about("textDocument/codeAction", uri, range=ALL, context={"diagnostics": shown})
    return {each["title"]: each for each in actions or ()}


@pytest.mark.parametrize("can", [CAN, {"textDocument": {"diagnostic": {}}}])
def test_actions_are_offered_resolved_and_versioned(tmp_path: Path, can: dict[str, Any]) -> None:
    with conversation(tmp_path) as talk:
        provider = talk.initialize(can)["capabilities"]["codeActionProvider"]
        assert provider["resolveProvider"] is True
        assert set(provider["codeActionKinds"]) >= {"quickfix", "source.fixAll.lampwright"}
        uri = talk.open("a.lights.yaml", TYPED, 3)
        actions = offered(talk, uri)
        if can is not CAN:
            assert actions == {}
            return
        fix = actions["Write 14.5 V"]
        assert (fix["isPreferred"], [each["code"] for each in fix["diagnostics"]]) == (True, ["decimal-comma"])
        for title, text in (
            ("Make all sure fixes", "14.5 V"),
            ("Allow unprotected-led here, for a reason to be written", "  # lampwright: allow unprotected-led --"),
        ):
            action = talk.ask("codeAction/resolve", actions[title])
            (change,) = action["edit"]["documentChanges"]
            assert change["textDocument"] == {"uri": uri, "version": 3}
            assert [each["newText"] for each in change["edits"]] == [text]
        talk.change(uri, 4, {"text": PLAN})
        assert "edit" not in talk.ask("codeAction/resolve", actions["Make all sure fixes"])
        assert offered(talk, uri) == {}
        assert talk.end() == 0


# --- Clients that know commands only ----------------------------------------------------------------------------------

OLD: dict[str, Any] = {"textDocument": {"diagnostic": {}, "codeAction": {}}, "workspace": {"applyEdit": True}}
REQUEST_FAILED = -32803


@pytest.mark.parametrize("versions", [True, False])
def test_an_old_client_gets_commands_that_ask_it_to_change_its_text(tmp_path: Path, versions: bool) -> None:
    edits = {"workspaceEdit": {"documentChanges": True}} if versions else {}
    with conversation(tmp_path) as talk:
        provider = talk.initialize({**OLD, "workspace": {**OLD["workspace"], **edits}})["capabilities"]
        uri = talk.open("a.lights.yaml", TYPED, 3)
        offers = offered(talk, uri)
        assert {"Write 14.5 V", "Make all sure fixes", ALLOW} <= set(offers)
        assert all(set(each) == {"title", "command", "arguments"} for each in offers.values())
        assert {each["command"] for each in offers.values()} <= set(provider["executeCommandProvider"]["commands"])
        for title, text in (("Write 14.5 V", "14.5 V"), (ALLOW, "  # lampwright: allow unprotected-led --")):
            assert run(talk, offers[title]) is None
            asked = talk.note("workspace/applyEdit")
            assert asked["label"] == title
            (edit,) = edits_for(asked["edit"], uri, 3 if versions else None)
            assert edit["newText"] == text
        assert talk.end() == 0


def test_an_old_client_gets_nothing_if_its_text_may_not_be_changed(tmp_path: Path) -> None:
    for can in ({"textDocument": OLD["textDocument"]}, {**OLD, "workspace": {"applyEdit": False}}):
        with conversation(tmp_path) as talk:
            talk.initialize(can)
            uri = talk.open("a.lights.yaml", TYPED, 3)
            assert talk.about("textDocument/codeAction", uri, range=ALL, context={"diagnostics": []}) is None
            assert talk.end() == 0


def test_a_client_that_knows_actions_gets_no_commands(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize({**CAN, "workspace": {**CAN["workspace"], "applyEdit": True}})
        assert all("kind" in each for each in offered(talk, talk.open("a.lights.yaml", TYPED, 3)).values())
        assert talk.end() == 0


def test_a_text_that_has_changed_since_is_left_alone(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize(OLD)
        uri = talk.open("a.lights.yaml", TYPED, 3)
        offers = offered(talk, uri)
        talk.change(uri, 4, {"text": "# a line\n" + TYPED})
        assert talk.refused("workspace/executeCommand", without_title(offers["Write 14.5 V"])) == REQUEST_FAILED
        assert run(talk, offered(talk, uri)["Write 14.5 V"]) is None
        # The one that was refused has asked for nothing.
        (edit,) = edits_for(talk.note("workspace/applyEdit")["edit"], uri, None)
        assert edit["range"]["start"]["line"] == 2
        talk.close(uri)
        assert talk.refused("workspace/executeCommand", without_title(offers["Write 14.5 V"])) == REQUEST_FAILED
        assert talk.end() == 0


@pytest.mark.parametrize(
    "arguments",
    [
        None,
        [],
        [1],
        ["x", None, None],
        ["x", {}, 5],
        ["x", [], {}],
        ["x", 7, {}],
        ["x", {}, {"changes": 5}],
        [1, 2, 3, 4],
    ],
)
def test_what_was_never_offered_is_not_run(tmp_path: Path, arguments: object) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize(OLD)
        uri = talk.open("a.lights.yaml", TYPED, 3)
        command = {"command": "lampwright.apply", "arguments": arguments}
        assert talk.refused("workspace/executeCommand", command) == REQUEST_FAILED
        assert talk.refused("workspace/executeCommand", {**command, "command": "lampwright.explode"}) == -32602
        assert talk.rules(uri) == ["decimal-comma", "unprotected-led"]
        assert talk.end() == 0
        assert talk.errors() == ""


ALLOW = "Allow unprotected-led here, for a reason to be written"


def without_title(command: dict[str, Any]) -> dict[str, Any]:
    return {"command": command["command"], "arguments": command["arguments"]}


def run(talk: Conversation, command: dict[str, Any]) -> object:
    return talk.ask("workspace/executeCommand", without_title(command))


def edits_for(edit: dict[str, Any], uri: str, version: int | None) -> list[dict[str, Any]]:
    """The edits of the one file that is changed, with its version where the client knows these."""
    if version is None:
        assert set(edit) == {"changes"}
        assert set(edit["changes"]) == {uri}
        return list(edit["changes"][uri])
    (change,) = edit["documentChanges"]
    assert change["textDocument"] == {"uri": uri, "version": version}
    return list(change["edits"])
