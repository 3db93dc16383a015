"""What is found among plans, in an editor: as the command finds it in the folder, and renewed when a neighbour moves."""

from __future__ import annotations

import queue
from collections.abc import Iterator
from pathlib import Path

import pytest

from conversation import Conversation, conversation

PLAN = """vehicle: {{name: {name}, address: {address}}}
decoder: {{outputs: {{}}}}
lamps: {{}}
outputs: {{}}
keys: {{}}
"""
REFRESHED = {"textDocument": {"diagnostic": {}}, "workspace": {"diagnostics": {"refreshSupport": True}}}


def plan(name: str, address: int) -> str:
    return PLAN.format(name=name, address=address)


@pytest.fixture
def talk(tmp_path: Path) -> Iterator[Conversation]:
    (tmp_path / "quarry.lights.yaml").write_text(plan("Quarry switcher 7", 2107), "utf-8")
    with conversation(tmp_path) as begun:
        begun.initialize(REFRESHED)
        yield begun
        assert begun.end() == 0
        assert begun.errors() == ""


def of_workspace(talk: Conversation) -> dict[str, list[str]]:
    items = talk.ask("workspace/diagnostic", {"previousResultIds": []})["items"]
    return {item["uri"].rpartition("/")[2]: [each["code"] for each in item["items"]] for item in items}


def test_a_neighbour_on_the_disk(talk: Conversation) -> None:
    uri = talk.open("hauler.lights.yaml", plan("Ore hauler 12", 2107))
    of_workspace(talk)
    assert talk.rules(uri) == ["shared-address"]
    talk.note("workspace/diagnostic/refresh")
    assert of_workspace(talk) == {"quarry.lights.yaml": ["shared-address"]}
    talk.change(uri, 2, {"text": plan("Ore hauler 12", 2108)})
    assert talk.rules(uri) == []
    talk.note("workspace/diagnostic/refresh")
    assert of_workspace(talk) == {"quarry.lights.yaml": []}


def test_what_leads_to_the_other_one(talk: Conversation) -> None:
    uri = talk.open("hauler.lights.yaml", plan("Ore hauler 12", 2107))
    of_workspace(talk)
    (item,) = talk.ask("textDocument/diagnostic", {"textDocument": {"uri": uri}})["items"]
    (other,) = item["relatedInformation"]
    assert other["location"]["uri"].endswith("/quarry.lights.yaml")
    assert other["location"]["range"]["start"] == {"line": 0, "character": 44}


def test_a_plan_that_touches_no_other_asks_for_nothing(talk: Conversation) -> None:
    uri = talk.open("hauler.lights.yaml", plan("Ore hauler 12", 2111))
    of_workspace(talk)
    assert talk.rules(uri) == []
    for version, address in enumerate(range(2112, 2120), 2):
        talk.change(uri, version, {"text": plan("Ore hauler 12", address)})
        assert talk.rules(uri) == []
    with pytest.raises(queue.Empty):
        talk.note("workspace/diagnostic/refresh", seconds=0.6)
