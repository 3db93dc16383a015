"""`lampwright states`: which lamp burns when, for people and for programs."""

from __future__ import annotations

import itertools
from math import isclose
from pathlib import Path
from typing import Any

import pytest
from syrupy.assertion import SnapshotAssertion

from command import Command, lay

VEHICLES = Path(__file__).parent.parent / "examples" / "vehicles"
NAME = "crane.lights.yaml"
PLAN = """\
vehicle: {name: Steam crane 9}
supply: {track: 14.5 V}
decoder:
  common: {drop: 1.4 V}
  outputs: {white: {number: 1}, yellow: {number: 2}, green: {number: 3}, brown: {number: 4}, aux4: {number: 5}, aux5: {number: 6}}
  effects: {steady: {code: 0}, beacon: {code: 4, rate: 30 to 90 per minute}, strobe: {code: 5}}
lamps:
  front headlamp: {led: {forward-voltage: 3.0 V}}
  roof beacon: {led: {forward-voltage: 3.0 V}}
  cab lamp: {led: {forward-voltage: 3.0 V}}
  spare lamp: {led: {forward-voltage: 3.0 V}}
outputs:
  white: {circuit: [1 kohm, front headlamp]}
  yellow: {circuit: [1 kohm, roof beacon], effect: beacon}
  green: {circuit: [1 kohm, cab lamp]}
  brown: {circuit: [{board: {voltage: 12 V, current: 20 mA}}], brightness: 60 %}
  aux4: {circuit: []}
  aux5: {circuit: []}
keys:
  F0: {label: Headlamps, turns-on: [{output: white, when: [forward, not F5]}]}
  F2: {label: Horn, momentary: true, turns-on: [{output: yellow, rate: 60 per minute}]}
  F3: {turns-on: [{output: yellow, when: {any: [F0, moving]}}]}
  F4: {label: Cab, turns-on: [{output: green, brightness: 40 %}]}
  F5: {label: Crew, turns-on: [{output: green, brightness: 80 %}]}
  F6: {turns-on: [{output: aux5, when: [forward, reverse]}]}
always:
  - {output: brown}
  - {output: brown, when: stopped, effect: strobe}
"""
HARD = f"{{any: [{', '.join(f'[F{one}, F{one + 34}]' for one in range(34))}]}}"


@pytest.fixture
def crane(command: Command) -> dict[str, Any]:
    lay({NAME: PLAN})
    outcome = command("states", NAME, "--format", "json")
    assert (outcome.status, outcome.err) == (0, "")
    assert (outcome.json["format"], outcome.json["plan"]) == (1, NAME)
    outputs: dict[str, Any] = outcome.json["outputs"]
    return outputs


def words(when: list[list[dict[str, Any]]]) -> list[str]:
    return [" ".join(("" if part["is"] else "not ") + part["variable"] for part in product) for product in when]


def test_json_of_a_plain_light(crane: dict[str, Any]) -> None:
    assert crane["white"] == {
        "lamps": ["front headlamp"],
        "always": False,
        "lit": [
            {
                "effect": "steady",
                "brightness": 1.0,
                "rate": None,
                "conflicts": {},
                "when": [
                    [
                        {"variable": "F0", "is": True},
                        {"variable": "F5", "is": False},
                        {"variable": "forward", "is": True},
                    ]
                ],
            }
        ],
        "undecided": None,
    }


def test_json_of_an_effect_with_two_rates_the_slowest_where_none_is_named(crane: dict[str, Any]) -> None:
    slowest, named = crane["yellow"]["lit"]
    assert isclose(slowest["rate"], 30 / 60)
    assert words(slowest["when"]) == ["F0 not F2 F3", "not F2 F3 moving"]
    assert isclose(named["rate"], 60 / 60)
    assert words(named["when"]) == ["F2"]


def test_json_of_a_conflict(crane: dict[str, Any]) -> None:
    odds = crane["green"]["lit"][-1]
    assert (odds["effect"], odds["brightness"], odds["rate"]) == ("steady", None, None)
    assert odds["conflicts"] == {"brightness": [0.4, 0.8]}
    assert words(odds["when"]) == ["F4 F5"]


def test_json_of_what_always_burns_and_of_what_never_does(crane: dict[str, Any]) -> None:
    assert crane["brown"]["always"] is True
    assert crane["brown"]["lamps"] == []
    assert [(each["effect"], words(each["when"])) for each in crane["brown"]["lit"]] == [
        ("steady", ["moving"]),
        ("strobe", ["not moving"]),
    ]
    for name in ("aux4", "aux5"):
        assert crane[name] == {"lamps": [], "always": False, "lit": [], "undecided": None}


def test_text(command: Command, snapshot: SnapshotAssertion) -> None:
    lay({NAME: PLAN})
    outcome = command("states", NAME)
    assert (outcome.status, outcome.err) == (0, "")
    assert outcome.out == snapshot


@pytest.mark.parametrize("vehicle", ["quarry-switcher-3", "ore-hauler-12"])
def test_vehicles_of_the_club(
    command: Command, monkeypatch: pytest.MonkeyPatch, snapshot: SnapshotAssertion, vehicle: str
) -> None:
    monkeypatch.chdir(VEHICLES)
    outcome = command("states", f"{vehicle}.lights.yaml")
    assert (outcome.status, outcome.err) == (0, "")
    assert outcome.out == snapshot


def test_a_key_without_entries_changes_nothing_and_an_empty_condition_is_always(command: Command) -> None:
    lay({NAME: PLAN.replace("when: stopped, effect: strobe", "when: []")})
    assert "output brown (a lighting board), always on:\n  steady at 60 %, always\n" in command("states", NAME).out


UNREADABLE = PLAN.replace("brightness: 40 %", "brightness: 40 pct")
TOO_HARD = PLAN.replace("when: {any: [F0, moving]}", f"when: {HARD}")
FIXED = PLAN.replace("  effects:", "  keys: {mapping: fixed, fixed: {F1: [{output: aux4}]}}\n  effects:")


@pytest.mark.parametrize(
    ("plan", "output", "lacks"),
    [
        (UNREADABLE, "green", "entries and looks that can all be read"),
        (TOO_HARD, "yellow", "an answer within the time for one question"),
        (FIXED, "aux4", "a word of the plan about what the decoder's fixed keys turn on by themselves"),
    ],
    ids=["unreadable", "too hard", "fixed"],
)
def test_what_cannot_be_told_says_what_it_lacks_and_the_rest_is_told(
    command: Command, plan: str, output: str, lacks: str
) -> None:
    lay({NAME: plan})
    outputs = command("states", NAME, "--format", "json").json["outputs"]
    assert {name for name, each in outputs.items() if each["undecided"] is not None} == {output}
    assert outputs[output]["undecided"] == lacks
    assert outputs[output]["lit"] == []
    text = command("states", NAME)
    assert text.status == 0
    assert f"cannot be told, for lack of {lacks}" in " ".join(text.out.split())


def test_lamps_that_cannot_be_read_are_not_told(command: Command) -> None:
    lay({NAME: PLAN.replace("[1 kohm, cab lamp]", "[1 kohm, [cab]]")})
    assert command("states", NAME, "--format", "json").json["outputs"]["green"]["lamps"] is None
    assert "output green (its lamps cannot all be read):" in command("states", NAME).out


def test_a_name_that_no_output_has_may_be_any_of_them(command: Command) -> None:
    """Whatever was meant by `vilet` burns in more states than the other entries say, and nobody can tell which it is."""
    lay({NAME: PLAN.replace("[{output: green, brightness: 40 %}]", "[{output: vilet}]")})
    outputs = command("states", NAME, "--format", "json").json["outputs"]
    assert list(outputs) == ["white", "yellow", "green", "brown", "aux4", "aux5"]
    assert {each["undecided"] for each in outputs.values()} == {"entries and looks that can all be read"}


def test_outputs_that_cannot_be_read_are_told_by_their_names(command: Command) -> None:
    """What an output looks like where no entry says it stood in what was dropped."""
    lay({NAME: PLAN[: PLAN.index("outputs:\n")] + "outputs: none\n" + PLAN[PLAN.index("keys:\n  F0") :]})
    outputs = command("states", NAME, "--format", "json").json["outputs"]
    assert list(outputs) == ["white", "yellow", "green", "aux5", "brown"]
    assert {(each["lamps"], each["always"], each["undecided"] is None) for each in outputs.values()} == {
        (None, False, False)
    }
    assert "output white (its lamps cannot all be read):\n  cannot be told" in command("states", NAME).out


def test_every_state_of_the_crane_is_in_at_most_one_look(crane: dict[str, Any]) -> None:
    """Over the seven keys of the plan, both ways, moving and not: what JSON says can be evaluated by who reads it."""
    variables = ["F0", "F2", "F3", "F4", "F5", "F6", "forward", "moving"]
    for bits in itertools.product((False, True), repeat=len(variables)):
        state = dict(zip(variables, bits, strict=True))
        for name, output in crane.items():
            looks = [
                look
                for look in output["lit"]
                if any(all(state[part["variable"]] is part["is"] for part in product) for product in look["when"])
            ]
            assert len(looks) <= 1
            assert bool(looks) is is_on(name, state)


def is_on(output: str, state: dict[str, bool]) -> bool:
    """As one reads it in the plan above."""
    match output:
        case "white":
            return state["F0"] and state["forward"] and not state["F5"]
        case "yellow":
            return state["F2"] or (state["F3"] and (state["F0"] or state["moving"]))
        case "green":
            return state["F4"] or state["F5"]
    return output == "brown"


def test_no_text_of_a_plan_is_a_command_to_a_terminal(command: Command) -> None:
    lay({NAME: PLAN.replace("Steam crane 9", '"crane\\e[31m"').replace("label: Cab", 'label: "Cab\\e]0;"')})
    for form in ("text", "json"):
        outcome = command("states", NAME, "--format", form)
        assert outcome.status == 0
        assert "\x1b" not in outcome.out
    assert "Cab" in command("states", NAME).out


@pytest.mark.parametrize("name", ["missing.lights.yaml", "", ".", "club.parts.yaml", "empty.lights.yaml"])
def test_what_is_no_plan_is_one_line_and_status_2(command: Command, name: str) -> None:
    lay({"club.parts.yaml": "parts-catalogue: 1\n", "empty.lights.yaml": "- just a list\n"})
    outcome = command("states", name)
    assert outcome.status == 2
    assert outcome.out == ""
    assert outcome.err.count("\n") == 1
