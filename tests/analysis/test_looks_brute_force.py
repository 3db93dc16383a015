"""Is what is said of coverings, looks and pairs in random plans true in every state? The judge is brute force.

A formula is one integer with a bit for each of 4096 states, the plainest state first, as in test_logic_brute_force.
"""

from __future__ import annotations

import dataclasses
import itertools
from collections.abc import Iterator, Mapping
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from analysis.key_plans import decoder, plan
from analysis.test_logic_brute_force import (
    ALL_STATES,
    KEYS,
    OUTPUTS,
    items,
    many,
    plainest,
    states,
    truth_of,
    truth_of_fact,
)
from lampwright.analysis.logic import LogicFacts, logic_facts
from lampwright.analysis.logic.decision import Formula
from lampwright.analysis.logic.entries import EntryFact
from lampwright.analysis.logic.looks import OutputLooks, Shown, Wish
from lampwright.analysis.logic.pairs import PairFault, Unpaired
from lampwright.model.keys import Entry, Literal, Look
from lampwright.model.lighting import LightingPlan
from lampwright.model.values import Figure, Name

FEW_KEYS = ("F0", "F1", "F3")


def own_looks() -> st.SearchStrategy[dict[str, Any]]:
    effects, rates = st.sampled_from(["steady", "oscillating"]), st.sampled_from([1.0, 2.0])
    return st.fixed_dictionaries({}, optional={"effect": effects, "rate": rates})


def plans(keys: tuple[str, ...] = KEYS, most: int = 3) -> st.SearchStrategy[LightingPlan]:
    of_keys = st.dictionaries(st.sampled_from(list(keys)), st.lists(items(keys), max_size=most), max_size=4)
    outputs = st.dictionaries(st.sampled_from(OUTPUTS), own_looks())
    momentary = st.lists(st.sampled_from(list(keys)), max_size=3)
    return st.builds(plan, of_keys, st.lists(items(keys), max_size=2), outputs, momentary)


def value_of(wish: Name | Figure | None) -> str | float | None:
    return wish.text if isinstance(wish, Name) else wish.usual if isinstance(wish, Figure) else None


def named(look: Look) -> dict[str, str | float]:
    wishes = {"effect": look.effect, "brightness": look.brightness, "rate": look.rate}
    return {name: value for name, wish in wishes.items() if (value := value_of(wish)) is not None}


# --- Coverings --------------------------------------------------------------------------------------------------------


def covers(one: EntryFact, other: EntryFact) -> bool:
    return (
        set(other.outputs) <= set(one.outputs)
        and named(other.entry.look).items() <= named(one.entry.look).items()
        and truth_of_fact(other) & ~truth_of_fact(one) == 0
    )


def covered_by_brute_force(facts: LogicFacts) -> Iterator[EntryFact]:
    possible = [fact for fact in facts.entries if truth_of_fact(fact)]
    for at, fact in enumerate(possible):
        if any(
            covers(other, fact) and (other_at < at or not covers(fact, other))
            for other_at, other in enumerate(possible)
            if other is not fact
        ):
            yield fact


def without_entries(lighting_plan: LightingPlan, gone: list[Entry]) -> LightingPlan:
    def left(entries: tuple[Entry, ...]) -> tuple[Entry, ...]:
        return tuple(entry for entry in entries if entry not in gone)

    keys = {number: dataclasses.replace(key, entries=left(key.entries)) for number, key in lighting_plan.keys.items()}
    return dataclasses.replace(lighting_plan, keys=keys, always=left(lighting_plan.always))


def what_is_named(lighting_plan: LightingPlan) -> dict[Any, int]:
    """For each output, and each value of its look that entries name: the states in which that is so."""
    tables: dict[Any, int] = {}
    for fact in logic_facts(lighting_plan).entries:
        for output in fact.outputs:
            for what in [("lit", True), *named(fact.entry.look).items()]:
                tables[output, *what] = tables.get((output, *what), 0) | truth_of_fact(fact)
    return {what: table for what, table in tables.items() if table}


@many
@given(plans())
def test_coverings_agree_with_brute_force(lighting_plan: LightingPlan) -> None:
    facts = logic_facts(lighting_plan)
    found = facts.coverings.found
    assert facts.coverings.undecided == ()
    covered = [covering.covered for covering in found]
    assert covered == list(covered_by_brute_force(facts))
    for covering in found:
        assert covers(covering.covering, covering.covered)
        assert covering.covering not in covered
        assert covering.state == plainest(truth_of_fact(covering.covered))
        places = covering.covered.entry.span.start, covering.covering.entry.span.start
        assert covering.later.entry.span.start == max(places)


@many
@given(plans(FEW_KEYS, most=5))
def test_taking_out_all_that_is_covered_changes_nothing_in_any_state(lighting_plan: LightingPlan) -> None:
    gone = [covering.covered.entry for covering in logic_facts(lighting_plan).coverings.found]
    left = without_entries(lighting_plan, gone)
    assert what_is_named(left) == what_is_named(lighting_plan)
    assert logic_facts(left).coverings.found == ()


# --- Looks ------------------------------------------------------------------------------------------------------------


def entries_of(facts: LogicFacts, output: str) -> list[EntryFact]:
    return [fact for fact in facts.entries if output in fact.outputs and truth_of_fact(fact)]


def lit_table(facts: LogicFacts, output: str) -> int:
    table = 0
    for fact in entries_of(facts, output):
        table |= truth_of_fact(fact)
    # An output that no entry names is judged as if it were always on.
    return table if entries_of(facts, output) else ALL_STATES


def wish_tables(facts: LogicFacts, lighting_plan: LightingPlan, output: str, name: str) -> list[tuple[Any, Any, int]]:
    """Each value of a property with its entry and the states in which it is in force, by the words of the language."""
    tables, free = [], lit_table(facts, output)
    for fact in entries_of(facts, output):
        if name in named(fact.entry.look):
            tables.append((named(fact.entry.look)[name], fact, truth_of_fact(fact)))
            free &= ~truth_of_fact(fact)
    own = named(lighting_plan.outputs[output].look) if output in lighting_plan.outputs else {}
    return [*tables, (own.get(name), None, free)] if free else tables


def is_same(facts: LogicFacts, formula: Formula, table: int) -> bool:
    """Whether they agree in the plainest state and in one state of seven."""
    if facts.witness(formula) != plainest(table):
        return False
    questions = facts.questions()
    ranks = range(0, 4096, 7)
    return all(questions.holds(formula, states()[rank]) is bool(table >> rank & 1) for rank in ranks)


def looks_of(facts: LogicFacts, output: str) -> OutputLooks:
    looks = facts.looks[output]
    assert isinstance(looks, OutputLooks)
    return looks


@many
@given(plans(most=2))
def test_looks_agree_with_brute_force(lighting_plan: LightingPlan) -> None:
    facts = logic_facts(lighting_plan)
    assert set(facts.looks) == {*lighting_plan.outputs, *(name for fact in facts.entries for name in fact.outputs)}
    for output in facts.looks:
        looks = looks_of(facts, output)
        assert looks.is_named is bool(entries_of(facts, output))
        wishes: Mapping[str, tuple[Wish[Any], ...]] = {"effect": looks.effects, "rate": looks.rates}
        for name, found in wishes.items():
            expected = wish_tables(facts, lighting_plan, output, name)
            assert [(value_of(wish.value), wish.fact) for wish in found] == [case[:2] for case in expected]
            assert all(is_same(facts, wish.formula, case[2]) for wish, case in zip(found, expected, strict=True))


@many
@given(plans())
def test_what_is_shown_together_agrees_with_brute_force(lighting_plan: LightingPlan) -> None:
    facts = logic_facts(lighting_plan)
    for output in facts.looks:
        expected = [
            (effect[0], rate[0], plainest(effect[2] & rate[2]) if looks_of(facts, output).is_named else None)
            for rate in wish_tables(facts, lighting_plan, output, "rate")
            for effect in wish_tables(facts, lighting_plan, output, "effect")
            if rate[0] is not None and effect[2] & rate[2]
        ]
        found = [each for each in facts.shown[output] if isinstance(each, Shown)]
        assert [(value_of(each.effect.value), value_of(each.rate.value), each.state) for each in found] == expected


@many
@given(plans())
def test_when_an_output_burns_agrees_with_brute_force(lighting_plan: LightingPlan) -> None:
    facts = logic_facts(lighting_plan)
    for output in OUTPUTS:
        table = lit_table(facts, output) if entries_of(facts, output) else 0
        assert facts.is_told(output)
        assert facts.is_always_lit(output) is (table == ALL_STATES)
        facing = facts.directions.get(output)
        ways = [Literal("forward", positive=forward) for forward in (True, False)]
        expected = [plainest(table & truth_of(way)) for way in ways]
        assert (facing is None) is not any(output in fact.outputs for fact in facts.entries)
        assert facing is None or [facing.forward, facing.reverse] == expected


@many
@given(plans())
def test_a_steady_light_of_one_key_agrees_with_brute_force(lighting_plan: LightingPlan) -> None:
    facts = logic_facts(lighting_plan)
    of_momentary_keys = [each for each in facts.entries if each.key is not None and each.key.momentary]
    pairs = [(each, output) for each in of_momentary_keys for output in each.outputs]
    assert [(light.fact, light.output) for light in facts.momentary_lights] == pairs
    for fact, output, state in ((light.fact, light.output, light.state) for light in facts.momentary_lights):
        table = truth_of_fact(fact)
        for other in entries_of(facts, output):
            table &= ALL_STATES if other.key is fact.key else ~truth_of_fact(other)
        for value, _, in_force in wish_tables(facts, lighting_plan, output, "effect"):
            table &= ALL_STATES if value in (None, "steady") else ~in_force
        assert state == plainest(table)


# --- Pairs ------------------------------------------------------------------------------------------------------------


DECODER = decoder(("white", "yellow"), rate=Figure(1.0, 1.5, 2.0))


def shows(facts: LogicFacts, lighting_plan: LightingPlan, output: str) -> int:
    tables = wish_tables(facts, lighting_plan, output, "effect")
    return sum_of(table for value, _, table in tables if value == "oscillating")


def sum_of(tables: Iterator[int]) -> int:
    union = 0
    for table in tables:
        union |= table
    return union


def rate_tables(facts: LogicFacts, lighting_plan: LightingPlan, output: str) -> list[tuple[float, int]]:
    # Where no rate is named it is the slowest one of the effect, 1 Hz.
    tables = wish_tables(facts, lighting_plan, output, "rate")
    return [(1.0 if value is None else value, table) for value, _, table in tables]


@many
@given(plans(FEW_KEYS))
def test_pairs_agree_with_brute_force(lighting_plan: LightingPlan) -> None:
    facts = logic_facts(dataclasses.replace(lighting_plan, decoder=DECODER))
    found = [each for each in facts.unpaired.get("oscillating", ()) if isinstance(each, Unpaired)]
    tables = {output: shows(facts, lighting_plan, output) for output in facts.looks}
    users = {output for output, table in tables.items() if table}
    if users == {"green"} or len(users - {"green"}) == 1:
        is_one = len(users) == 1
        assert {each.fault for each in found} == {PairFault.ALONE if is_one else PairFault.NO_PAIR}
        assert {each.user.output for each in found} <= users
        for each in found:
            is_named = each.user.looks.is_named
            assert each.state == (plainest(tables[each.user.output]) if is_named else None)
    elif users:
        lonely = [each for each in found if each.fault is PairFault.ALONE]
        assert [each.user.output for each in lonely] == sorted(users & {"green"})
        assert_pair(facts, lighting_plan, [each for each in found if each not in lonely], tables)
    else:
        assert found == []


def assert_pair(facts: LogicFacts, lighting_plan: LightingPlan, found: list[Unpaired], tables: dict[str, int]) -> None:
    """That of white and yellow, which both show the effect, exactly what differs is found, with a true state."""
    named_outputs = [output for output in ("white", "yellow") if looks_of(facts, output).is_named]
    times = {output: tables[output] if output in named_outputs else 0 for output in ("white", "yellow")}
    different = {
        plainest(table_one & table_other & tables["white"] & tables["yellow"])
        for (rate_one, table_one), (rate_other, table_other) in itertools.product(
            *(rate_tables(facts, lighting_plan, output) for output in ("white", "yellow"))
        )
        if rate_one != rate_other
    } - {None}
    if times["white"] != times["yellow"]:
        (fault,) = found
        assert fault.fault is PairFault.CONDITIONS
        assert fault.other is not None
        assert fault.state == plainest(times[fault.user.output] & ~times[fault.other.output])
    elif different:
        (fault,) = found
        assert fault.fault is PairFault.RATES
        assert fault.state in different if named_outputs else fault.state is None
    else:
        assert found == []
