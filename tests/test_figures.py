"""`lampwright figures`: the table for the bench and the JSON that the language's page promises."""

from __future__ import annotations

from math import isclose
from typing import Any

import pytest
from syrupy.assertion import SnapshotAssertion

from command import Command, lay

PLAN = """\
vehicle: {name: Quarry switcher 7}
supply: {track: 14.5 V}
decoder:
  common: {drop: 1.4 V}
  limits: {outputs-together: 500 mA}
  outputs:
    white: {number: 1, limit: 100 mA}
    yellow: {number: 2, limit: 100 mA}
    aux: {number: 3, logic-level: 5 V, limit: 0.5 mA}
lamps:
  front headlamp: {led: {forward-voltage: 3.0 V, at: 10.1 mA, maximum-current: 20 mA}}
  cab lamp: {bulb: {voltage: 13.1 V, current: 40 mA}}
  step lamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
outputs:
  white: {circuit: [{resistor: 1 kohm, rating: 1/2 W, tolerance: 0 %}, front headlamp]}
  yellow: {circuit: [cab lamp]}
  aux: {circuit: [1 kohm 1/2 W, step lamp]}
keys:
  F0: {turns-on: [{output: white, when: forward}, {output: yellow, when: reverse}]}
"""


NAME = "switcher.lights.yaml"


@pytest.fixture
def figures(command: Command) -> dict[str, Any]:
    lay({NAME: PLAN})
    outcome = command("figures", NAME, "--format", "json")
    assert outcome.status == 0, outcome.err
    return outcome.json


def test_json_is_what_the_language_promises(figures: dict[str, Any]) -> None:
    """At its test current an LED has its stated voltage: 13.1 V - 3.0 V over 1 kohm are 10.1 mA."""
    found = figures
    assert found["format"] == 1
    assert found["plan"] == "switcher.lights.yaml"
    white = found["outputs"]["white"]
    assert isclose(white["current"]["usual"], 10.1e-3, rel_tol=1e-9)
    resistor, led = white["elements"]
    assert (resistor["path"], resistor["kind"], resistor["name"]) == ("outputs.white.circuit.0", "resistor", None)
    assert (led["path"], led["kind"], led["name"]) == ("outputs.white.circuit.1", "led", "front headlamp")
    assert isclose(resistor["voltage"]["usual"], 10.1, rel_tol=1e-9)
    assert isclose(resistor["power"]["usual"], 10.1 * 10.1e-3, rel_tol=1e-9)
    assert isclose(led["voltage"]["usual"], 3.0, rel_tol=1e-9)
    assert isclose(led["share-of-limit"], 10.1 / 20, rel_tol=1e-9)


def test_a_bulb_at_its_rating_has_all_of_its_light_and_one_life(figures: dict[str, Any]) -> None:
    (bulb,) = figures["outputs"]["yellow"]["elements"]
    assert isclose(bulb["current"]["usual"], 40e-3, rel_tol=1e-9)
    assert isclose(bulb["light"], 1.0, rel_tol=1e-9)
    assert isclose(bulb["life"], 1.0, rel_tol=1e-9)


def test_the_worst_state_is_one_that_the_keys_can_reach(figures: dict[str, Any]) -> None:
    worst = figures["worst-state"]
    assert worst["keys"] == ["F0"]
    assert worst["direction"] == "reverse"
    assert worst["moving"] is False
    assert worst["outputs"] == ["yellow"]
    assert isclose(worst["current"], 40e-3, rel_tol=1e-9)


def test_what_cannot_be_told_says_what_it_lacks(figures: dict[str, Any]) -> None:
    aux = figures["outputs"]["aux"]
    assert aux["current"] is None
    assert aux["elements"] == []
    assert aux["lacks"] == "a driver at this logic-level output"


def test_text(command: Command, snapshot: SnapshotAssertion) -> None:
    lay({NAME: PLAN})
    outcome = command("figures", NAME)
    assert outcome.status == 0
    assert outcome.out == snapshot


@pytest.mark.parametrize("name", ["missing.lights.yaml", "", ".", "club.parts.yaml"])
def test_what_is_no_plan_is_one_line_and_status_2(command: Command, name: str) -> None:
    lay({"club.parts.yaml": "parts-catalogue: 1\n"})
    outcome = command("figures", name)
    assert outcome.status == 2
    assert outcome.out == ""
    assert outcome.err.count("\n") == 1
