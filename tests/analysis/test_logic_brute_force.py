"""Is what the logic says of random plans true in every state, and the state that it names the plainest one?

The judge is brute force: a formula is one integer with a bit for each of 4096 states, the plainest state first.
With LAMPWRIGHT_EXAMPLES=100000 in the environment that many random plans are tried instead of the usual few.
"""

from __future__ import annotations

import dataclasses
import itertools
import os
import random
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from analysis.key_plans import plan
from lampwright.analysis.logic import LogicFacts, WorstState, logic_facts
from lampwright.analysis.logic.conflicts import Conflict, Conflicts
from lampwright.analysis.logic.decision import TRUE
from lampwright.analysis.logic.entries import EntryFact
from lampwright.analysis.logic.questions import Questions, State, diagram_of_states
from lampwright.model.keys import ALWAYS, AllOf, AnyOf, Condition, Literal, Look
from lampwright.model.lighting import LightingPlan

approx: Any = pytest.approx

many = settings(
    max_examples=int(os.environ.get("LAMPWRIGHT_EXAMPLES", "60")),
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)

KEYS = ("F0", "F1", "F2", "F3", "F5", "F9", "F10", "F28", "F67", "F68")
OUTPUTS = ("white", "yellow", "green")


def plainness(state: State) -> tuple[int, bool, bool, list[int]]:
    return len(state.keys), not state.forward, state.moving, [int(key[1:]) for key in state.keys]


@cache
def states(keys: tuple[str, ...] = KEYS) -> list[State]:
    """All states of twelve variables, the plainest first."""
    on = [tuple(itertools.compress(keys, bits)) for bits in itertools.product((False, True), repeat=len(keys))]
    every = (State(keys, forward, moving) for keys in on for forward in (False, True) for moving in (False, True))
    return sorted(every, key=plainness)


@cache
def truth(variable: str) -> int:
    """The states in which `variable` is true."""
    return sum(1 << rank for rank, state in enumerate(states()) if is_on(variable, state))


def is_on(variable: str, state: State) -> bool:
    if variable in ("forward", "moving"):
        return state.forward if variable == "forward" else state.moving
    return variable in state.keys


ALL_STATES = (1 << 4096) - 1


def truth_of(condition: Condition, key: str | None = None) -> int:
    """The states in which `condition` is met while `key` is on."""
    if isinstance(condition, Literal):
        table = truth(condition.variable) if condition.positive else ALL_STATES & ~truth(condition.variable)
    elif isinstance(condition, AllOf):
        table = ALL_STATES
        for part in condition.parts:
            table &= truth_of(part)
    else:
        table = 0
        for part in condition.parts:
            table |= truth_of(part)
    return table & truth(key) if key else table


def truth_of_fact(fact: EntryFact) -> int:
    assert fact.entry.condition is not None
    return truth_of(fact.entry.condition, fact.key.name if fact.key else None)


def plainest(table: int) -> State | None:
    return states()[(table & -table).bit_length() - 1] if table else None


def literals(keys: Sequence[str] = KEYS) -> st.SearchStrategy[Condition]:
    return st.builds(Literal, st.sampled_from([*keys, "forward", "moving"]), st.booleans())


def conditions(keys: Sequence[str] = KEYS, leaves: int = 14) -> st.SearchStrategy[Condition]:
    def nested(part: st.SearchStrategy[Condition]) -> st.SearchStrategy[Condition]:
        parts = st.lists(part, max_size=4).map(tuple)
        return st.builds(AllOf, parts) | st.builds(AnyOf, parts)

    return st.recursive(literals(keys) | st.just(ALWAYS), nested, max_leaves=leaves)


def items(keys: Sequence[str] = KEYS) -> st.SearchStrategy[dict[str, Any]]:
    looks = {
        "effect": st.sampled_from(["steady", "oscillating"]),
        "brightness": st.sampled_from([0.4, 1.0]),
        "rate": st.sampled_from([1.0, 2.0]),
    }
    outputs = st.lists(st.sampled_from(OUTPUTS), min_size=1, max_size=3)
    return st.fixed_dictionaries({"output": outputs, "when": conditions(keys)}, optional=looks)


def plans(keys: Sequence[str] = KEYS) -> st.SearchStrategy[LightingPlan]:
    of_keys = st.dictionaries(st.sampled_from(list(keys)), st.lists(items(keys), max_size=3), max_size=4)
    return st.builds(plan, of_keys, st.lists(items(keys), max_size=2))


@many
@given(conditions(leaves=40), conditions(leaves=40))
def test_formulas_agree_with_brute_force(one: Condition, other: Condition) -> None:
    questions = Questions(diagram_of_states())
    first, second = questions.formula(one), questions.formula(other)
    assert first is not None
    assert second is not None
    tables = truth_of(one), truth_of(other)
    assert (first == second) is (tables[0] == tables[1])
    assert questions.witness(first) == plainest(tables[0])
    assert questions.witness(first, second) == plainest(tables[0] & tables[1])
    assert questions.implies(first, second) is (tables[0] & ~tables[1] == 0)
    union = questions.any_of([first, second])
    assert union is not None
    assert questions.implies(union, first) is (tables[1] & ~tables[0] == 0)
    for state in states()[:: len(states()) // 16]:
        assert questions.holds(union, state) is bool((tables[0] | tables[1]) >> states().index(state) & 1)


def assumed(item: Condition, literal: Literal) -> Condition:
    """`item` while `literal` holds."""
    if isinstance(item, Literal):
        fixed = ALWAYS if item == literal else AnyOf(())
        return fixed if item.variable == literal.variable else item
    return type(item)(tuple(assumed(part, literal) for part in item.parts))


@many
@given(conditions(), st.sampled_from([*KEYS, "forward", "moving"]))
def test_a_condition_told_case_by_case_is_the_same_formula(item: Condition, variable: str) -> None:
    cases = Literal(variable, positive=True), Literal(variable, positive=False)
    one = AnyOf(tuple(AllOf((case, assumed(item, case))) for case in cases))
    other = AllOf(tuple(AnyOf((case, assumed(item, opposite))) for case, opposite in (cases, cases[::-1])))
    questions = Questions(diagram_of_states())
    assert questions.formula(one) == questions.formula(item) == questions.formula(other)


def differing(one: Look, other: Look) -> tuple[str, ...]:
    wishes = {
        "effect": (one.effect and one.effect.text, other.effect and other.effect.text),
        "brightness": (one.brightness and one.brightness.usual, other.brightness and other.brightness.usual),
        "rate": (one.rate and one.rate.usual, other.rate and other.rate.usual),
    }
    return tuple(name for name, pair in wishes.items() if None not in pair and pair[0] != pair[1])


def conflicts_by_brute_force(facts: LogicFacts, of_one_key: bool) -> Iterator[Conflict]:
    for later_at, later in enumerate(facts.entries):
        for earlier in facts.entries[:later_at]:
            same_key = earlier.key is not None and earlier.key == later.key
            shared = tuple(output for output in earlier.outputs if output in later.outputs)
            properties: Any = differing(earlier.entry.look, later.entry.look)
            state = plainest(truth_of_fact(earlier) & truth_of_fact(later))
            if same_key is of_one_key and shared and properties and state:
                yield Conflict(earlier, later, shared, properties, state)


@many
@given(plans())
def test_facts_agree_with_brute_force(lighting_plan: LightingPlan) -> None:
    facts = logic_facts(lighting_plan)
    for fact in facts.entries:
        assert fact.formula is not None
        assert fact.is_possible is (truth_of_fact(fact) != 0)
        assert facts.witness(fact.formula) == plainest(truth_of_fact(fact))
    assert facts.conflicts_of_one_key == Conflicts(tuple(conflicts_by_brute_force(facts, of_one_key=True)), ())
    assert facts.conflicts_between_keys == Conflicts(tuple(conflicts_by_brute_force(facts, of_one_key=False)), ())
    for output, formula in facts.lit.items():
        table = 0
        for fact in facts.entries:
            table |= truth_of_fact(fact) if output in fact.outputs else 0
        assert formula is not None
        assert facts.witness(formula) == plainest(table)
        assert facts.implies(TRUE, formula) is (table == ALL_STATES)


@many
@given(plans(KEYS[:5]), st.lists(st.sampled_from([0.0, 0.015, 0.02, 0.1]), min_size=3, max_size=3))
def test_the_worst_state_agrees_with_brute_force(lighting_plan: LightingPlan, amperes: list[float]) -> None:
    facts = logic_facts(lighting_plan)
    currents = dict(zip(OUTPUTS, amperes, strict=True))
    tables = dict.fromkeys(OUTPUTS, 0)
    for fact in facts.entries:
        for output in fact.outputs:
            tables[output] |= truth_of_fact(fact)

    def drawn(rank: int) -> tuple[int, int]:
        return -sum(round(currents[output] * 1000) for output in OUTPUTS if tables[output] >> rank & 1), rank

    rank = min((rank for rank, state in enumerate(states()) if set(state.keys) <= set(KEYS[:5])), key=drawn)
    on = tuple(output for output in OUTPUTS if tables[output] >> rank & 1)
    total = sum(currents[output] for output in on)
    assert facts.worst_state(currents) == WorstState(states()[rank], on, approx(total))


def without_order(conflicts: Iterable[Conflict]) -> set[Any]:
    """Conflicts as what they say, without which entry comes first."""
    return {
        (
            frozenset((repr(fact.entry.condition), fact.outputs, fact.key and fact.key.name) for fact in pair),
            frozenset(conflict.outputs),
            conflict.properties,
            conflict.state,
        )
        for conflict in conflicts
        for pair in [(conflict.earlier, conflict.later)]
    }


@many
@given(st.dictionaries(st.sampled_from(KEYS), st.lists(items(), max_size=3), max_size=4), st.randoms())
def test_the_order_in_the_file_changes_only_which_entry_is_the_later_one(
    keys: dict[str, list[dict[str, Any]]], shuffle: random.Random
) -> None:
    names = shuffle.sample(list(keys), len(keys))
    shuffled = {name: shuffle.sample(keys[name], len(keys[name])) for name in names}
    one, other = logic_facts(plan(keys)), logic_facts(plan(shuffled))
    for kind in ("conflicts_of_one_key", "conflicts_between_keys"):
        assert without_order(getattr(one, kind).found) == without_order(getattr(other, kind).found)


def test_the_order_of_the_keys_in_the_model_changes_nothing() -> None:
    model = plan({f"F{number}": [{"output": "white", "rate": float(number)}] for number in range(5)})
    other = dataclasses.replace(model, keys=dict(reversed(list(model.keys.items()))))
    assert logic_facts(model).entries == logic_facts(other).entries
    assert logic_facts(model).conflicts_between_keys == logic_facts(other).conflicts_between_keys
