"""What holds of every circuit: Kirchhoff's laws, and bounds that no choice of figures leaves and some choice reaches."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analysis.circuits import Maker, exactly, figures, plan, resistor, solved
from lampwright.analysis.electrical import electrical_facts
from lampwright.analysis.electrical.characteristics import GAP, Limiter
from lampwright.analysis.electrical.facts import ElementFacts, OutputFacts
from lampwright.analysis.electrical.law import Spread, characteristic
from lampwright.model.circuit import Chain, Element, Parallel, Resistor
from lampwright.model.values import Figure

SEEDS = st.integers(min_value=0, max_value=10**9)


def close(value: float, other: float, amperes: float = 0.0) -> bool:
    # The nanoohm that a wire has for the solver is not told, so that a volt may be short by some nanovolts, and where
    # `amperes` flow through a few wires by as many nanovolts each.
    return math.isclose(value, other, rel_tol=1e-8, abs_tol=1e-8 + 1e-8 * amperes)


class TestKirchhoff:
    @given(SEEDS, st.booleans())
    @settings(max_examples=150, deadline=None)
    def test_voltages_and_currents_add_up(self, seed, ideal):
        maker = Maker(Random(seed), ideal=ideal)
        circuit, lead = maker.circuit(3), maker.circuit(1, 1)
        made = plan({"white": circuit}, common=maker.supply(), lead=lead)
        facts = electrical_facts(made)
        white = facts.outputs["white"]
        if not math.isfinite(white.current.highest):
            return
        carried = iter([*facts.common.elements, *white.elements])
        voltage, current = self.sums(Chain(circuit.span, (lead, circuit)), carried)
        assert next(carried, None) is None
        assert close(voltage, white.supply.usual, current)
        assert close(current, white.current.usual)

    def sums(self, element: Element, carried: Iterator[ElementFacts]) -> tuple[float, float]:
        """Voltage and current of `element`, with the laws checked at every node below it."""
        match element:
            case Chain(elements=parts):
                points = [self.sums(part, carried) for part in parts]
                assert all(close(current, points[0][1]) for _, current in points)
                return sum(voltage for voltage, _ in points), points[0][1]
            case Parallel(branches=branches):
                points = [self.sums(branch, carried) for branch in branches]
                assert all(close(voltage, points[0][0], sum(amperes for _, amperes in points)) for voltage, _ in points)
                return points[0][0], sum(current for _, current in points)
        facts = next(carried)
        assert facts.element is element
        assert close(facts.power.usual, facts.voltage.usual * facts.current.usual)
        return facts.voltage.usual, facts.current.usual

    @given(SEEDS)
    @settings(max_examples=100, deadline=None)
    def test_every_element_obeys_its_own_law(self, seed):
        maker = Maker(Random(seed))
        circuit, supply = maker.circuit(3), maker.supply()
        for facts in solved(circuit, supply).elements:
            voltage, current = facts.voltage.usual, facts.current.usual
            law = characteristic(facts.element, Spread.USUAL)
            if law == GAP:
                assert current == 0
            elif isinstance(law, Limiter) and current > law.current:
                # All but level: the last bits of the current say nothing of the voltage, so the voltage is asked.
                assert close(law.current_at(voltage), current)
            else:
                assert abs(law.tangent(current)[0] - voltage) <= 1e-9 * supply


def inside(value: float, low: float, high: float) -> bool:
    slack = 1e-9 * value + 1e-12 if math.isfinite(value) else 0.0
    return low - slack <= value <= high + slack


class TestEnergy:
    @given(SEEDS, st.booleans())
    @settings(max_examples=100, deadline=None)
    def test_the_elements_take_what_the_supply_gives(self, seed, ideal):
        maker = Maker(Random(seed), ideal=ideal)
        circuit, lead = maker.circuit(3), maker.circuit(1, 1)
        facts = electrical_facts(plan({"white": circuit}, common=maker.supply(), lead=lead))
        white = facts.outputs["white"]
        if not math.isfinite(white.current.highest):
            return
        taken = sum(one.power.usual for one in (*facts.common.elements, *white.elements))
        assert math.isclose(taken, white.supply.usual * white.current.usual, rel_tol=1e-8, abs_tol=1e-12)


class TestOrder:
    @given(SEEDS)
    @settings(max_examples=40, deadline=None)
    def test_of_what_is_in_series_or_side_by_side_changes_nothing(self, seed):
        maker = Maker(Random(seed), spread=True)
        circuit, supply = maker.circuit(1), maker.supply()
        there = {id(one.element): one for one in solved(shuffled(circuit, maker.random), supply).elements}
        here = solved(circuit, supply).elements
        assert len(there) == len(here)
        for one in here:
            other = there[id(one.element)]
            for quantity in ("current", "voltage", "power"):
                pairs = zip(ends_of(getattr(one, quantity)), ends_of(getattr(other, quantity)), strict=True)
                assert all(close(value, moved) for value, moved in pairs)


def ends_of(range_) -> tuple[float, float, float]:
    return range_.lowest, range_.usual, range_.highest


def shuffled(element: Element, random: Random) -> Element:
    match element:
        case Chain(elements=parts):
            return replace(element, elements=mixed([shuffled(part, random) for part in parts], random))
        case Parallel(branches=branches):
            return replace(element, branches=mixed([shuffled(branch, random) for branch in branches], random))
    return element


def mixed(parts: list, random: Random) -> tuple:
    return tuple(random.sample(parts, len(parts)))


class TestCorners:
    @given(SEEDS, st.booleans())
    @settings(max_examples=80, deadline=None)
    def test_no_choice_of_figures_leaves_the_bounds(self, seed, ideal):
        random = Random(seed)
        maker = Maker(random, spread=True, ideal=ideal)
        circuit, supply = maker.circuit(2), maker.supply()
        bounds = solved(circuit, supply)
        for _ in range(10):
            chosen = solved(exactly(circuit, lambda one: anywhere(one, random)), random.uniform(supply[0], supply[2]))
            assert inside(chosen.current.usual, bounds.current.lowest, bounds.current.highest)
            for bound, facts in zip(bounds.elements, chosen.elements, strict=True):
                assert inside(facts.current.usual, bound.current.lowest, bound.current.highest)
                assert inside(facts.voltage.usual, bound.voltage.lowest, bound.voltage.highest)
                if math.isfinite(facts.power.usual):
                    assert inside(facts.power.usual, bound.power.lowest, bound.power.highest)

    @pytest.mark.parametrize("seed", range(50))
    def test_some_choice_reaches_every_bound(self, seed):
        """By trying all ends of all spreads. Where two answers are possible the facts hold both ends of them."""
        maker = Maker(Random(seed), spread=True)
        circuit, supply = maker.circuit(2, 2), maker.supply()
        while figures(circuit) > 6:
            circuit = maker.circuit(2, 2)
        bounds = solved(circuit, supply)
        chosen = [
            solved(exactly(circuit, ends_in_turn(ends)), volts)
            for ends in product((False, True), repeat=figures(circuit))
            for volts in (supply[0], supply[2])
        ]
        assert_reached(bounds.current, [one.current for one in chosen])
        for number, bound in enumerate(bounds.elements):
            assert_reached(bound.current, [one.elements[number].current for one in chosen])
            assert_reached(bound.voltage, [one.elements[number].voltage for one in chosen])
            at_ends = max(one.elements[number].power.highest for one in chosen)
            assert bound.power.highest >= at_ends * (1 - 1e-9)
            if bound.power.highest > at_ends * (1 + 1e-9):
                assert_reached_between(circuit, supply, number, bound)

    @given(SEEDS)
    @settings(max_examples=100, deadline=None)
    def test_exact_figures_have_no_spread(self, seed):
        maker = Maker(Random(seed))
        facts = solved(maker.circuit(2), maker.supply())
        assert close(facts.current.lowest, facts.current.highest)
        for element in facts.elements:
            if isinstance(element.element, Resistor):
                assert close(element.current.lowest, element.current.highest)
                assert close(element.power.lowest, element.power.highest)

    @given(SEEDS)
    @settings(max_examples=100, deadline=None)
    def test_in_order(self, seed):
        maker = Maker(Random(seed), spread=True, ideal=True)
        for element in solved(maker.circuit(2), maker.supply()).elements:
            for range_ in (element.current, element.voltage, element.power):
                assert 0 <= range_.lowest <= range_.usual <= range_.highest


def anywhere(one: Figure, random: Random) -> Figure:
    """Often one of the ends, for they are where bounds break."""
    value = random.choice([one.lowest, one.highest, random.uniform(one.lowest, one.highest)])
    return Figure.exact(value, one.span)


def ends_in_turn(ends):
    remaining = iter(ends)

    def end(one: Figure) -> Figure:
        if not one.has_spread:
            return one
        return Figure.exact(one.highest if next(remaining) else one.lowest, one.span)

    return end


def assert_reached(bound, chosen):
    assert close(bound.lowest, min(one.lowest for one in chosen))
    assert close(bound.highest, max(one.highest for one in chosen))


def assert_reached_between(circuit, supply, number, bound):
    """Power that peaks inside an element's own spread: a fine walk through it comes close, with the rest at some ends.

    A resistor says the very value; there it is reached exactly.
    """
    element = bound.element
    if isinstance(element, Resistor):
        assert element.resistance.lowest < bound.hottest_resistance < element.resistance.highest
        tried, short = [replace(element, resistance=Figure.exact(bound.hottest_resistance, element.span))], 1e-9
    else:
        tried, short = [exactly(element, part_of_the_way(step / 16)) for step in range(17)], 5e-3
    fixed = [put_in_place(circuit, element, exact) for exact in tried]
    reached = max(
        solved(exactly(one, ends_in_turn(ends)), supply[2]).elements[number].power.highest
        for one in fixed
        for ends in product((False, True), repeat=figures(one))
    )
    assert bound.power.highest * (1 - short) <= reached <= bound.power.highest * (1 + 1e-9)


def part_of_the_way(share: float):
    return lambda one: Figure.exact(one.lowest + share * (one.highest - one.lowest), one.span)


def put_in_place(element: Element, old: Element, new: Element) -> Element:
    match element:
        case Chain(elements=parts):
            return replace(element, elements=tuple(put_in_place(part, old, new) for part in parts))
        case Parallel(branches=branches):
            return replace(element, branches=tuple(put_in_place(branch, old, new) for branch in branches))
    return new if element is old else element


class TestMonotony:
    @given(SEEDS, st.floats(1.01, 2.0))
    @settings(max_examples=80, deadline=None)
    def test_more_supply_is_more_of_everything(self, seed, factor):
        maker = Maker(Random(seed))
        circuit, supply = maker.circuit(2), maker.supply()
        less, more = solved(circuit, supply), solved(circuit, supply * factor)
        assert less.current.usual <= more.current.usual * (1 + 1e-9)
        for before, after in zip(less.elements, more.elements, strict=True):
            assert before.current.usual <= after.current.usual * (1 + 1e-9) + 1e-12

    @given(SEEDS, st.floats(1.01, 5.0))
    @settings(max_examples=80, deadline=None)
    def test_more_resistance_is_less_current_in_its_way_and_none_less_beside_it(self, seed, factor):
        maker = Maker(Random(seed))
        circuit, supply = maker.circuit(2), maker.supply()
        old = next(one.element for one in solved(circuit, supply).elements if isinstance(one.element, Resistor))
        new = resistor(old.resistance.usual * factor)
        before, after = solved(circuit, supply), solved(put_in_place(circuit, old, new), supply)
        assert after.current.usual <= before.current.usual * (1 + 1e-9) + 1e-12
        for less, more in zip(after.elements, before.elements, strict=True):
            if more.element is old:
                assert less.current.usual <= more.current.usual * (1 + 1e-9) + 1e-12

    @given(SEEDS, st.floats(0.1, 1e5))
    @settings(max_examples=80, deadline=None)
    def test_more_resistance_in_series_with_all_raises_no_current(self, seed, ohms):
        maker = Maker(Random(seed), ideal=True)
        circuit, supply = maker.circuit(2), maker.supply()
        added = resistor(ohms)
        place = maker.random.randrange(len(circuit.elements) + 1)
        longer = replace(circuit, elements=(*circuit.elements[:place], added, *circuit.elements[place:]))
        after = {id(one.element): one for one in solved(longer, supply).elements}
        for before in solved(circuit, supply).elements:
            one = after[id(before.element)]
            for now, then in zip(ends_of(one.current), ends_of(before.current), strict=True):
                assert now <= then * (1 + 1e-9) + 1e-12

    @given(SEEDS)
    @settings(max_examples=60, deadline=None)
    def test_twice_computed_is_the_same(self, seed):
        maker = Maker(Random(seed), spread=True, ideal=True)
        circuit, supply = maker.circuit(2), maker.supply()
        made = plan({"white": circuit}, common=supply)
        first, second = electrical_facts(made).outputs["white"], electrical_facts(made).outputs["white"]
        assert isinstance(first, OutputFacts)
        assert first == second
