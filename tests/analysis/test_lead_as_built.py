"""What counts of readings of the common lead: by hand, in its own state and in others, and what must not count."""

from __future__ import annotations

from dataclasses import replace

import pytest

from analysis.circuits import bulb, chain, diode, led, parallel, place, plan, regulator, resistor, to_rail
from analysis.test_measured import row, shown, unknown
from lampwright.analysis.electrical import common_facts, electrical_facts, output_facts
from lampwright.analysis.electrical.facts import CommonFacts, OutputFacts, Undetermined
from lampwright.analysis.electrical.weakness import WeakFact
from lampwright.analysis.logic import logic_facts
from lampwright.analysis.readings import readings
from lampwright.analysis.together import Together, worst_together
from lampwright.model.circuit import Chain
from lampwright.model.lighting import LightingPlan
from lampwright.model.measured import Across, LeadReadings, Readings
from lampwright.model.values import Figure, Name, Origin

ALL = ("white", "yellow", "green")


def read(
    made: LightingPlan, current: float | None = None, voltage: float | None = None, on=None, across: dict | None = None
) -> LightingPlan:
    """The same with readings of its lead; resistors are named by their ohms."""
    volts = tuple(
        Across(Name(str(name), place()), name if isinstance(name, float | int) else None, shown(value))
        for name, value in (across or {}).items()
    )
    stated = [shown(each) if each is not None else None for each in (current, voltage)]
    return replace(made, common_measured=LeadReadings(place(), on, *stated, volts))


def shared(made: LightingPlan, *names: str) -> CommonFacts:
    facts = electrical_facts(made).shared(names)
    assert isinstance(facts, CommonFacts)
    return facts


def three(lead: Chain | None = None, tolerance: float = 0.1, **feed) -> LightingPlan:
    """1 kohm on each: at 10 V and without a lead 10 mA each, alone and together."""
    feed = feed or {"common": 10.0}
    return plan({name: chain(resistor(1000, tolerance)) for name in ALL}, lead=lead, **feed)


class TestTheVoltage:
    def test_it_replaces_track_and_drop_in_its_own_state(self):
        made = read(three(track=(13.0, 16.0)), voltage=12.0)
        facts = shared(made, *ALL)
        assert row(facts.supply) == pytest.approx((11.76, 12.0, 12.24))
        assert facts.current.usual == pytest.approx(0.036)
        assert facts.basis is made.common_measured.voltage

    def test_elsewhere_the_drop_may_be_another_one(self):
        # Of 0.6 to 1.8 V it was 1.4 V for all we know: 0.4 V more, or 0.8 V less.
        made = read(three(track=14.5, drop=(0.6, 1.4, 1.8)), voltage=13.0)
        facts = electrical_facts(made).outputs["white"]
        assert isinstance(facts, OutputFacts)
        assert row(facts.supply) == pytest.approx((13.0 * 0.98 - 0.4, 13.0, 13.0 * 1.02 + 0.8))
        assert row(shared(made, *ALL).supply) == pytest.approx((12.74, 13.0, 13.26))
        # A drop without a spread, and a regulated common, are the same everywhere.
        for feed in ({"track": 14.5}, {"regulated": 13.0}):
            facts = electrical_facts(read(three(**feed), voltage=13.0)).outputs["white"]
            assert row(facts.supply) == pytest.approx((12.74, 13.0, 13.26))

    def test_a_drop_from_memory_is_no_matter_only_in_its_own_state(self):
        drop = Figure(0.6, 1.4, 1.4, origin=Origin.MEMORY)
        made = read(three(track=14.5, drop=drop), voltage=13.0, on=("white",))
        facts = electrical_facts(made).outputs
        assert facts["white"].weak == ()
        assert facts["yellow"].weak == (WeakFact("drop", drop),)
        assert facts["yellow"].supply.highest == pytest.approx(13.0 * 1.02 + 0.8)

    def test_an_output_that_was_measured_itself_comes_first(self):
        made = read(three(track=14.5), voltage=13.0)
        white = replace(made.outputs["white"], measured=Readings(place(), None, shown(12.9), ()))
        facts = electrical_facts(replace(made, outputs={**made.outputs, "white": white})).outputs
        assert facts["white"].supply.usual == 12.9
        assert facts["yellow"].supply.usual == 13.0

    def test_what_returns_to_a_rail_is_not_behind_it(self):
        made = plan({"white": to_rail(chain(resistor(1000))), "yellow": chain(resistor(1000))}, track=14.0)
        facts = electrical_facts(read(made, voltage=12.5, on=("yellow",))).outputs
        assert (facts["white"].basis, facts["white"].supply.usual) == (None, pytest.approx(13.3))
        assert facts["yellow"].supply.usual == 12.5

    def test_without_a_supply_it_is_all_there_is(self):
        assert isinstance(common_facts(replace(three(), supply=plan({}).supply)), Undetermined)
        assert shared(read(plan({"white": chain(resistor(1000))}), voltage=13.0), "white").current.usual == 0.013

    @pytest.mark.parametrize("voltage", [0.0, 1.3, 15.0])
    def test_what_the_plan_cannot_come_to_does_not_count(self, voltage):
        assert shared(read(three(track=14.5), voltage=voltage), *ALL).supply.usual == pytest.approx(13.1)


class TestTheCurrentInItsOwnState:
    def test_it_is_the_sum(self):
        facts = shared(read(three(), current=0.0291), *ALL)
        assert row(facts.current) == pytest.approx((0.0291 * 0.98, 0.0291, 0.0291 * 1.02))
        assert (facts.basis, facts.weak) == ("lead", ())

    def test_it_heats_the_lead(self):
        # By hand: 16.5 mA through 100 ohms are 1.65 V and 27.2 mW, at most 16.83 mA squared times 110 ohms.
        made = plan(
            {name: chain(resistor(1000)) for name in ("white", "yellow")},
            common=10.0,
            lead=chain(ohms := resistor(100, 0.1)),
        )
        (facts,) = shared(read(made, current=0.0165), "white", "yellow").elements
        assert facts.element is ohms
        assert facts.path == "common.circuit.0"
        assert (facts.voltage.usual, facts.power.usual) == pytest.approx((1.65, 0.0165**2 * 100), rel=1e-4)
        assert facts.power.highest == pytest.approx(0.01683**2 * 110, rel=1e-4)
        assert (facts.basis, facts.weak) == ("lead", ())

    def test_the_volts_across_a_resistor_in_it_are_a_current(self):
        made = three(chain(resistor(100, 0.05)))
        facts = shared(read(made, across={100: 2.3}), *ALL)
        assert row(facts.current) == pytest.approx((2.3 * 0.98 / 105, 0.023, 2.3 * 1.02 / 95))
        assert facts.elements[0].voltage.usual == 2.3

    def test_a_bulb_in_it_has_what_was_measured_across_it(self):
        made = plan(
            {"white": chain(resistor(220)), "yellow": chain(resistor(330))},
            common=14.0,
            lead=chain(bulb(12.0, 0.06, tolerance=0.2)),
        )
        lead = shared(made, "white", "yellow").elements[0]
        facts = shared(read(made, across={"bulb": lead.voltage.usual}), "white", "yellow").elements[0]
        assert row(facts.voltage) == pytest.approx([times * lead.voltage.usual for times in (0.98, 1.0, 1.02)])
        # With less on there is no more across it.
        alone = shared(read(made, across={"bulb": lead.voltage.usual}), "yellow").elements[0]
        assert alone.voltage.highest <= 1.02 * lead.voltage.usual

    def test_a_regulator_in_it_takes_what_all_else_leaves(self):
        made = plan(
            {"white": chain(resistor(470)), "yellow": chain(resistor(470))},
            common=12.0,
            lead=chain(regulator(0.02, 2.0)),
        )
        before, after = (
            shared(made, "white", "yellow").elements[0],
            shared(read(made, current=0.0202), "white", "yellow").elements[0],
        )
        assert row(after.voltage) == row(before.voltage)
        assert after.current.usual == 0.0202

    def test_of_one_output_alone_it_is_that_outputs_own(self):
        made = three(chain(resistor(100, 0.1)))
        facts = electrical_facts(read(made, current=0.0088, on=("white",))).outputs
        assert (facts["white"].current.usual, facts["white"].basis) == (0.0088, "current")
        assert facts["white"].output is made.outputs["white"]
        assert facts["yellow"].basis is None

    def test_another_circuit_on_it_was_not_measured(self):
        made = read(three(), current=0.0098, on=("white",))
        other = replace(made.outputs["white"], circuit=chain(resistor(2000)))
        assert output_facts(made, other).current.usual == pytest.approx(0.005)
        assert made.has_readings_of(made.outputs["white"])
        assert not made.has_readings_of(made.outputs["yellow"])


class TestOtherStates:
    """10 V on 900 to 1100 ohms: 9.09 to 11.1 mA each."""

    def test_with_more_on(self):
        # Two carry 19.6 mA, 19.2 to 20.0; the third one 9.09 to 11.1 mA. Usual is the plan's 10 mA with those.
        facts = shared(read(three(), current=0.0196, on=ALL[:2]), *ALL)
        assert row(facts.current) == pytest.approx((0.0196 * 0.98 + 0.01 / 1.1, 0.0296, 0.0196 * 1.02 + 0.01 / 0.9))
        assert facts.basis == "bounded"

    def test_with_less_on(self):
        # All carry 28.0 mA at most 28.56; less at least 9.09 mA of the third one leave 19.47 mA for two, less than 22.2.
        facts = shared(read(three(), current=0.028, on=ALL), *ALL[:2])
        assert facts.current.highest == pytest.approx(0.028 * 1.02 - 0.01 / 1.1)
        assert facts.current.lowest == pytest.approx(0.02 / 1.1)
        # Two thirds of what was measured.
        assert facts.current.usual == pytest.approx(0.028 * 2 / 3)

    def test_with_others_on(self):
        """Of what was not on it tells nothing."""
        made = three()
        assert row(shared(read(made, current=0.0104, on=("white",)), "green").current) == row(
            shared(made, "green").current
        )

    def test_behind_a_lead_one_adds_less_than_it_draws_alone(self):
        # Two at 10 V through 1000 ohms, each of 1000: 6.67 mA together, 5 mA alone; 7.5 mA with all.
        made = three(chain(resistor(1000, 0.1)))
        facts = shared(read(made, current=0.0066, on=ALL[:2]), *ALL)
        assert facts.current.lowest >= 0.0066 * 0.98
        assert facts.current.highest == pytest.approx(shared(made, *ALL).current.highest)
        # With fewer on the lead carries no more than was read.
        alone = shared(read(made, current=0.0062, on=ALL[:2]), "white")
        assert alone.current.highest <= 0.0062 * 1.02
        assert alone.elements[0].power.highest <= shared(made, "white").elements[0].power.highest

    def test_a_verdict_gets_no_surer_than_the_reading(self):
        """With more on there is no less than was read, even where the meter shows a little above the plan."""
        made = three(tolerance=0.01)
        read_high = read(made, current=0.0206, on=ALL[:2])
        assert shared(read_high, *ALL[:2]).current.highest > shared(made, *ALL[:2]).current.highest
        assert shared(read_high, *ALL).current.highest >= shared(read_high, *ALL[:2]).current.highest

    def test_what_returns_to_a_rail_is_added(self):
        made = plan({"white": chain(resistor(1000, 0.1)), "rear": to_rail(chain(resistor(1000)))}, track=14.0)
        facts = shared(read(made, current=0.0128, on=("white",)), "white", "rear")
        assert facts.current.usual == pytest.approx(0.0128 + 0.0133)
        assert facts.basis == "lead"

    def test_a_branch_at_a_rail_makes_it_no_matter(self):
        split = chain(parallel(chain(resistor(1000)), to_rail(chain(resistor(1000)))))
        made = plan({"white": chain(resistor(1000, 0.1)), "rear": split}, track=14.0)
        assert row(shared(read(made, current=0.0128, on=("white",)), "white", "rear").current) == row(
            shared(made, "white", "rear").current
        )


class TestWhatDoesNotCount:
    @pytest.mark.parametrize(
        "readings",
        [
            {"current": 0.0},
            {"current": 0.050},
            {"current": 0.003},
            {"across": {"somewhere else": 2.0}},
            {"across": {100: 9.0}},
            # The current fits, but at no voltage that the plan comes to.
            {"current": 0.0231, "voltage": 15.0},
            # One of both is wrong, and nobody knows which.
            {"current": 0.0231, "across": {100: 0.5}},
        ],
    )
    def test_what_contradicts_the_plan(self, readings):
        made = three(chain(resistor(100, 0.05)))
        before, after = shared(made, *ALL), shared(read(made, **readings), *ALL)
        assert (row(after.current), after.basis) == (row(before.current), None)
        assert after.elements == before.elements

    def test_the_voltage_counts_where_only_the_current_is_odd(self):
        after = shared(read(three(track=14.5), current=0.9, voltage=13.0), *ALL)
        assert (after.supply.usual, after.current.usual) == (13.0, pytest.approx(0.039))

    def test_what_flows_half_of_the_time(self):
        made = plan({"white": to_rail(chain(resistor(1000)))}, track=14.0)
        assert shared(read(made, current=0.0131), "white").basis is None

    def test_what_cannot_be_computed(self):
        made = plan({"white": chain(resistor(1000), unknown())}, common=12.0)
        assert isinstance(electrical_facts(read(made, current=0.009)).shared(("white",)), Undetermined)


class TestTogether:
    def worst(self, made: LightingPlan) -> Together:
        found = worst_together(electrical_facts(made), logic_facts(made))
        assert isinstance(found, Together)
        return found

    def test_all_outputs_on(self):
        made = replace(three(chain(resistor(100, 0.05))), keys_are_complete=False)
        worst = self.worst(read(made, current=0.0225))
        assert (worst.current.usual, worst.at_most) == (0.0225, pytest.approx(0.0225 * 1.02))
        assert (worst.basis, worst.weak) == ("lead", ())

    def test_without_anything_in_the_lead(self):
        made = replace(three(), keys_are_complete=False)
        worst = self.worst(read(made, current=0.0291))
        assert (worst.current.usual, worst.basis) == (0.0291, "lead")

    def test_by_the_voltage(self):
        made = replace(three(track=14.5), keys_are_complete=False)
        worst = self.worst(read(made, voltage=13.0))
        assert worst.basis is not None
        assert worst.current.usual == pytest.approx(0.039)


def test_the_bench_reads_what_was_measured():
    made = read(three(chain(resistor(100, 0.1))), current=0.0088, on=("white",))
    facts = electrical_facts(made).outputs["white"]
    assert isinstance(facts, OutputFacts)
    found = readings(made, facts)
    assert found.is_measured
    assert [each.current.usual for each in found.elements] == [0.0088, 0.0088]
    # What was measured was measured of the circuit as it is: with the resistor bridged all is computed.
    bridged = next(each for each in found.faults if (each.wrong, each.place) == ("bridged", 0))
    assert bridged.total == pytest.approx(0.010)


def test_a_diode_in_the_lead_is_driven_too():
    made = plan({name: chain(resistor(1000), led(3.0)) for name in ALL}, track=14.5, lead=chain(diode((0.6, 0.8))))
    facts = shared(read(made, current=0.028), *ALL)
    assert facts.elements[0].current.usual == 0.028
    assert 0.6 < facts.elements[0].voltage.usual < 0.9
