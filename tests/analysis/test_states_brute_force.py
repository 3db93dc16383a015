"""Does the state table say of random plans what their entries say, in every state, and not a word too many?

The judge is brute force over 4096 states, as in test_logic_brute_force: the language's rule for looks, state by state.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from analysis.key_plans import decoder, plan
from analysis.test_logic_brute_force import (
    ALL_STATES,
    KEYS,
    OUTPUTS,
    conditions,
    items,
    many,
    truth_of,
    truth_of_fact,
)
from lampwright.analysis.logic import LogicFacts, logic_facts
from lampwright.analysis.logic.questions import Product, Questions, diagram_of_states
from lampwright.analysis.logic.states import LitLook, OutputStates
from lampwright.model.keys import AllOf, Condition
from lampwright.model.lighting import LightingPlan
from lampwright.model.values import Figure, Name

SLOWEST = {"oscillating": 1.0}
DECODER = decoder(("white", "yellow"), rate=Figure(1.0, 1.5, 2.0))


def own_looks() -> st.SearchStrategy[dict[str, Any]]:
    looks = {
        "effect": st.sampled_from(["steady", "oscillating", "strobe"]),
        "brightness": st.sampled_from([0.4, 0.6, 1.0]),
        "rate": st.sampled_from([1.0, 2.0]),
    }
    return st.fixed_dictionaries({}, optional=looks)


def plans() -> st.SearchStrategy[LightingPlan]:
    of_keys = st.dictionaries(st.sampled_from(list(KEYS)), st.lists(items(), max_size=4), max_size=5)
    outputs = st.dictionaries(st.sampled_from(OUTPUTS), own_looks())
    plain = st.builds(plan, of_keys, st.lists(items(), max_size=2), outputs)
    return plain.map(lambda model: dataclasses.replace(model, decoder=DECODER))


def truth_of_product(product: Product) -> int:
    return truth_of(AllOf(product))


def truth_of_sum(products: Iterable[Product]) -> int:
    table = 0
    for product in products:
        table |= truth_of_product(product)
    return table


def in_each_state(table: int) -> str:
    return f"{table:04096b}"[::-1]


def assert_minimal(products: tuple[Product, ...], table: int) -> None:
    """That the products are the table, that none can be left out and no literal of any, and that they are in order."""
    assert truth_of_sum(products) == table
    for at, product in enumerate(products):
        others = truth_of_sum((*products[:at], *products[at + 1 :]))
        assert others != table
        for part in range(len(product)):
            assert truth_of_product((*product[:part], *product[part + 1 :])) & ~table
        places = [place(literal.variable) for literal in product]
        assert places == sorted(set(places))
    order = [[(place(literal.variable), not literal.positive) for literal in product] for product in products]
    assert order == sorted(order)


def place(variable: str) -> int:
    return {"forward": 69, "moving": 70}[variable] if variable in ("forward", "moving") else int(variable[1:])


@many
@given(conditions(leaves=40))
def test_the_products_of_a_condition_are_the_condition_and_minimal(item: Condition) -> None:
    questions = Questions(diagram_of_states())
    formula = questions.formula(item)
    assert formula is not None
    products = questions.products(formula)
    assert products is not None
    assert_minimal(products, truth_of(item))


@many
@given(conditions(), st.lists(conditions(), max_size=4))
def test_pieces_fill_the_formula_and_exclude_each_other(item: Condition, by: list[Condition]) -> None:
    questions = Questions(diagram_of_states())
    formula, marks = questions.formula(item), [questions.formula(each) for each in by]
    assert formula is not None
    pieces = questions.pieces(formula, [mark for mark in marks if mark is not None])
    assert pieces is not None
    left = truth_of(item)
    for held, piece in pieces:
        products = questions.products(piece)
        assert products
        table = truth_of_sum(products)
        assert table == truth_of(item) & in_all(by, held)
        left ^= table
    assert left == 0


def in_all(by: list[Condition], held: tuple[int, ...]) -> int:
    table = ALL_STATES
    for number, each in enumerate(by):
        table &= truth_of(each) if number in held else ~truth_of(each)
    return table


def value(wish: Name | Figure | None) -> Any:
    return wish.text if isinstance(wish, Name) else wish.usual if isinstance(wish, Figure) else None


def look_by_the_language(own: Mapping[str, Any], named: list[Mapping[str, Any]]) -> LitLook:
    """For each property what the holding entries name, else the output's own, else steady, 100 %, the slowest rate."""

    def values(what: str, meant: Any) -> tuple[Any, ...]:
        said = sorted({each[what] for each in named if each[what] is not None})
        return tuple(said) if said else (own[what] if own[what] is not None else meant,)

    effects = values("effect", "steady")
    meant = SLOWEST.get(effects[0]) if len(effects) == 1 else None
    rates = () if effects == ("steady",) else tuple(rate for rate in values("rate", meant) if rate is not None)
    return LitLook(effects, values("brightness", 1.0), rates)


def tables_of_looks(facts: LogicFacts, model: LightingPlan, output: str) -> dict[LitLook, set[int]]:
    """The states in which the output has each look, by asking the entries in every one of them."""
    entries = [fact for fact in facts.entries if output in fact.outputs]
    looks = [{what: value(getattr(fact.entry.look, what)) for what in WHAT} for fact in entries]
    own_look = model.outputs[output].look if output in model.outputs else None
    own = {what: value(getattr(own_look, what, None)) for what in WHAT}
    found: dict[LitLook, set[int]] = {}
    known: dict[tuple[str, ...], LitLook] = {}
    for rank, held in enumerate(zip(*(in_each_state(truth_of_fact(fact)) for fact in entries), strict=True)):
        if "1" in held:
            if held not in known:
                named = [look for look, bit in zip(looks, held, strict=True) if bit == "1"]
                known[held] = look_by_the_language(own, named)
            found.setdefault(known[held], set()).add(rank)
    return found


WHAT = ("effect", "brightness", "rate")


@many
@given(plans())
def test_the_table_says_what_the_entries_say_in_every_state(model: LightingPlan) -> None:
    facts = logic_facts(model)
    for output, states in facts.states.items():
        assert isinstance(states, OutputStates)
        expected = tables_of_looks(facts, model, output)
        assert {each.look for each in states.lit} == set(expected)
        assert len(states.lit) == len(expected)
        assert states.is_named is any(output in fact.outputs for fact in facts.entries)
        for each in states.lit:
            bits = in_each_state(truth_of_sum(each.products))
            assert {rank for rank, bit in enumerate(bits) if bit == "1"} == expected[each.look]
            assert_minimal(each.products, truth_of_sum(each.products))


@many
@given(st.dictionaries(st.sampled_from(KEYS), st.lists(items(), max_size=3), max_size=4), st.randoms())
def test_the_order_in_the_file_changes_nothing(keys: dict[str, list[dict[str, Any]]], shuffle: Any) -> None:
    names = shuffle.sample(list(keys), len(keys))
    shuffled = plan({name: shuffle.sample(keys[name], len(keys[name])) for name in names})
    assert told(plan(keys)) == told(shuffled)


def told(model: LightingPlan) -> dict[str, Any]:
    states = logic_facts(model).states
    decided = {name: each for name, each in states.items() if isinstance(each, OutputStates)}
    assert len(decided) == len(states)
    return {name: [(lit.look, lit.products) for lit in each.lit] for name, each in decided.items()}
