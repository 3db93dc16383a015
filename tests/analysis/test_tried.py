"""Circuits that are tried out: the same figures as of all others, and only those that are asked for."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analysis.circuits import Maker, chain, led, parallel, plan, resistor, to_rail
from lampwright.analysis import electrical
from lampwright.analysis.electrical import extremes, output_facts, tried_facts
from lampwright.analysis.electrical.facts import ElementFacts, OutputFacts, Range
from lampwright.analysis.electrical.tried import TriedFacts
from lampwright.model.lighting import LightingPlan

SEEDS = st.integers(min_value=0, max_value=10**9)
ENDS = Range.__match_args__


def tried(made: LightingPlan) -> OutputFacts:
    """The facts of its output, with nothing kept of any other circuit."""
    electrical._KNOWN.clear()
    electrical._TRIED.clear()
    facts = tried_facts(made, made.outputs["white"])
    assert isinstance(facts, TriedFacts)
    return facts


def said(facts: OutputFacts, random: Random) -> dict[tuple[object, ...], object]:
    """All that they say, asked for in random order."""
    asked: list[tuple[object, ...]] = [("current", end) for end in ENDS]
    asked += [(name,) for name in OutputFacts.__match_args__ if name not in ("current", "elements")]
    for number, _ in enumerate(facts.elements):
        asked += [(number, quantity, end) for quantity in ("current", "voltage", "power") for end in ENDS]
        others = (name for name in ElementFacts.__match_args__ if name not in ("current", "voltage", "power"))
        asked += [(number, name) for name in others]
    random.shuffle(asked)
    return {words: said_of(facts, words) for words in asked}


def said_of(facts: object, words: tuple[object, ...]) -> object:
    for word in words:
        facts = facts.elements[word] if isinstance(word, int) else getattr(facts, str(word))
    return facts


class TestFigures:
    @given(SEEDS, st.booleans())
    @settings(max_examples=150, deadline=None)
    def test_the_same_to_the_last_bit(self, seed, ideal):
        maker = Maker(Random(seed), spread=True, ideal=ideal)
        made = plan({"white": maker.circuit(3)}, common=maker.supply(), lead=maker.circuit(1, 1))
        facts = tried(made)
        found = said(facts, Random(seed))
        electrical._KNOWN.clear()
        assert found == said(output_facts(made, made.outputs["white"]), Random(seed))

    def test_of_what_returns_to_a_rail_and_of_what_is_behind_a_gap(self):
        gap = chain(parallel(chain(led(3.0, backwards=True)), to_rail(chain(resistor(680, 0.05), led(2.0)))))
        made = plan({"white": gap}, track=16.0)
        facts = tried(made)
        found = said(facts, Random(1))
        electrical._KNOWN.clear()
        whole = output_facts(made, made.outputs["white"])
        assert found == said(whole, Random(1))
        assert whole.elements[0].current.highest == 0 < whole.elements[1].current.highest

    def test_what_is_no_field_is_none(self):
        facts = tried(plan({"white": chain(resistor(470), led(3.0))}, common=13.0))
        for thing in (facts, facts.elements[0], facts.current):
            with pytest.raises(AttributeError):
                thing.colour  # noqa: B018  # it is asked for


class TestWhatIsComputed:
    @pytest.fixture
    def solved(self, monkeypatch) -> list[object]:
        """Each network at each voltage that is solved."""
        calls: list[object] = []
        solve = extremes.solve
        monkeypatch.setattr(extremes, "solve", lambda *given: calls.append(given) or solve(*given))
        return calls

    def large(self) -> LightingPlan:
        branches = [chain(resistor(470.0 + number, 0.05), led((2.8, 3.0, 3.3))) for number in range(12)]
        return plan({"white": chain(resistor(100, 0.05), parallel(*branches))}, common=(12.0, 14.0))

    def test_one_current_takes_two_of_them(self, solved):
        facts = tried(self.large())
        assert facts.elements[3].current.highest > 0.001
        assert len(solved) == 2
        assert facts.elements[3].current.usual < facts.elements[3].current.highest
        assert len(solved) == 2

    def test_all_take_many_times_as_many(self, solved):
        electrical._KNOWN.clear()
        extremes.carried.cache_clear()
        made = self.large()
        output_facts(made, made.outputs["white"])
        assert len(solved) > 50

    def test_what_was_asked_of_a_circuit_is_known_of_all_that_are_alike(self, solved):
        assert tried(self.large()).current.highest > 0.001
        made = self.large()
        solved.clear()
        assert tried_facts(made, made.outputs["white"]).current.highest > 0.001
        assert not solved

    def test_what_is_known_already_is_not_tried(self, solved):
        made = self.large()
        known = output_facts(made, made.outputs["white"])
        solved.clear()
        assert tried_facts(made, made.outputs["white"]) == known
        assert not solved

    def test_what_is_kept_is_bounded(self, monkeypatch):
        monkeypatch.setattr(electrical, "_MOST_TRIED", 8)
        electrical._KNOWN.clear()
        electrical._TRIED.clear()
        for ohms in range(100, 130):
            made = plan({"white": chain(resistor(float(ohms)), led(3.0))}, common=13.0)
            assert tried_facts(made, made.outputs["white"]).current.usual > 0.01
            assert len(electrical._TRIED) <= 8
