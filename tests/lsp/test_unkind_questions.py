"""Questions that no decent client asks: each is answered or refused, soon, and nothing is said of a traceback."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Any

import pytest

from command import BURNING
from conversation import Conversation, conversation
from questions import METHODS, POSITIONED, RANGED, params_of

INVALID_PARAMS, REQUEST_FAILED = -32602, -32803
ZERO = {"line": 0, "character": 0}
HUGE = 2**31 - 1
BIG = "# a line of a comment that is not short, again and again\n" * 900_000


def asked(talk: Conversation, method: str, uri: object, place: object = ZERO) -> dict[str, Any]:
    return talk.answer(talk.begin(f"textDocument/{method}", params_of(method, uri, place)))


def no_fault_is_logged(talk: Conversation) -> None:
    logged = [each for each in talk._kept if each.get("method") == "window/logMessage"]
    assert not any("our fault" in each["params"]["message"] for each in logged), logged


@pytest.mark.parametrize("text", [BURNING, "", "\n", "[", "\ufeff"])
def test_places_far_outside_are_answered(tmp_path: Path, text: str) -> None:
    places = [(0, HUGE), (HUGE, 0), (HUGE, HUGE), (10_000, 3), (0, 0)]
    with conversation(tmp_path) as talk:
        talk.initialize()
        uri = talk.open("loco.lights.yaml", text)
        for method in METHODS:
            for line, character in places:
                answer = asked(talk, method, uri, {"line": line, "character": character})
                # To rename what is no name is refused in words.
                assert "result" in answer or answer["error"]["code"] == REQUEST_FAILED, (method, answer)
        no_fault_is_logged(talk)
        assert talk.end() == 0
        assert talk.errors() == ""


@pytest.mark.parametrize("number", [-1, -(2**40), 2**40, 1.5, "3", None, [], {}])
def test_numbers_that_are_none_are_answered_or_refused(tmp_path: Path, number: object) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize()
        uri = talk.open("loco.lights.yaml", BURNING)
        for method in (*POSITIONED, *RANGED, "rename", "selectionRange"):
            for place in ({"line": number, "character": 0}, {"line": 0, "character": number}):
                answer = asked(talk, method, uri, place)
                assert "result" in answer or answer["error"]["code"] in (INVALID_PARAMS, REQUEST_FAILED), (
                    method,
                    answer,
                )
        no_fault_is_logged(talk)
        assert talk.rules(uri) == ["unprotected-led"]
        assert talk.end() == 0
        assert talk.errors() == ""


@pytest.mark.parametrize(
    "uri",
    ["", "x", "file://", "file:///nowhere/a.lights.yaml", "http://[", "untitled:Untitled-1", "file:///%00.lights.yaml",
     "file:///" + "a" * 5000 + ".lights.yaml", 7, None, []],
)  # fmt: skip
def test_files_that_are_none_are_answered_or_refused(tmp_path: Path, uri: object) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize()
        for method in METHODS:
            answer = asked(talk, method, uri)
            if isinstance(uri, str):
                assert not answer.get("result"), (method, answer)
                assert answer.get("error", {}).get("code", REQUEST_FAILED) == REQUEST_FAILED, (method, answer)
        no_fault_is_logged(talk)
        assert talk.end() == 0
        assert talk.errors() == ""


def test_a_document_of_50_megabytes_is_asked_about_everything(tmp_path: Path) -> None:
    with conversation(tmp_path) as talk:
        talk.initialize()
        uri, small = talk.open("loco.lights.yaml", BIG), talk.open("small.lights.yaml", BURNING)
        assert talk.rules(uri) == ["unreadable-file"]
        times = []
        for method in METHODS:
            for place in (ZERO, {"line": 899_999, "character": 3}, {"line": HUGE, "character": HUGE}):
                began = time.monotonic()
                answer = asked(talk, method, uri, place)
                times.append(time.monotonic() - began)
                assert "result" in answer or answer["error"]["code"] == REQUEST_FAILED, (method, answer)
        # The machine may be busy with other tests, so that it is the usual time that is looked at.
        assert sorted(times)[len(times) // 2] < 0.05
        assert talk.rules(small) == ["unprotected-led"]
        no_fault_is_logged(talk)
        assert talk.end() == 0
        assert talk.errors() == ""
