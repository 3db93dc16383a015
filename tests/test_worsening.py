"""What another resistor makes worse: told from few figures as it would be from all."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from analysis.circuits import Maker, bulb, chain, led, parallel, place, plan, resistor
from lampwright.analysis.electrical import output_facts
from lampwright.analysis.electrical.facts import OutputFacts
from lampwright.analysis.resistors.rewiring import Gap, Slot, beside, rewired
from lampwright.model.circuit import Chain, Element, Parallel, Resistor, leaves
from lampwright.model.lighting import LightingPlan
from lampwright.model.settings import Margins, Settings
from lampwright.rule.dimness import underlit
from lampwright.rule.limits import overdone
from lampwright.rule.worsening import Change, is_no_worse, overdoes_more
from lampwright.text import Span

SEEDS = st.integers(min_value=0, max_value=10**9)


def by_all(change: Change, after: OutputFacts, margins: Margins) -> tuple[bool, bool]:
    """Whether more has too much, and whether more is dim, by the facts of all elements."""
    has_more = not overdone(after, margins) <= overdone(change.before, margins) | {change.place}
    return has_more, not underlit(after) <= underlit(change.before)


def said(made: LightingPlan, slot: Slot, new: Element, margins: Margins) -> tuple[bool, bool]:
    """Whether more has too much and whether more is dim, each held against the facts of all elements."""
    output = made.outputs["white"]
    before = output_facts(made, output)
    assert isinstance(before, OutputFacts)
    change = Change(before, slot, new)
    new = placed(new, change.place)
    after = output_facts(*rewired(made, output, slot, new))
    assert isinstance(after, OutputFacts)
    has_more, is_dimmer = by_all(change, after, margins)
    assert overdoes_more(change, after, margins) is has_more
    assert is_no_worse(change, after, margins) is not (has_more or is_dimmer)
    return has_more, is_dimmer


def placed(element: Element, place: Span) -> Element:
    """`element`, and all in it, at that place."""
    if isinstance(element, Chain):
        return Chain(place, tuple(placed(each, place) for each in element.elements))
    if isinstance(element, Parallel):
        return Parallel(place, tuple(placed(each, place) for each in element.branches))
    return replace(element, span=place)


def chains(chain: Chain) -> list[Chain]:
    found = [chain]
    for part in chain.elements:
        inner = part.branches if isinstance(part, Parallel) else [part] if isinstance(part, Chain) else []
        found += [each for branch in inner for each in chains(branch)]
    return found


@given(SEEDS)
@settings(max_examples=200, deadline=None)
def test_as_by_the_facts_of_all(seed):
    random = Random(seed)
    circuit = Maker(random, spread=True).circuit(2)
    made = plan({"white": circuit}, common=(12.0, 14.0, 15.0))
    inner = random.choice(chains(circuit))
    slots: list[Slot] = [each for each in leaves(circuit) if isinstance(each, Resistor)]
    slots.append(Gap(inner, random.randrange(len(inner.elements) + 1)))
    ohms, share = 10 ** random.uniform(0, 4), random.choice([0.01, 0.1])
    new: list[Element] = [resistor(ohms, share), chain(resistor(ohms, share), resistor(2 * ohms, share))]
    new.append(parallel(chain(resistor(ohms, share)), chain(resistor(3 * ohms, share))))
    margins = Margins(random.choice([0.1, 0.5, 0.9]), random.choice([0.3, 0.6]), 0.8)
    for slot in random.sample(slots, min(3, len(slots))):
        said(made, slot, random.choice(new), margins)


def test_a_larger_resistor_in_one_branch_overdoes_what_is_beside_it():
    one, other = chain(resistor(22), bulb(12.0, 0.06)), chain(bulb(12.0, 0.06))
    made = plan({"white": chain(resistor(82), parallel(one, other))}, common=20.0)
    assert said(made, one.elements[0], resistor(2200), Settings().margins) == (True, True)


def test_and_one_before_both_overdoes_nothing():
    one, other = chain(resistor(22), bulb(12.0, 0.06)), chain(bulb(12.0, 0.06))
    first = resistor(82)
    made = plan({"white": chain(first, parallel(one, other))}, common=20.0)
    assert said(made, first, resistor(2200), Settings().margins) == (False, True)


def test_a_smaller_one_overdoes_what_is_on_its_way():
    old = resistor(1000)
    made = plan({"white": chain(old, led(3.0))}, common=13.0)
    assert said(made, old, resistor(100), Settings().margins) == (True, False)


def test_an_element_in_two_places_is_on_both_sides():
    lamp, old = bulb(12.0, 0.06), resistor(22)
    # As an alias in YAML might be read: the same lamp behind the resistor and beside it.
    made = plan({"white": chain(resistor(8.2), parallel(chain(old, lamp), chain(lamp)))}, common=11.0)
    assert said(made, old, resistor(2200), Settings().margins) == (False, True)


def test_what_is_beside():
    lamp, inner = led(3.0), chain(resistor(1), led(2.0))
    gap, other = chain(inner, diode := resistor(2)), chain(lamp)
    circuit = chain(
        first := resistor(3), parallel(gap, other, chain(parallel(chain(last := resistor(4)), chain(resistor(5)))))
    )
    assert beside(circuit, first) == []
    assert beside(circuit, Gap(inner, 0)) == beside(circuit, diode) == [lamp, last, circuit.leaves[-1]]
    assert beside(circuit, last) == [circuit.leaves[-1], *gap.leaves, lamp]
    assert beside(circuit, Gap(chain(), 0)) is None
    assert beside(circuit, Resistor(place(), first.resistance, None)) is None
