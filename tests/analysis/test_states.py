"""The state table of plans that one can check in one's head, and of plans that nobody would write."""

from __future__ import annotations

import dataclasses
import os
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from analysis.key_plans import QUARRY_SWITCHER, decoder, plan
from analysis.test_logic_limits import HARD, halves_alike
from lampwright.analysis.logic import logic_facts
from lampwright.analysis.logic.decision import FALSE, TRUE
from lampwright.analysis.logic.looks import Lack
from lampwright.analysis.logic.questions import Questions, diagram_of_states
from lampwright.analysis.logic.states import LitLook, OutputStates
from lampwright.model.keys import Literal
from lampwright.model.lighting import LightingPlan
from lampwright.model.values import Figure

STEADY = LitLook(("steady",), (1.0,), ())


def steady(brightness: float) -> LitLook:
    return LitLook(("steady",), (brightness,), ())


def table(model: LightingPlan) -> dict[str, Any]:
    """For each output its looks with their conditions in words, or why there are none."""
    return {
        name: [(lit.look, [" ".join(map(word, product)) for product in lit.products]) for lit in states.lit]
        if isinstance(states, OutputStates)
        else states
        for name, states in logic_facts(model).states.items()
    }


def word(literal: Literal) -> str:
    opposites = {"forward": "reverse", "moving": "stopped"}
    return literal.variable if literal.positive else opposites.get(literal.variable, f"-{literal.variable}")


def test_the_quarry_switcher() -> None:
    assert table(plan(QUARRY_SWITCHER)) == {
        "white": [(STEADY, ["F0 forward"])],
        "yellow": [(STEADY, ["F0 reverse"])],
        "green": [(STEADY, ["F0 F3 forward"])],
        "violet": [(STEADY, ["F0 F3 forward"])],
        "brown": [(steady(0.4), ["F7"])],
    }


def test_a_key_that_dims_what_another_turns_on_splits_its_states() -> None:
    dims = {"output": "white", "when": ["forward", "F0"], "brightness": 0.4}
    model = plan({"F0": [{"output": "white", "when": "forward"}], "F5": [dims]})
    assert table(model) == {"white": [(STEADY, ["F0 -F5 forward"]), (steady(0.4), ["F0 F5 forward"])]}


def test_entries_at_odds_are_told_as_such_and_come_last() -> None:
    keys = {f"F{number}": [{"output": "white", "brightness": share}] for number, share in ((1, 0.4), (2, 0.8))}
    odds = LitLook(("steady",), (0.4, 0.8), ())
    assert odds.is_at_odds
    assert table(plan(keys)) == {"white": [(steady(0.8), ["-F1 F2"]), (steady(0.4), ["F1 -F2"]), (odds, ["F1 F2"])]}


def test_always_and_never() -> None:
    always = [{"output": "white"}, {"output": "yellow", "when": ["F1", "not F1"]}]
    model = plan({"F0": [{"output": "white", "when": "moving"}]}, always, outputs={"green": {}})
    assert table(model) == {"white": [(STEADY, [""])], "yellow": [], "green": []}
    named = {name: getattr(states, "is_named", None) for name, states in logic_facts(model).states.items()}
    assert named == {"green": False, "white": True, "yellow": True}


def test_an_effect_has_the_rate_that_is_named_else_the_slowest_of_the_sheet_and_steady_light_none() -> None:
    keys = {
        "F1": [{"output": "white", "effect": "steady"}],
        "F2": [{"output": "yellow", "rate": 2.0}],
        "F3": [{"output": "green"}],
        "F4": [{"output": "brown", "effect": "oscillating"}, {"output": "brown", "effect": "strobe"}],
    }
    outputs: dict[str, dict[str, Any]] = {
        "white": {"rate": 2.0},
        "yellow": {"effect": "oscillating"},
        "green": {"effect": "oscillating"},
    }
    model = dataclasses.replace(plan(keys, outputs=outputs), decoder=decoder(rate=Figure(0.5, 1.0, 2.0)))
    assert table(model) == {
        "white": [(STEADY, ["F1"])],
        "yellow": [(LitLook(("oscillating",), (1.0,), (2.0,)), ["F2"])],
        "green": [(LitLook(("oscillating",), (1.0,), (0.5,)), ["F3"])],
        "brown": [(LitLook(("oscillating", "strobe"), (1.0,), ()), ["F4"])],
    }
    without_sheet = table(plan(keys, outputs=outputs))
    assert without_sheet["green"] == [(LitLook(("oscillating",), (1.0,), ()), ["F3"])]


def test_pieces_with_one_look_are_told_together() -> None:
    """F2 names the rate of what is steady, F3 the brightness that the lamp has anyway: neither makes a difference."""
    keys = {
        "F1": [{"output": "white"}],
        "F2": [{"output": "white", "rate": 2.0}],
        "F3": [{"output": "white", "brightness": 1.0}],
    }
    assert table(plan(keys)) == {"white": [(STEADY, ["F1", "F2", "F3"])]}


@pytest.mark.parametrize("unreadable", [{"when": None}, {"readable": False}, {"complete": False}])
def test_what_cannot_be_read_leaves_its_outputs_open_and_no_others(unreadable: dict[str, Any]) -> None:
    model = plan({"F1": [{"output": "white", **unreadable}, {"output": "yellow"}]}, outputs={"white": {}})
    assert table(model) == {"white": Lack.UNREADABLE, "yellow": [(STEADY, ["F1"])]}


def test_what_is_too_hard_is_undecided_and_the_rest_is_answered() -> None:
    model = plan({"F0": [{"output": "white", "when": halves_alike()}, {"output": "yellow"}]})
    assert table(model) == {"white": Lack.TIME, "yellow": [(STEADY, ["F0"])]}


@pytest.mark.parametrize(("keys", "is_decided"), [(1, True), (7, True), (20, False)])
def test_what_takes_too_many_words_is_undecided(keys: int, is_decided: bool) -> None:
    """Parity has a small diagram, but over twenty keys half a million conditions of twenty words each."""
    diagram = diagram_of_states()
    diagram.begin(1_000)
    odd = FALSE
    for number in range(keys):
        odd = diagram.joined(68 - number, odd, diagram.negation(odd))
    start = time.process_time()
    products = Questions(diagram).products(odd)
    assert time.process_time() - start < 1
    assert (products is not None) is is_decided
    assert products is None or len(products) == 2 ** (keys - 1)


def test_marks_that_cut_nothing_take_their_time_as_well() -> None:
    questions = Questions(diagram_of_states())
    assert questions.pieces(TRUE, [TRUE] * 3) == [((0, 1, 2), TRUE)]
    assert questions.pieces(FALSE, [TRUE] * 3) == []
    assert questions.pieces(TRUE, [TRUE] * 20_000) is None


@pytest.mark.parametrize("name", HARD)
def test_a_hard_plan_gets_its_table_soon(name: str) -> None:
    model = HARD[name]()
    start = time.process_time()
    assert len(logic_facts(model).states) >= 1
    assert time.process_time() - start < 2


def test_the_table_does_not_depend_on_what_was_asked_before() -> None:
    model = HARD["pairs alike, flashing"]()
    one, other = logic_facts(model), logic_facts(model)
    backwards = other.shown, other.unpaired, other.states
    assert one.states == backwards[2]


def digest() -> str:
    names = ("parts of halves alike", "100 deep, 200 times", "pairs alike, flashing", "many outputs")
    return "\n".join(repr(table(model)) for model in (plan(QUARRY_SWITCHER), *(HARD[name]() for name in names)))


def test_hash_seeds_change_nothing() -> None:
    def run(seed: str) -> str:
        environment = os.environ | {"PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join(sys.path)}
        command = [sys.executable, str(Path(__file__))]
        return subprocess.run(command, env=environment, check=True, capture_output=True, text=True).stdout

    first = run("0")
    assert first.count("LitLook(") > 20
    assert run("1") == first
    assert run("4242") == first


if __name__ == "__main__":
    sys.stdout.write(digest())
