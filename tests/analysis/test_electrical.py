"""Electrical facts of small plans, by figures worked out by hand from Ohm's and Kirchhoff's laws."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import chain as chained

import pytest

from analysis.circuits import (
    bulb,
    chain,
    diode,
    example_plan,
    figure,
    led,
    output,
    parallel,
    place,
    plan,
    resistor,
    solved,
)
from lampwright.analysis import electrical
from lampwright.analysis.electrical import electrical_facts, output_facts
from lampwright.analysis.facts import CommonFacts, HotCorner, OutputFacts, Range, Undetermined
from lampwright.model.circuit import (
    Board,
    Driver,
    PlacedLamp,
    Regulator,
    Unreadable,
)
from lampwright.model.values import Figure, Origin


def ranges(of):
    return (of.lowest, of.usual, of.highest)


def approx(*values):
    return pytest.approx(values, rel=1e-12)


class TestExamplePlan:
    """14.5 V on the track, 1.4 V of drop, both without spread: 13.1 V. Resistors of 5 %."""

    facts = electrical_facts(example_plan())

    def test_white_led(self):
        white = self.facts.outputs["white"]
        assert ranges(white.supply) == approx(13.1, 13.1, 13.1)
        # (13.1 - 3.3) / 1575, (13.1 - 3.0) / 1500, (13.1 - 2.8) / 1425
        assert ranges(white.current) == approx(9.8 / 1575, 10.1 / 1500, 10.3 / 1425)
        resistor_facts, led_facts = white.elements
        assert ranges(led_facts.current) == ranges(resistor_facts.current) == ranges(white.current)
        assert ranges(led_facts.voltage) == approx(2.8, 3.0, 3.3)
        assert ranges(resistor_facts.voltage) == approx(9.8, 10.1, 10.3)
        assert ranges(resistor_facts.power) == approx(9.8**2 / 1575, 10.1**2 / 1500, 10.3**2 / 1425)
        assert resistor_facts.hottest_resistance == pytest.approx(1425)
        assert led_facts.corner == HotCorner(13.1, 2.8, 1425.0)

    def test_ditch_lamp_behind_820_ohm(self):
        green = self.facts.outputs["green"]
        # 1.5 V at 15 mA are 100 ohm; 13.1 V across 920 ohm, 779 + 100 in the hot corner, 861 + 100 in the cold one.
        assert ranges(green.current) == approx(13.1 / 961, 13.1 / 920, 13.1 / 879)
        assert green.current.usual == pytest.approx(14.24e-3, abs=5e-6)
        resistor_facts, bulb_facts = green.elements
        assert ranges(bulb_facts.voltage) == approx(1310 / 961, 1310 / 920, 1310 / 879)
        assert resistor_facts.power.highest == pytest.approx(779 * (13.1 / 879) ** 2)
        assert bulb_facts.corner == HotCorner(13.1, None, 879.0)
        assert green.forward_voltages == ()

    def test_two_branches_straight_across_the_supply(self):
        brown = self.facts.outputs["brown"]
        assert brown.current.usual == pytest.approx((13.1 - 2.05) / 2700 + 13.1 / 400)
        assert brown.current.highest == pytest.approx((13.1 - 1.9) / 2565 + 13.1 / 395)
        _, marker, _, cab = brown.elements
        assert ranges(marker.current) == approx(10.9 / 2835, 11.05 / 2700, 11.2 / 2565)
        assert ranges(cab.voltage) == approx(3930 / 405, 3930 / 400, 3930 / 395)

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
    # 100 ohm with 30 % either way behind a bulb of 100 ohm at 10 V: 0.25 W at 100 ohm, 0.2422 and 0.2457 W at the ends.
    facts = solved(chain(resistor(100, 0.3), bulb(10.0, 0.1)), 10.0).elements[0]
    assert facts.power.highest == pytest.approx(0.25)
    assert facts.hottest_resistance == pytest.approx(100)
    assert facts.power.lowest == pytest.approx(70 * (10 / 170) ** 2)
    # With 80 to 90 ohm the peak is out of reach and the upper end counts.
    facts = solved(chain(resistor((80, 90)), bulb(10.0, 0.1)), 10.0).elements[0]
    assert facts.power.highest == pytest.approx(90 * (10 / 190) ** 2)
    assert facts.hottest_resistance == pytest.approx(90)


def test_parallel_leds_behind_one_resistor_the_lowest_forward_voltage_takes_all():
    # 1 kohm from 12 V: 9 mA at 3.0 V. Without spread nothing tells the two apart: usually half each, all at worst.
    facts = solved(chain(resistor(1000), parallel(chain(led(3.0)), chain(led(3.0)))), 12.0)
    for lamp in facts.elements[1:]:
        assert ranges(lamp.current) == approx(0, 0.0045, 0.009)
        assert ranges(lamp.voltage) == approx(3, 3, 3)
    # With 2.9 to 3.1 V the worst is one of 2.9 V beside one of more.
    facts = solved(chain(resistor(1000), parallel(chain(led((2.9, 3.1))), chain(led((2.9, 3.1))))), 12.0)
    assert facts.elements[1].current.highest == pytest.approx(9.1e-3)
    assert facts.elements[1].current.lowest == 0.0
    # The LED that never gets its 3.0 V beside one of 2.0 V stays dark.
    facts = solved(chain(resistor(1000), parallel(chain(led(3.0)), chain(led(2.0)))), 12.0)
    assert ranges(facts.elements[1].current) == (0, 0, 0)
    assert ranges(facts.elements[1].voltage) == approx(2, 2, 2)
    assert ranges(facts.elements[2].current) == approx(0.010, 0.010, 0.010)


def test_what_stands_beside_counts_only_behind_something_shared():
    beside = parallel(chain(resistor(200, 0.1), bulb(12.0, 0.04)), chain(bulb(12.0, 0.04, tolerance=0.1)))
    # Straight across 12 V the second bulb has 12 V whatever the first branch does.
    assert ranges(solved(chain(beside), 12.0).elements[2].voltage) == approx(12, 12, 12)
    # Behind 100 ohm its highest voltage comes with its own current low and the other branch's current low.
    facts = solved(chain(resistor(100), beside), 12.0).elements[3]
    own, other = 12 / 0.036, 220 + 300
    assert facts.voltage.highest == pytest.approx(12 * 1 / (1 + 100 / own + 100 / other))
    own, other = 12 / 0.044, 180 + 300
    assert facts.voltage.lowest == pytest.approx(12 * 1 / (1 + 100 / own + 100 / other))


def test_dark_string_shares_the_voltage_by_need():
    facts = solved(chain(resistor(1000), led(2.0), led(3.0), diode(0.0)), 4.0)
    assert ranges(facts.current) == (0, 0, 0)
    assert [element.voltage.usual for element in facts.elements] == approx(0, 1.6, 2.4, 0)
    # All that the other leaves over: nothing tells more.
    assert ranges(facts.elements[1].voltage) == approx(1.0, 1.6, 2.0)
    assert facts.elements[1].power == Range(0, 0, 0)


@pytest.mark.parametrize("nothing", [(), (resistor(0),), (diode(),)])
def test_nothing_that_limits_is_unlimited_and_no_exception(nothing):
    facts = solved(chain(*nothing, led(3.0)), 12.0)
    assert ranges(facts.current) == (math.inf, math.inf, math.inf)
    lamp = facts.elements[-1]
    assert ranges(lamp.current) == ranges(lamp.power) == (math.inf, math.inf, math.inf)
    assert ranges(lamp.voltage) == approx(3, 3, 3)


def test_unlimited_only_in_the_hot_corner():
    facts = solved(chain(led((2.8, 3.0, 3.2))), (2.7, 2.9, 3.1))
    assert ranges(facts.current) == (0, 0, math.inf)


def test_unlimited_branch_beside_a_limited_one():
    circuit = chain(parallel(chain(resistor(1000), led(2.0)), chain(led(3.0)), chain(resistor(0), diode())))
    facts = solved(circuit, 12.0)
    assert [element.current.usual for element in facts.elements] == approx(0.01, 0.01, math.inf, math.inf, math.inf)
    assert facts.current.highest == math.inf


def test_short_circuit_and_contradiction_end_with_a_value():
    assert solved(chain(resistor(0)), 12.0).current.usual == math.inf
    contradiction = chain(led(3.0), parallel(chain(led(2.0)), chain(resistor(1000))))
    facts = solved(contradiction, 12.0)
    assert facts.current.usual == math.inf
    # There is no one answer between the 2 V of the LED beside it and the 9 V that are left over: the most is taken.
    assert ranges(facts.elements[2].current) == approx(0.009, 0.009, 0.009)


def test_bulb_of_no_current_is_a_gap():
    facts = solved(chain(resistor(100), bulb(12.0, 0.0)), 12.0)
    assert ranges(facts.current) == (0, 0, 0)
    assert facts.elements[1].voltage.usual == 12.0


def test_leds_with_a_built_in_resistor():
    facts = solved(chain(led((2.9, 3.1), built_in=(900, 1100))), 12.0)
    assert ranges(facts.elements[0].current) == approx(8.9 / 1100, 9 / 1000, 9.1 / 900)
    assert facts.elements[0].corner == HotCorner(12.0, 2.9, 900.0)
    # The lamp's own voltage is what lies across both: always the whole supply here.
    assert ranges(facts.elements[0].voltage) == approx(12, 12, 12)


def test_reversed_bulb_is_a_bulb():
    lamp = replace(bulb(12.0, 0.04), reversed=True)
    assert ranges(solved(chain(lamp), 12.0).current) == approx(0.04, 0.04, 0.04)


def test_bulb_tolerance_is_of_its_current():
    facts = solved(chain(bulb(12.0, 0.04, tolerance=0.1)), 6.0)
    assert ranges(facts.current) == approx(0.018, 0.020, 0.022)


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
        assert white.elements[1].corner == HotCorner(13.9, 3.0, 1000)
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
    regulator = Regulator(place(), figure(0.01), None)
    board = Board(place(), figure(12.0), figure(0.02))
    driver = Driver(place(), figure(0.2))
    unreadable = Unreadable(place())
    unknown = PlacedLamp(place(), "nobody", None)
    broken = replace(led(3.0), lamp=replace(led(3.0).lamp, kind=None))
    backwards = led(3.0, backwards=True)
    empty_branch = chain()
    empty_parallel = parallel()

    @pytest.mark.parametrize(
        ("element", "lacks"),
        [
            (regulator, "the law of a current regulator"),
            (board, "the law of a lighting board"),
            (driver, "the law of a driver"),
            (backwards, "the law of a reversed LED"),
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
        facts = electrical_facts(plan({"white": chain(self.board, self.regulator)}, common=12.0)).outputs["white"]
        assert facts.lacks == "the law of a lighting board"

    def test_return_to_a_rail_of_an_output_or_a_branch(self):
        branch = replace(chain(resistor(1000), self.lamp), rail_span=place())
        for circuit in (branch, chain(parallel(branch, chain(resistor(10), bulb(12.0, 0.04))))):
            facts = electrical_facts(plan({"white": circuit}, common=12.0)).outputs["white"]
            assert (facts.span, facts.lacks) == (branch.rail_span, "the law of a lamp that returns to a rail")

    def test_the_other_outputs_are_still_computed(self):
        made = plan({"white": chain(self.board), "yellow": chain(resistor(1000), self.lamp)}, common=12.0)
        assert electrical_facts(made).outputs["yellow"].current.usual == pytest.approx(0.009)

    def test_logic_level_output(self):
        made = plan({}, common=12.0)
        logic = output("aux4", chain(resistor(1000), self.lamp), logic_level=figure(5.0))
        assert output_facts(made, logic) == Undetermined(logic, logic.span, "the law of a logic-level output")

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
        assert facts.outputs["yellow"].current.usual == pytest.approx(13 / 400)
        assert [element.path for element in facts.outputs["white"].elements] == [
            "outputs.white.circuit.0",
            "outputs.white.circuit.1",
        ]
        assert facts.outputs["white"].elements[1].corner == HotCorner(13.0, 3.0, 1000.0)

    def test_its_own_elements_with_all_outputs_on(self):
        circuits = {"white": chain(bulb(12.0, 0.04)), "yellow": chain(bulb(12.0, 0.04)), "green": chain()}
        lead = chain(resistor(100), chain(resistor(50)))
        common = electrical_facts(plan(circuits, common=12.0, lead=lead)).common
        assert isinstance(common, CommonFacts)
        # Two bulbs of 300 ohm side by side behind 150 ohm: 12 V across 300 ohm.
        assert [element.current.usual for element in common.elements] == approx(0.04, 0.04)
        assert [element.path for element in common.elements] == ["common.circuit.0", "common.circuit.1.series.0"]
        assert common.is_upper_bound

    def test_of_one_output_it_is_exact(self):
        common = electrical_facts(
            plan({"white": chain(bulb(12.0, 0.04))}, common=12.0, lead=chain(resistor(100)))
        ).common
        assert (common.elements[0].current.usual, common.is_upper_bound) == (pytest.approx(0.03), False)

    def test_of_no_output_nothing_flows(self):
        common = electrical_facts(plan({}, common=12.0, lead=chain(resistor(100)))).common
        assert common.elements[0].current == Range(0, 0, 0)

    def test_undetermined_with_one_output_outside_the_law(self):
        board = Board(place(), figure(12.0), figure(0.02))
        made = plan({"white": chain(bulb(12.0, 0.04)), "green": chain(board)}, common=12.0, lead=chain(resistor(100)))
        assert electrical_facts(made).common == Undetermined(None, board.span, "the law of a lighting board")
        assert electrical_facts(plan({"green": chain(board)}, common=12.0)).common is None


def test_facts_are_computed_when_asked_for_and_once(monkeypatch):
    computed = []

    def counted(made, one):
        computed.append(one.name)
        return output_facts(made, one)

    monkeypatch.setattr(electrical, "output_facts", counted)
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
    assert long.current.usual == pytest.approx((12 - 3) / 1500)


def test_a_circuit_of_more_elements_than_anyone_solders_is_undetermined():
    made = plan({"white": chain(*(resistor(10) for _ in range(301)))}, common=12.0)
    white = made.outputs["white"]
    assert output_facts(made, white) == Undetermined(white, white.circuit.span, "a circuit of at most 300 elements")
