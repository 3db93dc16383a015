"""What counts of readings: by hand where one law is enough, in random nests by what the solver says without them."""

from __future__ import annotations

import math
from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analysis.circuits import Maker, board, bulb, chain, diode, led, parallel, place, plan, regulator, resistor, to_rail
from lampwright.analysis.contradictions import Contradiction, contradictions, expected
from lampwright.analysis.electrical import electrical_facts, output_facts
from lampwright.analysis.electrical.facts import OutputFacts, Range, Undetermined
from lampwright.analysis.electrical.outside import Lack
from lampwright.model.circuit import Chain, Lamp, PlacedLamp, Resistor, leaves
from lampwright.model.lighting import LightingPlan
from lampwright.model.measured import Across, Readings
from lampwright.model.values import Figure, Name

METER = 0.02


def shown(value: float, meter: float = METER) -> Figure:
    return Figure(value * (1 - meter), value, value * (1 + meter), place())


def with_readings(
    made: LightingPlan, current: float | None = None, voltage: float | None = None, across: dict | None = None
) -> LightingPlan:
    """The same with readings at its output; resistors are named by their ohms."""
    volts = tuple(
        Across(Name(str(name), place()), name if isinstance(name, float | int) else None, shown(value))
        for name, value in (across or {}).items()
    )
    stated = [shown(each) if each is not None else None for each in (current, voltage)]
    white = replace(made.outputs["white"], measured=Readings(place(), *stated, volts))
    return replace(made, outputs={**made.outputs, "white": white})


def facts_of(made: LightingPlan) -> OutputFacts:
    facts = electrical_facts(made).outputs["white"]
    assert isinstance(facts, OutputFacts)
    assert facts.output is made.outputs["white"]
    return facts


def built(circuit: Chain, **readings) -> OutputFacts:
    return facts_of(with_readings(plan({"white": circuit}, track=(13.0, 16.0)), **readings))


def row(figures: Range) -> tuple[float, float, float]:
    return (figures.lowest, figures.usual, figures.highest)


def unknown(name: str = "lamp") -> PlacedLamp:
    return PlacedLamp(place(), name, Lamp(name, place(), None))


class TestByHand:
    def test_the_voltage_replaces_track_and_drop(self):
        # 10 V across 1 kohm are 10 mA; the spread is the meter's 2 %, whatever the track's.
        facts = built(chain(resistor(1000)), voltage=10.0)
        assert row(facts.supply) == pytest.approx((9.8, 10.0, 10.2))
        assert row(facts.current) == pytest.approx((0.0098, 0.010, 0.0102))
        assert facts.basis == facts.output.measured.voltage

    def test_the_current_is_that_of_all_in_series(self):
        # 8 mA through 1 kohm of 5 % are 64 mW, at most 8.16 mA squared times 1050 ohms.
        circuit = chain(resistor(1000, 0.05), led((2.8, 3.3)))
        facts = built(circuit, current=0.008)
        assert row(facts.current) == pytest.approx((0.00784, 0.008, 0.00816))
        assert [row(each.current) for each in facts.elements] == [row(facts.current)] * 2
        assert facts.elements[0].power.usual == pytest.approx(0.064, rel=1e-4)
        assert facts.elements[0].power.highest == pytest.approx(0.00816**2 * 1050, rel=1e-4)
        assert [each.element for each in facts.elements] == list(circuit.elements)
        assert facts.weak == ()
        assert facts.basis == "current"

    def test_the_volts_across_a_resistor_are_a_current(self):
        # 8 V at 1 kohm: 8 mA, from 7.84 V over 1050 ohms to 8.16 V over 950.
        facts = built(chain(resistor(1000, 0.05), led(3.0)), across={1000: 8.0})
        assert row(facts.current) == pytest.approx((7.84 / 1050, 0.008, 8.16 / 950))
        assert row(facts.elements[1].current) == row(facts.current)
        assert row(facts.elements[0].voltage) == pytest.approx((7.84, 8.0, 8.16))

    def test_a_current_counts_before_the_volts_across_a_resistor(self):
        facts = built(chain(resistor(1000, 0.05), led(3.0)), current=0.008, across={1000: 8.2})
        assert row(facts.current) == pytest.approx((0.00784, 0.008, 0.00816))

    def test_the_volts_across_an_led_replace_its_forward_voltage(self):
        # 3.1 V of 13.1 V leave 10 V for 1 kohm; of which LED it is, its colour does not say.
        made = plan({"white": chain(resistor(1000), led((2.1, 3.5)))}, track=14.5)
        facts = facts_of(with_readings(made, across={"led": 3.1}))
        assert facts.current.usual == pytest.approx(0.010, rel=1e-6)
        assert row(facts.elements[1].voltage) == pytest.approx((3.1 * 0.98, 3.1, 3.1 * 1.02))
        # What is left for the resistor at the worst is 13.1 V less 3.038 V.
        assert facts.current.highest == pytest.approx((13.1 - 3.1 * 0.98) / 1000, rel=1e-3)

    def test_a_resistor_in_the_lead_of_an_led_is_between_the_tips_of_the_meter(self):
        circuit = chain(resistor(1000), led(2.0, built_in=1000.0))
        before = built(circuit, voltage=13.0)
        after = built(circuit, voltage=13.0, across={"led": 7.5})
        assert row(after.current) == row(before.current)
        assert after.elements[1].voltage.usual == 7.5

    def test_the_volts_across_a_bulb_are_its_own(self):
        facts = built(chain(resistor(100), bulb(12.0, 0.04)), across={"bulb": 9.5})
        assert row(facts.elements[1].voltage) == pytest.approx((9.31, 9.5, 9.69))

    def test_in_a_branch_the_current_is_by_the_resistor_there(self):
        circuit = chain(parallel(chain(resistor(1000), led(3.0)), chain(resistor(500))))
        facts = built(circuit, across={1000: 8.0})
        assert facts.elements[0].current.usual == pytest.approx(0.008)
        assert facts.basis is None

    def test_in_a_branch_an_led_has_its_volts_at_the_current_there(self):
        # Of 30 mA 10 flow through the LED and its 1 kohm, 20 through 655 ohms with the same 13.1 V.
        circuit = chain(parallel(chain(resistor(1000), led((2.1, 3.5))), chain(resistor(655))))
        facts = built(circuit, current=0.030, across={"led": 3.1})
        assert [each.current.usual for each in facts.elements] == pytest.approx([0.010, 0.010, 0.020], rel=1e-4)

    def test_voltage_and_current_together(self):
        facts = built(chain(resistor(1000), led(3.0)), current=0.008, voltage=11.0)
        assert row(facts.supply) == pytest.approx((10.78, 11.0, 11.22))
        assert facts.current.usual == 0.008

    def test_a_common_lead_is_in_the_way(self):
        made = plan({"white": chain(led(3.0))}, track=14.5, lead=chain(resistor(1000)))
        facts = facts_of(with_readings(made, across={1000: 8.0}))
        assert facts.current.usual == pytest.approx(0.008)
        assert facts.elements[0].current.usual == pytest.approx(0.008)

    def test_no_element_gets_more_than_there_is(self):
        # 10 mA through 10 kohm would be 100 V; of 15.3 V at most the LED leaves less than 13.
        facts = built(chain(resistor(10_000), led(2.8)), current=0.010)
        assert facts.elements[0].voltage.highest < 13
        assert facts.elements[0].power.highest < 13 * 0.0102
        assert facts.elements[1].voltage.usual == pytest.approx(2.8, rel=1e-3)


class TestWhatElseCouldNotBeTold:
    def test_a_lamp_of_which_nothing_is_known(self):
        made = plan({"white": chain(resistor(1000, 0.05), unknown())}, track=14.5)
        assert isinstance(electrical_facts(made).outputs["white"], Undetermined)
        facts = facts_of(with_readings(made, current=0.010))
        # It has what 10 V across the resistor leave of 13.1 V.
        assert facts.elements[0].power.usual == pytest.approx(0.1, rel=1e-4)
        assert facts.elements[1].voltage.usual == pytest.approx(3.1, rel=1e-3)
        assert facts.elements[1].element is made.outputs["white"].circuit.elements[1]

    def test_by_the_volts_across_it(self):
        made = plan({"white": chain(resistor(1000), unknown())}, track=14.5)
        assert facts_of(with_readings(made, across={"lamp": 3.1})).current.usual == pytest.approx(0.010, rel=1e-6)

    def test_without_a_supply_only_what_needs_none(self):
        made = plan({"white": chain(resistor(1000), unknown())})
        facts = facts_of(with_readings(made, current=0.010))
        assert [type(each.element) for each in facts.elements] == [Resistor]
        assert facts_of(with_readings(made, voltage=13.1, across={"lamp": 3.1})).current.usual == pytest.approx(0.01)

    def test_a_board_takes_what_the_resistor_leaves(self):
        made = plan({"white": chain(resistor(100), board(12.0, 0.02))}, track=14.5)
        facts = facts_of(with_readings(made, current=0.030))
        assert facts.elements[1].voltage.usual == pytest.approx(13.1 - 3.0, rel=1e-4)
        assert facts.weak == ()

    def test_a_regulator_may_let_through_something_else(self):
        made = plan({"white": chain(regulator(0.010, 2.0), led(3.0))}, track=14.5)
        facts = facts_of(with_readings(made, current=0.0104))
        assert facts.current.usual == 0.0104
        assert facts.elements[0].voltage.usual == pytest.approx(13.1 - 3.0, rel=1e-2)

    def test_two_lamps_of_which_nothing_is_known(self):
        made = plan({"white": chain(resistor(1000), unknown("a"), unknown("b"))}, track=14.5)
        facts = electrical_facts(with_readings(made, current=0.01)).outputs["white"]
        assert isinstance(facts, Undetermined)
        assert facts.output is not None
        assert facts.output.measured is not None


class TestWhatDoesNotCount:
    @pytest.mark.parametrize(
        "readings",
        [
            {"current": 0.0},
            {"voltage": 0.0},
            {"across": {"led": 0.0}},
            {"across": {"somewhere else": 2.0}},
            {"across": {330: 2.0}},
        ],
    )
    def test_nothing_and_what_fits_nothing(self, readings):
        circuit = chain(resistor(1000), led(3.0))
        before = facts_of(plan({"white": circuit}, track=(13.0, 16.0)))
        after = built(circuit, **readings)
        assert after.elements == before.elements
        assert after.current == before.current

    def test_one_name_for_two_resistors(self):
        circuit = chain(resistor(1000), resistor(1000), led(3.0))
        before = facts_of(plan({"white": circuit}, track=(13.0, 16.0)))
        assert built(circuit, across={1000: 3.0}).elements == before.elements

    def test_what_flows_half_of_the_time(self):
        made = plan({"white": to_rail(chain(resistor(1000), led(3.0)))}, track=14.5)
        assert facts_of(with_readings(made, current=0.002)).elements == facts_of(made).elements
        (lack,) = contradictions(made, with_readings(made, current=0.002).outputs["white"])
        assert isinstance(lack, Lack)
        assert "half of the time" in lack.lacks


# --- Random nests -----------------------------------------------------------------------------------------------------

SEEDS = st.integers(min_value=0, max_value=10**9)


@given(SEEDS)
@settings(max_examples=120, deadline=None)
def test_driven_by_its_own_current_a_nest_carries_what_it_carried(seed):
    maker = Maker(Random(seed))
    made = plan({"white": maker.circuit(2)}, common=maker.supply(), lead=maker.circuit(0, 1))
    before = facts_of(made)
    if not 1e-4 < before.current.usual < 5:
        return
    after = facts_of(with_readings(made, current=before.current.usual))
    for old, new in zip(before.elements, after.elements, strict=True):
        # A regulator is level, so that a little more current comes with many more volts; 0.1 % of that are far less.
        assert new.current.usual == pytest.approx(old.current.usual, rel=1e-3, abs=1e-6)


@given(SEEDS, st.booleans())
@settings(max_examples=120, deadline=None)
def test_what_the_plan_comes_to_is_never_contradicted(seed, with_voltage):
    made = _random(seed)
    facts = facts_of(made)
    if not math.isfinite(facts.current.highest):
        return
    across = {each.element.resistance.usual: each.voltage.usual for each in facts.elements if _is_one(facts, each)}
    voltage = facts.supply.usual if with_voltage else None
    read = with_readings(made, current=facts.current.usual, voltage=voltage, across=across)
    assert not [each for each in contradictions(read, read.outputs["white"]) if isinstance(each, Contradiction)]
    assert all(reading.fits for reading in expected(read, read.outputs["white"]))


@given(SEEDS, st.sampled_from([0.7, 1.3]))
@settings(max_examples=120, deadline=None)
def test_what_is_off_by_30_percent_always_is(seed, times):
    made = _random(seed)
    facts = facts_of(made)
    end = facts.current.highest if times > 1 else facts.current.lowest
    # Of nothing nothing can be too little, and no meter shows less than a tenth of a microampere.
    if not 1e-7 < end < 1e3:
        return
    read = with_readings(made, current=times * end)
    found = list(contradictions(read, read.outputs["white"]))
    assert [isinstance(each, Contradiction) for each in found] == [True]
    assert [reading.what for reading in found[0].readings] == ["current"]


def _random(seed: int) -> LightingPlan:
    maker = Maker(Random(seed), spread=True)
    return plan({"white": maker.circuit(1)}, common=maker.supply())


def _is_one(facts: OutputFacts, each) -> bool:
    values = [other.element.resistance.usual for other in facts.elements if isinstance(other.element, Resistor)]
    return isinstance(each.element, Resistor) and values.count(each.element.resistance.usual) == 1


@given(SEEDS)
@settings(max_examples=150, deadline=None)
def test_whatever_a_meter_shows_the_facts_are_in_order(seed):
    """Also readings that make no sense, of circuits that make none."""
    random = Random(seed)
    maker = Maker(random, spread=True, ideal=random.random() < 0.3)
    made = plan({"white": maker.circuit(2)}, common=maker.supply(), lead=maker.circuit(0, 1))
    ohms = [each.resistance.usual for each in leaves(made.outputs["white"].circuit) if isinstance(each, Resistor)]
    across = {name: random.choice([0.0, 0.02, 3.0, 30.0]) for name in ("led", "bulb", *ohms) if random.random() < 0.4}
    current, voltage = (random.choice([None, 0.0, 1e-3 * of, of]) for of in (2.0, 30.0))
    read = with_readings(made, current=current, voltage=voltage, across=across)
    facts = facts_of(read)
    for each in facts.elements:
        for figures in (each.current, each.voltage, each.power):
            assert 0 <= figures.lowest <= figures.usual * (1 + 1e-9)
            assert figures.usual <= figures.highest * (1 + 1e-9)
    for found in contradictions(read, read.outputs["white"]):
        assert isinstance(found, Lack | Contradiction)


# --- Causes -----------------------------------------------------------------------------------------------------------


def causes(circuit: Chain, *, track: float = 14.5, **readings) -> list:
    made = with_readings(plan({"white": circuit}, track=track), **readings)
    (found,) = contradictions(made, made.outputs["white"])
    assert isinstance(found, Contradiction)
    return [(each.what, each.value if each.value is None else round(each.value, 1)) for each in found.causes]


class TestCauses:
    def test_a_decade(self):
        # 10 V over 1 kohm, where 10 kohm is planned.
        assert causes(chain(resistor(10_000, 0.05), led(3.1)), current=0.010, voltage=13.1) == [("resistor", 1000.0)]

    def test_a_neighbour(self):
        # 10 V over 1.5 kohm are 6.7 mA, over 1.2 kohm 8.3 mA. A red LED leaves 11.1 V for 7.4 mA, a short 8.7 mA.
        found = causes(chain(resistor(1500, 0.01), led(3.1)), current=0.0081, voltage=13.1)
        assert found == [("resistor", 1200.0)]

    def test_a_short_of_one_of_two(self):
        # 13.1 less twice 3.1 V over 1 kohm: 6.9 mA; with one LED 10 mA, 8.2 mA at 820 ohms.
        found = causes(chain(resistor(1000, 0.01), led(3.1, "a"), led(3.1, "b")), current=0.010, voltage=13.1)
        assert found == [("shorted", None), ("shorted", None)]

    def test_a_gap(self):
        assert causes(chain(resistor(1000), led(3.1)), current=0.0) == [("open", None)]

    def test_an_led_of_another_colour(self):
        found = causes(chain(resistor(1000), led(3.1)), across={"led": 1.95, 1000: 11.15})
        assert found == [("colours", None)]

    def test_another_track(self):
        # 11 V across 1 kohm of 1 %, and 3.1 V, and 1.4 V for the decoder.
        assert ("track", 15.5) in causes(chain(resistor(1000, 0.01), led(3.1)), current=0.011)
        # 12 V at the lamps, and 1.4 V for the decoder.
        assert causes(chain(resistor(1000), led(3.1)), voltage=12.0) == [("track", 13.4)]

    def test_no_track_that_is_allowed(self):
        assert causes(chain(resistor(1000), led(3.1)), voltage=24.0) == []

    def test_a_regulated_common_is_nobodys_track(self):
        made = with_readings(plan({"white": chain(resistor(1000), led(3.1))}, regulated=12.0), voltage=13.0)
        (found,) = contradictions(made, made.outputs["white"])
        assert isinstance(found, Contradiction)
        assert found.causes == ()

    def test_what_nothing_explains(self):
        assert causes(chain(resistor(1000, 0.01), diode()), current=0.5, voltage=13.1) == []

    def test_none_is_looked_for_among_many(self):
        many = chain(*(resistor(100 + number, 0.05) for number in range(12)), led(3.1))
        made = with_readings(plan({"white": many}, track=14.5), current=0.050)
        (found,) = contradictions(made, made.outputs["white"])
        assert isinstance(found, Contradiction)
        assert found.causes is None

    def test_each_is_proved(self):
        """A cause that explains the current but not the volts across a resistor is none."""
        # 10 mA, but still 2 V across what should be 10 kohm: no single change gives both.
        circuit = chain(resistor(10_000, 0.05), led(3.1))
        assert causes(circuit, current=0.010, voltage=13.1, across={10_000: 2.0}) == []


def test_another_circuit_keeps_the_voltage_only():
    readings = Readings(place(), shown(0.01), shown(13.0), ())
    assert readings.of_supply == Readings(readings.span, None, readings.voltage, ())
    assert Readings(place(), shown(0.01)).of_supply is None
    made = with_readings(plan({"white": chain(resistor(1000))}, track=14.5), current=0.005)
    again = output_facts(made, replace(made.outputs["white"], measured=None))
    assert again.current.usual == pytest.approx(0.0131)
