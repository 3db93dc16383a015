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
