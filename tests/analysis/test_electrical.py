"""Electrical facts of small plans, by figures worked out by hand from Ohm's and Kirchhoff's laws.

Where an LED or a bulb works away from its own figures, its law as written down again in `laws_again` is searched.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import chain as chained

import pytest

import laws_again
from analysis.circuits import (
    board,
    bulb,
    chain,
    diode,
    driver,
    example_plan,
    figure,
    led,
    output,
    parallel,
    place,
    plan,
    regulator,
    resistor,
    solved,
    to_rail,
    within,
)
from lampwright.analysis import electrical
from lampwright.analysis.electrical import electrical_facts, output_facts
from lampwright.analysis.electrical.facts import CommonFacts, OutputFacts, Range, Undetermined
from lampwright.model.circuit import PlacedLamp, Unreadable
from lampwright.model.values import Figure, Origin
from laws_again import Law, amperes_at, amperes_of, beside, in_series, ohms


def ranges(of):
    return (of.lowest, of.usual, of.highest)


def approx(*values):
    return pytest.approx(values, rel=1e-9)


def volts_at(supply: float, own: Law, *others: Law) -> float:
    """Across `own` in series with the others."""
    return own(amperes_at(supply, own, *others))


def corner(supply: float, forward_voltage: float | None, resistance: float | None) -> dict[str, float | None]:
    return {"supply": supply, "forward-voltage": forward_voltage, "resistance": resistance}


class TestExamplePlan:
    """14.5 V on the track, 1.4 V of drop, both without spread: 13.1 V. Resistors of 5 %."""

    facts = electrical_facts(example_plan())

    def test_white_led(self):
        white = self.facts.outputs["white"]
        assert ranges(white.supply) == approx(13.1, 13.1, 13.1)
        low, usual, high = (laws_again.led(volts) for volts in (2.8, 3.0, 3.3))
        least, middle, most = ohms(1425), ohms(1500), ohms(1575)
        cold, warm, hot = amperes_at(13.1, most, high), amperes_at(13.1, middle, usual), amperes_at(13.1, least, low)
        assert ranges(white.current) == approx(cold, warm, hot)
        resistor_facts, led_facts = white.elements
        assert ranges(led_facts.current) == ranges(resistor_facts.current) == ranges(white.current)
        # Most is left for the LED with its own voltage high and the resistor low, and the other way round.
        assert ranges(led_facts.voltage) == approx(
            volts_at(13.1, low, most), volts_at(13.1, usual, middle), volts_at(13.1, high, least)
        )
        assert ranges(resistor_facts.voltage) == approx(
            volts_at(13.1, least, high), volts_at(13.1, middle, usual), volts_at(13.1, most, low)
        )
        assert ranges(resistor_facts.power) == approx(1575 * cold**2, 1500 * warm**2, 1425 * hot**2)
        assert resistor_facts.hottest_resistance == pytest.approx(1425)
        assert led_facts.corner.data == corner(13.1, 2.8, 1425.0)

    def test_ditch_lamp_behind_820_ohm(self):
        green = self.facts.outputs["green"]
        micro = laws_again.bulb(1.5, 0.015)
        cold, usual, hot = (amperes_at(13.1, ohms(resistance), micro) for resistance in (861, 820, 779))
        assert ranges(green.current) == approx(cold, usual, hot)
        resistor_facts, bulb_facts = green.elements
        assert ranges(bulb_facts.voltage) == approx(micro(cold), micro(usual), micro(hot))
        assert resistor_facts.power.highest == pytest.approx(779 * hot**2)
        # At its rating the bulb has 1.5 V / 15 mA = 100 ohm.
        assert bulb_facts.corner.data == corner(13.1, None, 879.0)
        assert green.forward_voltages == ()

    def test_two_branches_straight_across_the_supply(self):
        brown = self.facts.outputs["brown"]
        cold, usual, hot = (
            amperes_at(13.1, ohms(resistance), laws_again.led(forward))
            for resistance, forward in ((2835, 2.2), (2700, 2.05), (2565, 1.9))
        )
        lamp = laws_again.bulb(12.0, 0.04)
        glow = [amperes_at(13.1, ohms(resistance), lamp) for resistance in (105, 100, 95)]
        assert ranges(brown.current) == approx(cold + glow[0], usual + glow[1], hot + glow[2])
        _, marker, _, cab = brown.elements
        assert ranges(marker.current) == approx(cold, usual, hot)
        assert ranges(cab.voltage) == approx(*map(lamp, glow))

    def test_paths_in_reading_order(self):
        assert [element.path for element in self.facts.outputs["brown"].elements] == [
            "outputs.brown.circuit.0.parallel.0.0",
            "outputs.brown.circuit.0.parallel.0.1",
            "outputs.brown.circuit.0.parallel.1.0",
            "outputs.brown.circuit.0.parallel.1.1",
        ]

    def test_nothing_weak_and_nothing_common(self):
        assert [facts.weak for facts in self.facts.outputs.values()] == [()] * 5
        assert self.facts.common is None


def test_power_is_highest_inside_the_tolerance_where_the_resistor_equals_the_rest():
    # 100 ohm with 30 % either way before a board of 100 ohm at 10 V: 0.25 W at 100 ohm, 0.2422 and 0.2457 W at the ends.
    facts = solved(chain(resistor(100, 0.3), board(10.0, 0.1)), 10.0).elements[0]
    assert facts.power.highest == pytest.approx(0.25)
    assert facts.hottest_resistance == pytest.approx(100)
    assert facts.power.lowest == pytest.approx(70 * (10 / 170) ** 2)
    # With 80 to 90 ohm the peak is out of reach and the upper end counts.
    facts = solved(chain(resistor((80, 90)), board(10.0, 0.1)), 10.0).elements[0]
    assert facts.power.highest == pytest.approx(90 * (10 / 190) ** 2)
    assert facts.hottest_resistance == pytest.approx(90)


def test_parallel_leds_behind_one_resistor_share_by_their_forward_voltages():
    # 1 kohm from 23 V: 20 mA at 3.0 V, of which two alike have 10 mA each.
    facts = solved(chain(resistor(1000), parallel(chain(led(3.0)), chain(led(3.0)))), 23.0)
    for lamp in facts.elements[1:]:
        assert ranges(lamp.current) == approx(0.010, 0.010, 0.010)
        assert ranges(lamp.voltage) == approx(3, 3, 3)
    # With 2.9 to 3.1 V the most has one of 2.9 V beside one of 3.1 V, and the least has that one.
    facts = solved(chain(resistor(1000), parallel(chain(led((2.9, 3.1))), chain(led((2.9, 3.1))))), 23.0)
    low, high = laws_again.led(2.9), laws_again.led(3.1)
    across = 23.0 - 1000 * amperes_at(23.0, ohms(1000), beside(low, high))
    for lamp in facts.elements[1:]:
        assert ranges(lamp.current) == approx(amperes_of(high, across), 0.010, amperes_of(low, across))
    # Two tenths of a volt are most of it: the one has more than four times what the other has.
    assert amperes_of(low, across) > 4 * amperes_of(high, across)
    # The LED that never gets its 3.0 V beside one of 2.0 V stays dark.
    facts = solved(chain(resistor(1000), parallel(chain(led(3.0)), chain(led(2.0)))), 12.0)
    assert facts.elements[1].current.highest < 1e-9
    assert ranges(facts.elements[1].voltage) == pytest.approx((2, 2, 2), rel=1e-6)
    assert ranges(facts.elements[2].current) == pytest.approx((0.010, 0.010, 0.010), rel=1e-6)


def test_what_stands_beside_counts_only_behind_something_shared():
    # Boards of 300 ohm, the second one with 10 % either way.
    beside = parallel(chain(resistor(200, 0.1), board(12.0, 0.04)), chain(board(12.0, within(0.04, 0.1))))
    # Straight across 12 V the second board has 12 V whatever the first branch does.
    assert ranges(solved(chain(beside), 12.0).elements[2].voltage) == approx(12, 12, 12)
    # Behind 100 ohm its highest voltage comes with its own current low and the other branch's current low.
    facts = solved(chain(resistor(100), beside), 12.0).elements[3]
    own, other = 12 / 0.036, 220 + 300
    assert facts.voltage.highest == pytest.approx(12 * 1 / (1 + 100 / own + 100 / other))
    own, other = 12 / 0.044, 180 + 300
    assert facts.voltage.lowest == pytest.approx(12 * 1 / (1 + 100 / own + 100 / other))


def test_dark_string_shares_the_voltage_by_need():
    laws = (ohms(1000), laws_again.led(2.0), laws_again.led(3.0), laws_again.diode(0.7))
    facts = solved(chain(resistor(1000), led(2.0), led(3.0), diode(0.7)), 4.0)
    # 1.7 V are lacking: three junctions carry less than a thousandth of a milliampere.
    current = amperes_at(4.0, *laws)
    assert current < 1e-6
    assert ranges(facts.current) == approx(current, current, current)
    assert [element.voltage.usual for element in facts.elements] == approx(*(law(current) for law in laws))
    assert facts.elements[1].power.usual == pytest.approx(laws[1](current) * current, rel=1e-9)


@pytest.mark.parametrize(
    ("nothing", "laws"), [((), ()), ((resistor(0),), ()), ((driver(),), ()), ((diode(),), (laws_again.diode(0.7),))]
)
def test_an_led_that_nothing_limits_has_its_own_resistance_and_burns(nothing, laws):
    facts = solved(chain(*nothing, led(3.0)), 12.0)
    current = amperes_at(12.0, laws_again.led(3.0), *laws)
    # 9 V over 10 ohm, and no more.
    assert 0.7 < current < 0.9
    assert ranges(facts.current) == approx(current, current, current)
    assert facts.elements[-1].voltage.usual == pytest.approx(laws_again.led(3.0)(current))


def test_an_led_straight_across_its_own_voltage():
    facts = solved(chain(led((2.8, 3.0, 3.2))), (2.8, 3.0, 3.2))
    # Usually the 10 mA at which 3.0 V were measured; at worst 2.8 V with 0.4 V too much, or the other way round.
    cold, hot = amperes_of(laws_again.led(3.2), 2.8), amperes_of(laws_again.led(2.8), 3.2)
    assert ranges(facts.current) == approx(cold, 0.010, hot)
    assert cold < 1e-4
    assert hot > 0.03


def test_a_short_circuit_beside_limited_branches_is_unlimited_and_changes_nothing_in_them():
    circuit = chain(parallel(chain(resistor(1000), led(2.0)), chain(led(3.0)), chain(resistor(0), diode())))
    facts = solved(circuit, 12.0)
    alone = amperes_of(laws_again.led(3.0), 12.0)
    assert [element.current.usual for element in facts.elements[:3]] == approx(0.01, 0.01, alone)
    assert ranges(facts.current) == (math.inf, math.inf, math.inf)
    assert [ranges(element.current) for element in facts.elements[3:]] == [(math.inf, math.inf, math.inf)] * 2
    # The diode takes the 12 V that a wire does not.
    assert facts.elements[4].power.highest == math.inf


@pytest.mark.parametrize("circuit", [chain(resistor(0)), chain(driver()), chain(diode()), chain(diode(), driver())])
def test_a_short_circuit_is_unlimited_and_no_exception(circuit):
    facts = solved(circuit, 12.0)
    assert ranges(facts.current) == (math.inf, math.inf, math.inf)
    assert all(element.current == facts.current for element in facts.elements)


def test_a_branch_that_two_leds_would_tear_apart_has_one_answer():
    # 12 V before 3 V and 2 V: what is left over falls across the resistances inside the LEDs.
    facts = solved(chain(led(3.0), parallel(chain(led(2.0)), chain(resistor(1000)))), 12.0)
    outer, inner = laws_again.led(3.0), beside(laws_again.led(2.0), ohms(1000))
    total = amperes_at(12.0, outer, inner)
    assert facts.current.usual == pytest.approx(total, rel=1e-9)
    assert facts.elements[2].current.usual == pytest.approx(inner(total) / 1000, rel=1e-9)


@pytest.mark.parametrize("drop", [0.0, 1e-300, 1e-12])
def test_a_diode_without_a_drop_is_a_wire(drop):
    facts = solved(chain(resistor(1000), diode(drop), resistor(200)), 12.0)
    assert facts.current.usual == pytest.approx(0.010)
    assert facts.elements[1].voltage.usual == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("forward", [100.0, 1e4, 1e40, 1e300])
def test_a_forward_voltage_far_beyond_the_supply_carries_nothing(forward):
    for circuit in (chain(led(forward)), chain(resistor(1000), led(forward)), chain(diode(forward), led(3.0))):
        assert solved(circuit, 12.0).current.highest < 1e-100


class TestBulb:
    @pytest.mark.parametrize("share", [0.02, 0.1, 0.5, 0.9, 1.0, 1.1, 1.2])
    def test_its_current_goes_with_the_root_of_its_voltage_or_so(self, share):
        facts = solved(chain(bulb(12.0, 0.04)), 12.0 * share)
        assert facts.current.usual == pytest.approx(0.04 * share**0.55)

    def test_cold_it_has_a_tenth_of_its_resistance(self):
        # 12 V over 40 mA are 300 ohm; where 0.55 would give less than 30 ohm, at 0.1 ^ (1 / 0.45) = 0.6 %, it is cold.
        facts = solved(chain(bulb(12.0, 0.04)), 0.06)
        assert facts.current.usual == pytest.approx(0.06 / 30)
        assert solved(chain(bulb(12.0, 0.04)), 0.08).current.usual == pytest.approx(0.04 * (0.08 / 12) ** 0.55)


class TestRegulator:
    def test_it_holds_its_current(self):
        # It rises by a millionth for each volt above its needs: 15 - 3 - 2 of them.
        facts = solved(chain(regulator(0.010, 2.0), led(3.0)), 15.0)
        assert facts.current.usual == pytest.approx(0.010 * (1 + 10e-6), rel=1e-7)
        assert facts.elements[0].voltage.usual == pytest.approx(12.0, rel=1e-5)
        assert facts.elements[1].voltage.usual == pytest.approx(3.0, rel=1e-5)

    def test_with_a_spread_of_its_current(self):
        facts = solved(chain(regulator((0.009, 0.010, 0.012), 2.0), led(3.0)), 15.0)
        assert ranges(facts.current) == pytest.approx((0.009, 0.010, 0.012), rel=2e-5)

    def test_without_the_voltage_that_it_needs_it_is_a_resistance(self):
        # 3.5 V for 2 V and an LED of 3.0 V: 2 V over 10 mA are 200 ohm.
        current = amperes_at(3.5, ohms(200), laws_again.led(3.0))
        facts = solved(chain(regulator(0.010, 2.0), led(3.0)), 3.5)
        assert ranges(facts.current) == approx(current, current, current)
        assert current < 0.005

    def test_of_two_in_one_chain_the_smaller_one_has_its_way(self):
        facts = solved(chain(regulator(0.020, 2.0), regulator(0.010, 2.0), resistor(100)), 15.0)
        assert facts.current.usual == pytest.approx(0.010, rel=2e-5)
        # The larger one is not asked for its current and drops little: 2 V * 10 mA / 20 mA.
        assert facts.elements[0].voltage.usual == pytest.approx(1.0, rel=2e-5)

    def test_side_by_side_they_add_up(self):
        branches = (chain(regulator(0.020, 2.0)), chain(regulator(0.010, 2.0)))
        facts = solved(chain(resistor(100), parallel(*branches)), 12.0)
        assert facts.current.usual == pytest.approx(0.030, rel=2e-5)


def test_a_board_is_the_straight_line_through_its_one_point():
    facts = solved(chain(board(12.0, 0.02)), 9.0)
    assert facts.current.usual == pytest.approx(0.015)
    assert [fact.what for fact in facts.elements[0].weak] == ["board"]
    # Most with a low voltage and a high current.
    facts = solved(chain(board((11.0, 12.0, 13.0), (0.018, 0.020, 0.022))), 12.0)
    assert ranges(facts.current) == approx(12 / 13 * 0.018, 0.020, 12 / 11 * 0.022)


def test_a_driver_is_a_wire():
    with_it, without = (solved(chain(*at, resistor(900), led(3.0)), 12.0) for at in ((driver(),), ()))
    assert with_it.current.usual == pytest.approx(without.current.usual, rel=1e-11)
    assert with_it.elements[0].current.usual == pytest.approx(0.010)
    assert with_it.elements[0].voltage.usual == pytest.approx(0, abs=1e-9)


def test_a_reversed_led_lets_nothing_through_and_takes_the_whole_supply():
    facts = solved(chain(resistor(1000), led(3.0, backwards=True)), (11.0, 12.0, 13.0))
    assert facts.current.highest < 1e-12
    assert facts.elements[0].voltage.highest < 1e-9
    assert ranges(facts.elements[1].voltage) == pytest.approx((11, 12, 13))
    # Beside it all is as without it.
    beside_it = parallel(chain(led(3.0, backwards=True)), chain(resistor(900), led(3.0)))
    facts = solved(chain(beside_it), 12.0)
    assert [element.current.usual for element in facts.elements] == pytest.approx([0, 0.010, 0.010], abs=1e-12)
    assert facts.elements[0].voltage.usual == pytest.approx(12.0)


class TestRail:
    """14.5 V on the track, of which the common loses 1.4 V and a rail 0.7 V, for half of the time."""

    def facts(self, circuit, **fed):
        made = plan({"white": circuit}, **(fed or {"track": 14.5}))
        return electrical_facts(made).outputs["white"]

    def test_half_of_the_drop_is_in_the_way(self):
        facts = self.facts(to_rail(chain(resistor(1080), led(3.0))))
        assert ranges(facts.supply) == approx(13.8, 13.8, 13.8)
        assert facts.current.usual == pytest.approx(0.010)
        assert [element.share_of_time for element in facts.elements] == [0.5, 0.5]
        facts = self.facts(chain(resistor(1010), led(3.0)))
        assert facts.current.usual == pytest.approx(0.010)
        assert [element.share_of_time for element in facts.elements] == [1.0, 1.0]

    def test_the_spread_of_the_drop(self):
        facts = self.facts(to_rail(chain(resistor(1000))), track=(13.0, 14.0, 16.0), drop=(0.6, 1.4, 1.8))
        assert ranges(facts.current) == approx(12.1e-3, 13.3e-3, 15.7e-3)

    def test_a_bulb_has_71_percent_of_the_voltage_in_effect(self):
        lamp = self.facts(to_rail(chain(bulb(12.0, 0.04)))).elements[0]
        assert ranges(lamp.voltage) == approx(13.8, 13.8, 13.8)
        assert ranges(lamp.effective_voltage) == approx(*[13.8 / math.sqrt(2)] * 3)
        # As hot as at 9.76 V all the time, where it has 300 ohm (9.76 / 12) ^ 0.45, for which it gets 13.8 V.
        effective = 13.8 / math.sqrt(2)
        assert lamp.current.usual == pytest.approx(13.8 / (300 * (effective / 12) ** 0.45))
        # So that what heats it, half of the time, is what would at that voltage.
        assert 0.5 * lamp.power.usual == pytest.approx(effective * 0.04 * (effective / 12) ** 0.55)

    def test_a_branch_beside_one_to_the_common_does_not_feel_it(self):
        shared = parallel(to_rail(chain(resistor(1080), led(3.0))), chain(resistor(810), led(3.0)))
        facts = self.facts(chain(resistor(200), shared))
        # The 200 ohm are on the way of the second branch only.
        assert [element.current.usual for element in facts.elements] == approx(0.010, 0.010, 0.010, 0.010, 0.010)
        assert [element.share_of_time for element in facts.elements] == [1.0, 0.5, 0.5, 1.0, 1.0]
        assert facts.current.usual == pytest.approx(0.020)

    def test_a_resistor_in_the_common_lead_is_not_in_its_way(self):
        made = plan({"white": to_rail(chain(resistor(1080), led(3.0)))}, track=14.5, lead=chain(resistor(1000)))
        facts = electrical_facts(made)
        assert facts.outputs["white"].current.usual == pytest.approx(0.010)
        assert facts.common.elements[0].current.usual == 0.0

    def test_a_regulated_common_is_no_matter_for_it(self):
        facts = self.facts(to_rail(chain(resistor(1000))), track=14.5, regulated=12.0)
        # The drop of the rectifier is not stated then: 1.4 V, or 0.6 V at the least, from memory.
        assert ranges(facts.supply) == approx(13.8, 13.8, 14.2)
        assert [fact.what for fact in facts.weak] == ["drop"]

    @pytest.mark.parametrize("fed", [{"common": 13.0}, {"regulated": 12.0}])
    def test_without_a_track_voltage_it_is_undetermined(self, fed):
        facts = self.facts(to_rail(chain(resistor(1000))), **fed)
        assert facts.lacks == "the track voltage, for a lamp that returns to a rail"

    def test_followed_by_something_in_the_same_chain_it_is_undetermined(self):
        to = parallel(to_rail(chain(resistor(1000), led(3.0))), chain(resistor(1000), led(3.0)))
        circuit = chain(to, resistor(100))
        facts = self.facts(circuit)
        assert (facts.span, facts.lacks) == (circuit.span, "an output of its own for what returns to a rail")
        # Last in its chain, or last in the last one of a chain, it is not.
        for last in (chain(resistor(100), to), chain(resistor(100), chain(resistor(100), to))):
            assert isinstance(self.facts(last), OutputFacts)
        assert self.facts(chain(chain(resistor(100), to), resistor(100))).lacks == facts.lacks


def test_leds_with_a_built_in_resistor():
    facts = solved(chain(led((2.9, 3.1), built_in=(900, 1100))), 12.0)
    cold, hot = (
        amperes_of(laws_again.led(3.1, built_in=1100), 12.0),
        amperes_of(laws_again.led(2.9, built_in=900), 12.0),
    )
    usual = amperes_of(laws_again.led(3.0, built_in=1000), 12.0)
    assert ranges(facts.elements[0].current) == approx(cold, usual, hot)
    assert facts.elements[0].corner.data == corner(12.0, 2.9, 900.0)
    # The lamp's own voltage is what lies across both: always the whole supply here.
    assert ranges(facts.elements[0].voltage) == approx(12, 12, 12)
    assert solved(chain(led(3.0, built_in=900)), 12.0).current.usual == pytest.approx(0.010)


def test_reversed_bulb_is_a_bulb():
    lamp = replace(bulb(12.0, 0.04), reversed=True)
    assert ranges(solved(chain(lamp), 12.0).current) == approx(0.04, 0.04, 0.04)


def test_bulb_tolerance_is_of_its_current():
    facts = solved(chain(bulb(12.0, 0.04, tolerance=0.1)), 6.0)
    half = 0.5**0.55
    assert ranges(facts.current) == approx(0.036 * half, 0.040 * half, 0.044 * half)


def test_output_with_nothing_on_it_carries_nothing():
    facts = solved(chain(), 12.0, lead=chain(resistor(100)))
    assert (facts.current, facts.elements, facts.forward_voltages) == (Range(0, 0, 0), (), ())


class TestSupply:
    @pytest.mark.parametrize(
        ("fed", "volts"),
        [
            ({"track": 14.5}, (13.1, 13.1, 13.1)),
            ({"track": (13.0, 16.0)}, (11.6, 13.1, 14.6)),
            ({"track": (13.0, 14.0, 16.0), "drop": (0.6, 1.4, 1.8)}, (11.2, 12.6, 15.4)),
            ({"track": 14.5, "regulated": (11.5, 12.0, 12.4)}, (11.5, 12, 12.4)),
            ({"track": 14.5, "regulated": 12.0, "common": 13.0}, (13, 13, 13)),
            ({"track": 14.5, "common": (12.5, 13.5), "drop": (0.6, 1.4, 1.4)}, (12.5, 13, 13.5)),
            ({"track": 1.0}, (0, 0, 0)),
        ],
    )
    def test_what_feeds_the_lamps(self, fed, volts):
        facts = electrical_facts(plan({"white": chain(resistor(1000))}, **fed)).outputs["white"]
        assert ranges(facts.supply) == approx(*volts)
        assert ranges(facts.current) == approx(*(volt / 1000 for volt in volts))

    def test_the_drop_is_weak_only_where_it_enters(self):
        drop = Figure(0.6, 1.4, 1.4, None, Origin.MEMORY)
        circuits = {"white": chain(resistor(1000), led(3.0))}
        white = electrical_facts(plan(circuits, track=14.5, drop=drop)).outputs["white"]
        assert [(fact.what, fact.figure) for fact in white.weak] == [("drop", drop)]
        assert white.elements[1].weak == white.forward_voltages[0].weak == white.weak
        assert white.elements[1].corner.data == corner(13.9, 3.0, 1000)
        assert electrical_facts(plan(circuits, common=13.0, drop=drop)).outputs["white"].weak == ()
        assert electrical_facts(plan(circuits, regulated=12.0, drop=drop)).outputs["white"].weak == ()

    def test_a_track_of_common_practice_is_weak(self):
        track = figure((13.5, 15.0, 16.5), Origin.PRACTICE)
        white = electrical_facts(plan({"white": chain(resistor(1000))}, track=track)).outputs["white"]
        assert [fact.what for fact in white.weak] == ["track"]


class TestWeakFigures:
    colour = figure((1.8, 1.95, 2.1), Origin.SECOND_HAND)

    def test_of_an_element_and_what_shares_its_way(self):
        lamp = led(self.colour)
        facts = solved(chain(resistor(1000), lamp), 12.0)
        expected = [("forward-voltage", self.colour, lamp)]
        for weak in (facts.weak, facts.elements[0].weak, facts.elements[1].weak, facts.forward_voltages[0].weak):
            assert [(fact.what, fact.figure, fact.element) for fact in weak] == expected

    def test_not_beside_it_straight_across_the_supply(self):
        circuit = parallel(chain(resistor(1000), led(self.colour)), chain(resistor(100), bulb(12.0, 0.04)))
        facts = solved(chain(circuit), 12.0)
        assert [len(element.weak) for element in facts.elements] == [1, 1, 0, 0]
        # A resistor before both makes each feel the other.
        facts = solved(chain(circuit, resistor(10)), 12.0)
        assert [len(element.weak) for element in facts.elements] == [1, 1, 1, 1, 1]
        facts = solved(chain(circuit), 12.0, lead=chain(resistor(10)))
        assert [len(element.weak) for element in facts.elements] == [1, 1, 1, 1]

    def test_a_resistance_is_no_part_of_a_string(self):
        weak = figure((900, 1000, 1100), Origin.MEMORY)
        facts = solved(chain(resistor(weak), led(3.0, built_in=weak), led(3.0)), 12.0)
        assert [fact.what for fact in facts.weak] == ["resistance", "built-in-resistor"]
        assert facts.forward_voltages[0].weak == ()

    def test_of_a_bulb_and_of_the_common_lead(self):
        weak = figure(0.04, Origin.MEMORY)
        facts = solved(chain(bulb(12.0, weak)), 12.0, lead=chain(diode(figure(0.7, Origin.MEMORY))))
        assert [fact.what for fact in facts.elements[0].weak] == ["forward-voltage", "current"]

    def test_an_led_without_built_in_resistor_hangs_on_none(self):
        assert solved(chain(resistor(1000), led(3.0, built_in=figure(0.0, Origin.MEMORY))), 12.0).weak == ()


class TestStrings:
    def test_sum_with_diodes_and_common_lead(self):
        first, second, blocking = led((2.8, 3.0, 3.3), "first"), led((1.9, 2.0, 2.2), "second"), diode((0.6, 0.7, 0.8))
        facts = solved(chain(resistor(100), first, chain(second)), 12.0, lead=chain(blocking))
        (string,) = facts.forward_voltages
        assert ranges(string.total) == approx(5.3, 5.7, 6.3)
        assert string.elements == (blocking, first, second)

    def test_an_led_in_the_common_lead_belongs_to_the_outermost_chain(self):
        lamp = led(3.0)
        (string,) = solved(chain(resistor(100)), 12.0, lead=chain(lamp)).forward_voltages
        assert (string.elements, string.total.usual) == ((lamp,), 3.0)

    def test_each_branch_with_what_is_before_it(self):
        before, red, white = led(3.0, "before"), led(2.0, "red"), led(3.2, "white")
        circuit = chain(before, parallel(chain(resistor(100), red), chain(resistor(100), white), chain(resistor(100))))
        facts = solved(circuit, 12.0)
        # The last branch needs nothing, so the LED before them needs its own voltage only.
        assert [(string.total.usual, string.elements) for string in facts.forward_voltages] == [
            (3.0, (before,)),
            (5.0, (before, red)),
            (6.2, (before, white)),
        ]

    def test_of_a_parallel_on_the_way_the_branch_that_needs_least(self):
        before, red, white = led(3.0, "before"), led((1.9, 2.4), "red"), led((2.0, 2.1), "white")
        facts = solved(chain(before, resistor(10), parallel(chain(red), chain(white))), 12.0)
        assert ranges(facts.forward_voltages[0].total) == approx(4.9, 5.05, 5.1)
        assert facts.forward_voltages[0].elements == (before, white)

    def test_bulbs_and_lone_diodes_are_none(self):
        assert solved(chain(resistor(10), diode(), bulb(12.0, 0.04)), 12.0).forward_voltages == ()


class TestUndetermined:
    lamp = led(3.0)
    unreadable = Unreadable(place())
    unknown = PlacedLamp(place(), "nobody", None)
    broken = replace(led(3.0), lamp=replace(led(3.0).lamp, kind=None))
    empty_branch = chain()
    empty_parallel = parallel()

    @pytest.mark.parametrize(
        ("element", "lacks"),
        [
            (unreadable, "a readable element"),
            (unknown, "a lamp of this name"),
            (broken, "readable data of this lamp"),
            (empty_branch, "an element in this list"),
            (empty_parallel, "an element in this list"),
        ],
    )
    def test_elements_outside_the_law_at_any_depth_and_in_the_common_lead(self, element, lacks):
        deep = chain(resistor(1000), parallel(chain(self.lamp), chain(resistor(10), chain(element), resistor(20))))
        for circuit, lead in [(chain(element), None), (deep, None), (chain(self.lamp), chain(element))]:
            if circuit.elements == (self.empty_branch,):
                continue
            made = plan({"white": circuit}, common=12.0, lead=lead)
            facts = electrical_facts(made).outputs["white"]
            # A chain in a chain that holds an empty list is the same lack, at the inner list.
            assert facts == Undetermined(made.outputs["white"], element.span, lacks)

    def test_the_first_in_reading_order_is_named(self):
        facts = electrical_facts(plan({"white": chain(self.unknown, self.unreadable)}, common=12.0)).outputs["white"]
        assert facts.lacks == "a lamp of this name"

    def test_the_other_outputs_are_still_computed(self):
        made = plan({"white": chain(self.unreadable), "yellow": chain(resistor(900), self.lamp)}, common=12.0)
        assert electrical_facts(made).outputs["yellow"].current.usual == pytest.approx(0.010)

    def test_logic_level_output_without_a_driver(self):
        made = plan({}, common=12.0)
        lacking = "a driver at this logic-level output"
        driven, bare = chain(driver(), resistor(900), self.lamp), chain(resistor(900), self.lamp)
        for circuit in (bare, chain(resistor(100), parallel(driven, bare))):
            logic = output("aux4", circuit, logic_level=figure(5.0))
            assert output_facts(made, logic) == Undetermined(logic, circuit.span, lacking)
        # With one in each way it is computed, from the supply and not from the logic level.
        for circuit in (driven, chain(bare.elements[0], driver(), self.lamp)):
            facts = output_facts(made, output("aux4", circuit, logic_level=figure(5.0)))
            assert facts.current.usual == pytest.approx(0.010)
        facts = output_facts(made, output("aux4", chain(parallel(driven, driven)), logic_level=figure(5.0)))
        assert facts.current.usual == pytest.approx(0.020)

    def test_unreadable_circuit_and_common_lead(self):
        made = plan({"white": None}, common=12.0)
        assert electrical_facts(made).outputs["white"].lacks == "a readable circuit"
        made = replace(plan({"white": chain(resistor(10))}, common=12.0), common_circuit=None)
        facts = electrical_facts(made)
        assert facts.outputs["white"] == Undetermined(
            made.outputs["white"], made.outputs["white"].span, "a readable common lead"
        )
        assert facts.common == Undetermined(None, made.span, "a readable common lead")

    def test_no_supply_no_sheet_no_such_output(self):
        made = plan({"white": chain(resistor(1000), self.lamp)}, track=14.5)
        white = made.outputs["white"]
        assert decided(made, white)
        assert lacks(replace(made, decoder=None), white) == "a readable decoder sheet"
        unreadable = replace(made, decoder=replace(made.decoder, common_is_readable=False))
        assert lacks(unreadable, white) == "a readable common voltage of the decoder"
        assert lacks(replace(made, supply=replace(made.supply, track=None)), white) == "a readable supply voltage"
        unknown = replace(white, decoder_output=None)
        assert lacks(made, unknown) == "an output of this name on the decoder sheet"

    def test_a_measured_common_needs_nothing_of_the_sheet_but_the_output(self):
        made = plan({"white": chain(resistor(1000), self.lamp)}, common=13.0)
        unreadable = replace(made, decoder=replace(made.decoder, common_is_readable=False))
        assert decided(unreadable, made.outputs["white"])


def decided(made, one):
    return isinstance(output_facts(made, one), OutputFacts)


def lacks(made, one):
    facts = output_facts(made, one)
    assert facts.span == one.span
    return facts.lacks


class TestCommonLead:
    def test_it_is_in_series_with_each_output_alone(self):
        made = plan(
            {"white": chain(resistor(900), led(3.0)), "yellow": chain(bulb(12.0, 0.04))},
            common=13.0,
            lead=chain(resistor(100)),
        )
        facts = electrical_facts(made)
        assert facts.outputs["white"].current.usual == pytest.approx(0.010)
        cab = amperes_at(13.0, ohms(100), laws_again.bulb(12.0, 0.04))
        assert facts.outputs["yellow"].current.usual == pytest.approx(cab)
        assert [element.path for element in facts.outputs["white"].elements] == [
            "outputs.white.circuit.0",
            "outputs.white.circuit.1",
        ]
        assert facts.outputs["white"].elements[1].corner.data == corner(13.0, 3.0, 1000.0)

    def test_its_own_elements_with_all_outputs_on(self):
        circuits = {"white": chain(bulb(12.0, 0.04)), "yellow": chain(bulb(12.0, 0.04)), "green": chain()}
        lead = chain(resistor(100), chain(resistor(50)))
        common = electrical_facts(plan(circuits, common=24.0, lead=lead)).common
        assert isinstance(common, CommonFacts)
        # Two bulbs of 40 mA at their 12 V side by side: 80 mA over 150 ohm are the other 12 V.
        assert [element.current.usual for element in common.elements] == approx(0.08, 0.08)
        assert [element.path for element in common.elements] == ["common.circuit.0", "common.circuit.1.series.0"]
        assert common.is_upper_bound

    def test_of_one_output_it_is_exact(self):
        common = electrical_facts(
            plan({"white": chain(bulb(12.0, 0.04))}, common=16.0, lead=chain(resistor(100)))
        ).common
        assert (common.elements[0].current.usual, common.is_upper_bound) == (pytest.approx(0.04), False)

    def test_of_no_output_nothing_flows(self):
        common = electrical_facts(plan({}, common=12.0, lead=chain(resistor(100)))).common
        assert common.elements[0].current == Range(0, 0, 0)

    def test_undetermined_with_one_output_that_is(self):
        unreadable = Unreadable(place())
        circuits = {"white": chain(bulb(12.0, 0.04)), "green": chain(unreadable)}
        made = plan(circuits, common=12.0, lead=chain(resistor(100)))
        assert electrical_facts(made).common == Undetermined(None, unreadable.span, "a readable element")
        assert electrical_facts(plan({"green": chain(unreadable)}, common=12.0)).common is None

    def test_what_returns_to_a_rail_is_in_the_current_and_not_in_the_lead(self):
        circuits = {"white": to_rail(chain(resistor(1080), led(3.0))), "yellow": chain(resistor(910), led(3.0))}
        common = electrical_facts(plan(circuits, track=14.5, lead=chain(resistor(100)))).common
        assert common.elements[0].current.usual == pytest.approx(0.010)
        assert common.current.usual == pytest.approx(0.020)


def test_facts_are_computed_when_asked_for_and_once(monkeypatch):
    computed = []

    def counted(made, one):
        computed.append(one.name)
        return computed_facts(made, one)

    computed_facts = electrical._output_facts
    monkeypatch.setattr(electrical, "_output_facts", counted)
    facts = electrical_facts(example_plan())
    assert computed == []
    assert facts.outputs["green"] is facts.outputs["green"]
    assert (list(facts.outputs), len(facts.outputs)) == (["white", "yellow", "green", "violet", "brown"], 5)
    assert computed == ["green"]
    with pytest.raises(KeyError):
        facts.outputs["aux9"]


def test_every_element_of_a_circuit_has_facts_in_reading_order():
    circuit = chain(
        resistor(10),
        chain(led(2.0), parallel(chain(resistor(20), chain(bulb(12.0, 0.04))), chain(diode(), resistor(30)))),
    )
    facts = solved(circuit, 12.0)
    starts = [element.span.start for element in facts.elements]
    assert len(starts) == 6
    assert [element.path.removeprefix("outputs.white.circuit") for element in facts.elements] == [
        ".0",
        ".1.series.0",
        ".1.series.1.parallel.0.0",
        ".1.series.1.parallel.0.1.series.0",
        ".1.series.1.parallel.1.0",
        ".1.series.1.parallel.1.1",
    ]


def test_deep_and_wide_circuits_come_to_an_end():
    deep = chain(resistor(100, 0.05), led(0.01))
    for _ in range(100):
        deep = chain(resistor(10, 0.05), parallel(deep, chain(resistor(10_000, 0.05))))
    assert len(solved(deep, 12.0).elements) == 202
    wide = chain(
        resistor(10), parallel(*(chain(resistor(1000 + n, 0.05), led((2 + n / 1000, 2.5))) for n in range(149)))
    )
    facts = solved(wide, 12.0)
    assert len(facts.elements) == 299
    assert facts.current.usual == pytest.approx(sum(element.current.usual for element in facts.elements[1::2]))
    long = solved(chain(*chained.from_iterable((resistor(10, 0.05), led(0.02)) for _ in range(150))), 12.0)
    one = in_series(ohms(10), laws_again.led(0.02))
    assert long.current.usual == pytest.approx(amperes_of(one, 12.0 / 150), rel=1e-9)


def test_a_circuit_of_more_elements_than_anyone_solders_is_undetermined():
    made = plan({"white": chain(*(resistor(10) for _ in range(301)))}, common=12.0)
    white = made.outputs["white"]
    assert output_facts(made, white) == Undetermined(white, white.circuit.span, "a circuit of at most 300 elements")
