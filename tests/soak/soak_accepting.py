"""Edits that the server offers, made in the client's texts by the letter of the protocol."""

from __future__ import annotations

from itertools import pairwise
from random import Random
from typing import Any

import soak_questions as questions
from soak_client import INVALID_PARAMS, REQUEST_FAILED
from soak_hands import Hands
from soak_units import offset_of

_OFFERING = ("codeAction", "codeAction", "rename", "completion")


def accept(hands: Hands, random: Random) -> None:
    """Ask for something that changes the text, and take one of the offers."""
    buffer = hands.some(random)
    method = random.choice(_OFFERING)
    answer = hands.client.wait_for(questions.ask(hands.client, random, buffer, hands.units, hands.shown, method))
    result = answer.get("result")
    if method == "rename":
        apply(hands, result)
    elif method == "completion":
        _insert(hands, random, buffer.uri, (result or {}).get("items", []))
    elif result:
        _choose(hands, random.choice(result))


def _choose(hands: Hands, action: dict[str, Any]) -> None:
    client = hands.client
    if isinstance(action.get("command"), str):
        params = {"command": action["command"], "arguments": action.get("arguments", [])}
        client.wait_for(client.question("workspace/executeCommand", params, codes=(None, REQUEST_FAILED)))
    elif "edit" in action:
        apply(hands, action["edit"])
    else:
        codes = (None, INVALID_PARAMS)
        answer = client.wait_for(client.question("codeAction/resolve", action, codes=codes))
        apply(hands, (answer.get("result") or {}).get("edit"))


def apply_asked(hands: Hands) -> None:
    """Make the edits that the server has asked for, and say whether that could be done."""
    client = hands.client
    client.hear()
    while client.to_apply:
        number, edit = client.to_apply.popleft()
        client.say({"id": number, "result": {"applied": apply(hands, edit)}})


def apply(hands: Hands, edit: dict[str, Any] | None) -> bool:
    """Make an edit, if it is of open texts as they are, and holds nothing but plain texts."""
    changes = _by_uri(edit or {})
    if not changes or any(uri not in hands.club.buffers for uri in changes):
        return False
    if any("newText" not in each for edits in changes.values() for each in edits):
        return False
    for uri, edits in changes.items():
        _make(hands, uri, edits)
    return True


def _by_uri(edit: dict[str, Any]) -> dict[str, list[dict[str, Any]]]:
    if "documentChanges" not in edit:
        return dict(edit.get("changes") or {})
    return {each["textDocument"]["uri"]: each["edits"] for each in edit["documentChanges"]}


def _make(hands: Hands, uri: str, edits: list[dict[str, Any]]) -> None:
    """Edits of one text are all about the text as it is, and do not overlap: the last one is made first."""
    buffer = hands.club.buffers[uri]
    text = buffer.text

    def ends(item: dict[str, Any]) -> tuple[int, int]:
        start, end = (offset_of(text, item["range"][name], hands.units) for name in ("start", "end"))
        return start, end

    placed = sorted((*ends(each), number, each) for number, each in enumerate(edits))
    for (_, end, _, _), (start, _, _, following) in pairwise(placed):
        if start < end:
            hands.client.account.faults.append(f"edits that overlap: {uri} {following}")
            return
    changes, fresh = [], text
    for start, end, _, each in reversed(placed):
        changes.append({"range": each["range"], "text": each["newText"]})
        fresh = fresh[:start] + each["newText"] + fresh[end:]
    if changes:
        hands.change(buffer, changes, fresh)


def _insert(hands: Hands, random: Random, uri: str, items: list[dict[str, Any]]) -> None:
    plain = [each for each in items if each.get("insertTextFormat") != 2 and "textEdit" in each]
    if plain:
        _make(hands, uri, [random.choice(plain)["textEdit"]])
