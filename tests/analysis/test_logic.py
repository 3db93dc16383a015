"""What the page of the language says about conditions and looks, case by case."""

from __future__ import annotations

import dataclasses
import itertools
from typing import Any

import pytest

from analysis.key_plans import NOWHERE, QUARRY_SWITCHER, Items, plan, standing
from lampwright.analysis.logic import WorstState, logic_facts
from lampwright.analysis.logic.conflicts import Conflict, Conflicts
from lampwright.analysis.logic.questions import State
from lampwright.model.keys import Entry, Key, Look
from lampwright.model.values import Figure

approx: Any = pytest.approx


def test_the_state_in_which_an_entry_holds_is_the_plainest_one() -> None:
    facts = logic_facts(plan(QUARRY_SWITCHER))
    states = [facts.witness(fact.formula) for fact in facts.entries if fact.formula is not None]
    assert states == [standing("F0"), standing("F0", forward=False), standing("F0", "F3"), standing("F7")]
    assert all(fact.is_possible for fact in facts.entries)
    assert [fact.key and fact.key.name for fact in facts.entries] == ["F0", "F0", "F3", "F7"]


def test_a_usual_plan_has_no_conflicts() -> None:
    facts = logic_facts(plan(QUARRY_SWITCHER, always=[{"output": "brown", "when": "moving"}]))
    assert facts.conflicts_of_one_key == Conflicts((), ())
    assert facts.conflicts_between_keys == Conflicts((), ())


def test_dimming_the_headlamp_by_another_key_is_no_conflict() -> None:
    dimmer: dict[str, Items] = {"F5": [{"output": "white", "when": ["forward", "F0"], "brightness": 0.4}]}
    assert logic_facts(plan(QUARRY_SWITCHER | dimmer)).conflicts_between_keys == Conflicts((), ())


def test_two_brightnesses_for_one_output_conflict_between_keys() -> None:
    other: Items = [{"output": ["white", "brown"], "when": "not F0", "brightness": 0.5}]
    facts = logic_facts(plan(QUARRY_SWITCHER | {"F9": other}))
    assert facts.conflicts_of_one_key.found == ()
    (conflict,) = facts.conflicts_between_keys.found
    assert conflict == Conflict(facts.entries[3], facts.entries[4], ("brown",), ("brightness",), standing("F7", "F9"))


def test_two_looks_under_one_key_conflict() -> None:
    items: Items = [
        {"output": ["green", "violet", "green"], "when": "forward", "effect": "alternating flash", "rate": 1.0},
        {"output": ["violet", "green", "violet"], "when": {"any": ["moving", "F1"]}, "effect": "steady", "rate": 2.0},
        {"output": "green", "when": "reverse", "effect": "firebox flicker"},
    ]
    facts = logic_facts(plan({"F3": items}))
    first, second, third = facts.entries
    assert facts.conflicts_of_one_key.found == (
        Conflict(first, second, ("green", "violet"), ("effect", "rate"), standing("F3", moving=True)),
        Conflict(second, third, ("green",), ("effect",), standing("F3", forward=False, moving=True)),
    )
    assert facts.conflicts_between_keys == Conflicts((), ())


def test_entries_of_always_conflict_with_keys_and_with_each_other() -> None:
    always = [
        {"output": "brown", "when": "moving", "brightness": 0.4},
        {"output": "brown", "when": "not F7", "brightness": 0.5},
    ]
    facts = logic_facts(plan({"F7": [{"output": "brown", "effect": "steady", "brightness": 1.0}]}, always))
    key, moving, off = facts.entries
    assert facts.conflicts_of_one_key == Conflicts((), ())
    assert facts.conflicts_between_keys.found == (
        Conflict(key, moving, ("brown",), ("brightness",), standing("F7", moving=True)),
        Conflict(moving, off, ("brown",), ("brightness",), standing(moving=True)),
    )


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ({"when": "forward", "effect": "steady"}, {"when": "reverse", "effect": "oscillating"}),
        ({"when": "moving", "rate": 1.0}, {"when": "stopped", "rate": 2.0}),
        ({"when": "F1", "rate": 1.0}, {"when": ["not F1", "moving"], "rate": 2.0}),
        ({"effect": "steady"}, {"brightness": 0.4}),
        ({"effect": "steady"}, {"effect": "steady"}),
        ({"brightness": 0.4, "rate": 1.0}, {"brightness": 0.4, "effect": "steady"}),
        ({"brightness": 0.4}, {}),
        ({"brightness": 0.4}, {"when": ["forward", "reverse"], "brightness": 0.5}),
        ({"brightness": 0.4}, {"when": {"any": []}, "brightness": 0.5}),
        ({"brightness": 0.4}, {"output": "yellow", "brightness": 0.5}),
    ],
)
def test_looks_that_agree_or_never_meet_do_not_conflict(one: dict[str, Any], other: dict[str, Any]) -> None:
    items = [{"output": "white"} | one, {"output": "white"} | other]
    assert logic_facts(plan({"F1": items})).conflicts_of_one_key == Conflicts((), ())
    assert logic_facts(plan({"F1": items[:1], "F2": items[1:]})).conflicts_between_keys == Conflicts((), ())


def test_figures_are_compared_in_their_whole_spread() -> None:
    facts = logic_facts(plan({"F1": [{"output": "white", "rate": 1.0}, {"output": "white", "rate": 1.0}]}))
    first, second = facts.entries
    wider = Entry(second.entry.span, second.entry.outputs, look=Look(rate=Figure(0.5, 1.0, 2.0)))
    key = Key(1, NOWHERE, entries=(first.entry, wider))
    changed = dataclasses.replace(plan({}), keys={1: key})
    assert facts.conflicts_of_one_key.found == ()
    assert len(logic_facts(changed).conflicts_of_one_key.found) == 1


@pytest.mark.parametrize(
    ("when", "is_possible"),
    [
        ([], True),
        ({"any": []}, False),
        ("not F3", False),
        (["forward", "reverse"], False),
        (["stopped", "not stopped"], False),
        (["not reverse", {"any": ["reverse", "moving"]}, "stopped"], False),
        (["F68", "not F0", "reverse", "moving"], True),
        ([{"any": ["F1", "F2"]}, {"any": ["not F1", "F2"]}, {"any": ["F1", "not F2"]}], True),
        (
            [
                {"any": ["F1", "F2"]},
                {"any": ["not F1", "F2"]},
                {"any": ["F1", "not F2"]},
                {"any": ["not F1", "not F2"]},
            ],
            False,
        ),
        ([[[]]], True),
    ],
)
def test_an_entry_is_impossible_if_no_state_satisfies_it_and_its_key(when: Any, is_possible: bool) -> None:
    (fact,) = logic_facts(plan({"F3": [{"output": "white", "when": when}]})).entries
    assert fact.is_possible is is_possible


def test_fewer_keys_come_before_forward_and_low_numbers() -> None:
    def named(when: Any) -> State:
        facts = logic_facts(plan({}, always=[{"output": "white", "when": when}]))
        state = facts.witness(*(fact.formula for fact in facts.entries if fact.formula is not None))
        assert isinstance(state, State)
        return state

    assert named([]) == standing()
    assert named({"any": [["F1", "F2"], ["F9", "reverse", "moving"]]}) == standing("F9", forward=False, moving=True)
    assert named({"any": [["F1", "reverse"], ["F9", "moving"]]}) == standing("F9", moving=True)
    assert named({"any": ["F9", "F10"]}) == standing("F9")
    assert named([{"any": ["F11", "F3"]}, {"any": ["F7", "F12"]}]) == standing("F3", "F7")


def test_nothing_is_claimed_of_what_could_not_be_read() -> None:
    items: Items = [
        {"output": "white", "when": None, "brightness": 0.4},
        {"output": "white", "when": "not F0", "brightness": 0.5, "complete": False},
        {"output": "white", "when": "reverse", "brightness": 0.6},
    ]
    facts = logic_facts(plan({"F0": items}, always=items[:2]))
    assert [fact.is_readable for fact in facts.entries] == [False, False, True, False, False]
    assert [fact.formula is None for fact in facts.entries] == [True, True, False, True, True]
    assert [fact.is_possible for fact in facts.entries] == [None, None, True, None, None]
    assert facts.conflicts_of_one_key == Conflicts((), ())
    assert facts.conflicts_between_keys == Conflicts((), ())
    assert facts.lit == {"white": facts.entries[2].formula}


def test_an_entry_covers_another_that_holds_in_fewer_states() -> None:
    work: Items = [{"output": "white"}, {"output": "white", "when": "F0"}]
    facts = logic_facts(plan(QUARRY_SWITCHER | {"F4": work}))
    formulas = [fact.formula for fact in facts.entries if fact.formula is not None]
    wide, narrow = formulas[4:]
    assert (facts.implies(narrow, wide), facts.implies(wide, narrow), facts.implies(wide, wide)) == (True, False, True)
    white = facts.lit["white"]
    assert white is not None
    assert [facts.implies(formula, white) for formula in formulas] == [True, False, True, False, True, True]


def test_the_worst_state_of_the_quarry_switcher() -> None:
    facts = logic_facts(plan(QUARRY_SWITCHER))
    currents = {"white": 0.007, "yellow": 0.007, "green": 0.015, "violet": 0.015, "brown": 0.044, "aux4": 1.0}
    outputs = ("white", "green", "violet", "brown")
    assert facts.worst_state(currents) == WorstState(standing("F0", "F3", "F7"), outputs, approx(0.081))
    backwards = WorstState(standing("F0", "F7", forward=False), ("yellow", "brown"), approx(0.164))
    assert facts.worst_state(currents | {"yellow": 0.12}) == backwards
    assert facts.worst_state({}) == WorstState(standing(), (), 0.0)
    assert facts.worst_state({"aux4": 1.0}) == WorstState(standing(), (), 0.0)


def test_of_states_that_draw_the_same_the_plainest_is_the_worst_whatever_the_order_of_adding() -> None:
    tenths = {"white": 0.1, "green": 0.2, "violet": 0.3, "yellow": 0.3, "brown": 0.2, "aux4": 0.1}
    when = {output: "forward" if output in ("white", "green", "violet") else "reverse" for output in tenths}
    items = [{"output": output, "when": when[output]} for output in tenths]
    for shuffled in itertools.permutations(items):
        worst = logic_facts(plan({"F0": shuffled})).worst_state(tenths)
        assert worst == WorstState(standing("F0"), ("white", "green", "violet"), approx(0.6))


def test_of_equally_plain_worst_states_the_one_with_the_lowest_key_is_named() -> None:
    """F9 matters to most outputs and is decided first, which must not hide that F1 and F9 come before F4 and F5."""
    white = {"output": "white", "when": {"any": [["F4", "F5"], ["F9", "F1"]]}}
    facts = logic_facts(plan({}, always=[white, {"output": "yellow", "when": ["F9", "F2"]}]))
    assert facts.worst_state({"white": 0.1, "yellow": 0.0}) == WorstState(standing("F1", "F9"), ("white",), 0.1)
