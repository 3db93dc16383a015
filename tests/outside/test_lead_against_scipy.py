"""What a reading of the common lead leaves open, against what is there: each figure somewhere in its spread, each state
solved by SciPy's `brentq` with the laws written down a second time (see `test_electrical_against_scipy.py`).

The reading is what flows in one state, as a meter with its tolerance shows it. Of every other state the truth has to lie
within what is told of it; and often enough the plan alone leaves more open, else the reading would be good for nothing.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import combinations
from random import Random

import pytest
from scipy.optimize import brentq

from analysis.circuits import Maker, chain, exactly, place, plan
from lampwright.analysis.electrical import common_facts, electrical_facts
from lampwright.analysis.electrical.facts import CommonFacts
from lampwright.model.circuit import leaves
from lampwright.model.lighting import LightingPlan
from lampwright.model.measured import LeadReadings
from lampwright.model.values import Figure
from laws_again import SEARCH
from outside.test_electrical_against_scipy import USUAL, Nest, law

METER = 0.02
NAMES = ("white", "yellow", "green")
STATES = [state for number in (1, 2, 3) for state in combinations(NAMES, number)]
ROOM = 1e-6
"""By how much two solvers may differ at the very end of a spread."""


def test_the_truth_is_within_what_a_reading_leaves_open():
    closer = checked = 0
    for seed in range(60):
        random = Random(seed)
        maker = Maker(random, spread=True)
        with_lead = random.random() < 0.7
        lead = maker.circuit(0, 1) if with_lead else chain()
        circuits = {name: maker.circuit(0, 2) for name in NAMES}
        usual = random.uniform(12, 20)
        supply = (0.85 * usual, usual, 1.1 * usual)
        made = plan(circuits, common=supply, lead=lead)
        if isinstance(dark := common_facts(made), CommonFacts) and dark.current.usual < 1e-4:
            # An LED the wrong way round in the lead.
            continue
        true = Truth(random, made, random.uniform(supply[0], supply[2]))
        on = random.choice(STATES)
        read = true.total(on)
        shown = read * random.uniform(1 - METER, 1 + METER)
        measured = replace(made, common_measured=LeadReadings(place(), on, meter(shown)))
        facts = electrical_facts(measured)
        assert facts.lead is not None, seed
        for state in STATES:
            told, planned = facts.shared(state), common_facts(made, state)
            assert isinstance(told, CommonFacts)
            assert isinstance(planned, CommonFacts)
            assert within(told.current, true.total(state)), (seed, on, state)
            for each, (volts, amperes) in zip(told.elements, true.in_lead(state), strict=True):
                assert within(each.current, amperes), (seed, on, state)
                assert within(each.voltage, volts), (seed, on, state)
                assert within(each.power, volts * amperes), (seed, on, state)
            checked += 1
            if state == on:
                assert (told.basis, told.current.usual) == ("lead", shown)
            else:
                closer += told.current.highest < planned.current.highest * (1 - ROOM)
    assert checked > 50 * len(STATES)
    # Of some 350 other states.
    assert closer > 60, (closer, checked)


class Truth:
    """A plan with one value for each figure, and what its outputs draw together."""

    def __init__(self, random: Random, made: LightingPlan, supply: float) -> None:
        def pick(figure: Figure) -> Figure:
            return Figure.exact(random.uniform(figure.lowest, figure.highest), figure.span)

        assert made.common_circuit is not None
        self._supply = supply
        self._lead = exactly(made.common_circuit, pick)
        self._circuits = {name: exactly(output.circuit, pick) for name, output in made.outputs.items()}
        everything = [self._lead, *self._circuits.values()]
        self._nest = Nest({id(leaf): law(leaf, USUAL) for circuit in everything for leaf in leaves(circuit)})

    @cache  # noqa: B019  # it lives as long as one seed
    def total(self, state: tuple[str, ...]) -> float:
        """By the volts that the lead leaves, which are searched for: there it carries what hangs behind it."""

        def behind(volts: float) -> float:
            return sum(self._nest.current(self._circuits[name], volts) for name in state)

        def missing(volts: float) -> float:
            return volts + self._nest.voltage(self._lead, behind(volts)) - self._supply

        if not self._lead.elements:
            return behind(self._supply)
        return behind(brentq(missing, 1e-6, self._supply, **SEARCH))

    def in_lead(self, state: tuple[str, ...]) -> list[tuple[float, float]]:
        """Volts and amperes of each element of the lead."""
        amperes = list(self._nest.currents(self._lead, 0.0, self.total(state)))
        return [(self._nest.voltage(leaf, each), each) for leaf, each in zip(leaves(self._lead), amperes, strict=True)]


def meter(value: float) -> Figure:
    return Figure(value * (1 - METER), value, value * (1 + METER), place())


def within(told, value: float) -> bool:
    return told.lowest * (1 - ROOM) - 1e-12 <= value <= told.highest * (1 + ROOM) + 1e-12


def test_a_truth_outside_is_seen():
    """The comparison itself: of a state of which nothing was read, a tenth more than the plan allows."""
    made = plan({"white": Maker(Random(1)).circuit(0, 2)}, common=(11.0, 12.0, 13.0), lead=chain())
    facts = electrical_facts(made).shared(("white",))
    assert isinstance(facts, CommonFacts)
    assert within(facts.current, facts.current.usual)
    assert not within(facts.current, 1.1 * facts.current.highest)
    with pytest.raises(AssertionError):
        assert within(facts.current, 0.9 * facts.current.lowest)
