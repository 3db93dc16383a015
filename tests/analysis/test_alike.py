"""What is kept of one circuit and told of others: never of one that differs in any figure, and with its own elements."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from itertools import count
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from analysis.circuits import Maker, chain, led, plan, resistor
from lampwright.analysis import electrical
from lampwright.analysis.electrical import electrical_facts
from lampwright.analysis.electrical.alike import likeness
from lampwright.analysis.electrical.facts import OutputFacts
from lampwright.model.circuit import Chain, leaves
from lampwright.model.lighting import LightingPlan
from lampwright.model.values import Figure, Origin

SEEDS = st.integers(min_value=0, max_value=10**9)


def afresh(made: LightingPlan) -> OutputFacts:
    """Computed with nothing kept."""
    kept = dict(electrical._KNOWN)
    electrical._KNOWN.clear()
    try:
        facts = electrical_facts(made).outputs["white"]
    finally:
        electrical._KNOWN.clear()
        electrical._KNOWN.update(kept)
    assert isinstance(facts, OutputFacts)
    return facts


def changed(thing: object, pick: Callable[[Figure], Figure]) -> object:
    """`thing` with every figure in any of its elements replaced by what `pick` makes of it."""
    if isinstance(thing, Figure):
        return pick(thing)
    if isinstance(thing, tuple):
        return tuple(changed(each, pick) for each in thing)
    if is_dataclass(thing) and type(thing).__module__ == "lampwright.model.circuit":
        return replace(thing, **{each.name: changed(getattr(thing, each.name), pick) for each in fields(thing)})  # type: ignore[type-var]
    return thing


def changed_in_one(circuit: Chain, random: Random) -> Chain:
    """`circuit` with one figure a tenth higher."""
    found: list[Figure] = []

    def counted(figure: Figure) -> Figure:
        found.append(figure)
        return figure

    changed(circuit, counted)
    numbers, chosen = count(), random.randrange(len(found))

    def picked(figure: Figure) -> Figure:
        if next(numbers) != chosen:
            return figure
        return replace(figure, lowest=1.1 * figure.lowest, usual=1.1 * figure.usual, highest=1.1 * figure.highest)

    other = changed(circuit, picked)
    assert isinstance(other, Chain)
    return other


@given(SEEDS, st.booleans())
@settings(max_examples=100, deadline=None)
def test_a_circuit_that_differs_in_one_figure_is_computed_for_itself(seed, spread):
    maker = Maker(Random(seed), spread=spread)
    circuit, lead, supply = maker.circuit(2), maker.circuit(1, 1), maker.supply()
    electrical_facts(plan({"white": circuit}, common=supply, lead=lead)).outputs["white"]
    made = plan({"white": changed_in_one(circuit, Random(seed))}, common=supply, lead=lead)
    assert electrical_facts(made).outputs["white"] == afresh(made)


@given(SEEDS)
@settings(max_examples=100, deadline=None)
def test_what_is_told_of_a_like_circuit_has_its_own_elements(seed):
    """Also their origins: what is stated in one plan may be a guess in another."""
    one, other = (Maker(Random(seed)).circuit(2) for _ in range(2))
    electrical_facts(plan({"white": one}, common=14.0)).outputs["white"]
    guessed = changed(other, lambda figure: replace(figure, origin=Origin.MEMORY))
    assert isinstance(guessed, Chain)
    made = plan({"white": guessed}, common=14.0)
    facts = electrical_facts(made).outputs["white"]
    assert isinstance(facts, OutputFacts)
    assert facts == afresh(made)
    assert [each.element for each in facts.elements] == list(leaves(guessed))
    assert all(told.element is there for told, there in zip(facts.elements, leaves(guessed), strict=True))


def test_the_supply_has_a_say():
    circuit = chain(resistor(1000), led(2.0))
    volts = [
        electrical_facts(plan({"white": circuit}, common=common)).outputs["white"].supply.usual
        for common in (12.0, 14.0)
    ]
    assert volts == [12.0, 14.0]


def test_names_and_places_have_no_say():
    one, other = chain(resistor(1000), led(2.0)), chain(resistor(1000), led(2.0))
    assert one != other
    assert likeness(one) == likeness(other)
    assert likeness(one) != likeness(chain(led(2.0), resistor(1000)))


def test_what_is_kept_is_bounded(monkeypatch):
    monkeypatch.setattr(electrical, "_MOST_KNOWN", 3)
    for ohms in range(1000, 1010):
        electrical_facts(plan({"white": chain(resistor(ohms), led(2.0))}, common=12.0)).outputs["white"]
        assert len(electrical._KNOWN) <= 3 or ohms == 1000
