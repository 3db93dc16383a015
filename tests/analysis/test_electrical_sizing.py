"""Resistors that cure: the smallest preferred value, proved by computing again, in any place of a circuit."""

from __future__ import annotations

from dataclasses import replace

import pytest

import laws_again
from analysis.circuits import bulb, chain, diode, figure, led, parallel, place, plan, resistor
from lampwright.analysis.electrical import electrical_facts
from lampwright.analysis.electrical.facts import OutputFacts
from lampwright.analysis.resistors.preferred import SERIES
from lampwright.analysis.resistors.rewiring import Gap, chains_to, narrowed, put, rewired
from lampwright.analysis.resistors.sizing import (
    MostCurrent,
    facts_of,
    proposed,
    rating_needed,
    size_resistor,
    smallest_resistance,
    with_resistor,
)
from lampwright.model.circuit import Unreadable
from lampwright.model.settings import Settings
from lampwright.model.stock import StockResistor
from lampwright.model.values import Figure, Origin
from laws_again import amperes_at, ohms


def white(circuit, **fed):
    made = plan({"white": circuit}, **fed)
    return made, made.outputs["white"]


def spread(resistor):
    return resistor.resistance.lowest, resistor.resistance.usual, resistor.resistance.highest


class TestReplacingAResistor:
    def test_smallest_value_that_keeps_both(self):
        old, lamp = resistor(470, 0.05), led((2.8, 3.0, 3.3))
        made, output = white(chain(old, lamp), common=13.1)
        # Usual 10.1 V / 10 mA are 1010 ohm, so 1.2 kohm; hot 10.3 V / 20 mA are 515 ohm at 5 % less, or fewer, for
        # the LED takes more than 2.8 V at 20 mA.
        assert size_resistor(made, output, old, lamp, MostCurrent(0.010, 0.020), "E12") == 1200
        assert size_resistor(made, output, old, lamp, MostCurrent(0.010, 0.020), "E24") == 1100
        # Hot alone: 2.94 V at 20 mA leave 508 ohm, 535 with 5 % less.
        assert size_resistor(made, output, old, lamp, MostCurrent(1.0, 0.020), "E12") == 560
        # The hot corner decides where it is the stricter one: 10.3 / 8 mA / 0.95 = 1355 ohm, or a few more.
        assert size_resistor(made, output, old, lamp, MostCurrent(0.010, 0.008), "E12") == 1500

    @pytest.mark.parametrize("series", SERIES)
    @pytest.mark.parametrize("amperes", [0.0007, 0.003, 0.0101, 0.02])
    def test_proved_and_the_next_one_down_is_not_enough(self, series, amperes):
        old, lamp = resistor(470, 0.05), led((2.8, 3.0, 3.3))
        made, output = white(chain(old, lamp), common=13.1)
        value = size_resistor(made, output, old, lamp, MostCurrent(amperes, 1.0), series)

        def usual(resistance):
            return with_resistor(made, output, old, proposed(made, old, resistance)).current.usual

        assert usual(value) <= amperes
        below = [number * 10.0**power for number in SERIES[series] for power in range(-1, 6)]
        below = [number for number in below if number < value * 0.999]
        assert usual(max(below)) > amperes

    def test_none_where_none_exists(self):
        old, lamp = resistor(470), led(3.0)
        made, output = white(chain(old, lamp), common=13.0)
        assert size_resistor(made, output, old, lamp, MostCurrent(0.5e-6, 0.5e-6)) is None
        beside = chain(parallel(chain(old), chain(lamp)))
        made, output = white(beside, common=13.0)
        assert size_resistor(made, output, old, lamp, MostCurrent(0.010, 0.020)) is None

    def test_the_series_of_the_club_unless_given(self):
        old, lamp = resistor(470), led(3.0)
        made, output = white(chain(old, lamp), common=13.0)
        made = replace(made, settings=Settings(series="E24"))
        assert size_resistor(made, output, old, lamp, MostCurrent(0.0095, 1.0)) == 1100

    def test_with_others_in_its_way_and_in_the_common_lead(self):
        old, lamp, shared = resistor(100), led(3.0), resistor(300)
        made, output = white(chain(old, lamp), common=13.0, lead=chain(shared))
        wanted = MostCurrent(0.010, 0.010)
        assert size_resistor(made, output, old, lamp, wanted) == 820
        assert size_resistor(made, output, shared, lamp, wanted) == 1000

    def test_an_led_elsewhere_has_no_answer(self):
        made, output = white(chain(resistor(100), led(3.0)), common=13.0)
        assert size_resistor(made, output, output.circuit.elements[0], led(3.0), MostCurrent(1, 1)) is None

    def test_undetermined_output_has_no_answer(self):
        old, lamp = resistor(100), led(3.0)
        made, output = white(chain(old, lamp, Unreadable(place())), common=13.0)
        assert size_resistor(made, output, old, lamp, MostCurrent(1, 1)) is None

    @pytest.mark.parametrize("guess", [1e-3, 1.0, 470.0, 999.0, 1000.0, 1200.0, 1e5, 1e12])
    @pytest.mark.parametrize(("amperes", "value"), [(0.010, 1000), (10.0, 1), (1.1e-6, 10e6), (0.5e-6, None)])
    def test_a_guess_changes_nothing_but_the_work(self, guess, amperes, value):
        old, lamp = resistor(470), led(3.0)
        made, output = white(chain(old, lamp), common=13.0 - 1e-3)
        asked = []

        def fits(facts):
            asked.append(facts)
            return facts_of(facts, lamp).current.usual <= amperes

        assert smallest_resistance(made, output, old, fits, guess=guess) == value
        # Beside the right one, it and the next one down are computed; far from it, some more than without a guess.
        assert len(asked) <= (4 if value and abs(guess - value) < 10 else 16)


class TestPuttingOneIn:
    def test_for_an_led_that_nothing_protects(self):
        lamp = led(3.0)
        inner = chain(lamp)
        made, output = white(chain(parallel(inner, chain(resistor(1000), led(2.0)))), common=13.0)
        # 10 V / 10 mA are 1 kohm; with 5 % less the hot current is 10.5 mA.
        assert size_resistor(made, output, Gap(inner, 0), lamp, MostCurrent(0.010, 0.020)) == 1000
        assert size_resistor(made, output, Gap(inner, 0), lamp, MostCurrent(0.010, 0.010)) == 1200

    def test_the_facts_with_it(self):
        lamp = led(3.0)
        made, output = white(chain(lamp), common=13.0)
        for index in (0, 1):
            slot = Gap(output.circuit, index)
            facts = with_resistor(made, output, slot, proposed(made, slot, 1000))
            assert facts.current.usual == pytest.approx(0.010)
            assert facts.current.highest == pytest.approx(amperes_at(13.0, ohms(950), laws_again.led(3.0)))
            assert facts_of(facts, lamp).path == f"outputs.white.circuit.{1 - index}"

    def test_what_is_proposed_has_the_tolerance_of_the_house(self):
        made, output = white(chain(led(3.0)), common=13.0)
        slot = Gap(output.circuit, 0)
        assert spread(proposed(made, slot, 1000)) == (950, 1000, 1050)
        rating = Figure.exact(0.25)
        made = replace(made, settings=Settings(resistor_tolerance=0.01, resistor_rating=rating))
        assert spread(proposed(made, slot, 1000)) == (990, 1000, 1010)
        assert proposed(made, slot, 1000).rating == rating
        made = replace(made, settings=Settings(resistor_tolerance=0.0))
        assert spread(proposed(made, slot, 1000)) == (1000, 1000, 1000)


def test_what_is_proposed_keeps_what_is_written_and_nothing_that_was_meant_for_the_old_value():
    made, _ = white(chain(led(3.0)), common=13.0)
    written = resistor(200, 0.1)
    written = replace(written, tolerance=0.1, rating=Figure.exact(0.5, written.span))
    assert spread(proposed(made, written, 1000)) == (900, 1000, 1100)
    assert (proposed(made, written, 1000).rating, proposed(made, written, 1000).span) == (written.rating, written.span)
    # Tolerance and rating come from a catalogue, which has other ones for the new value, and none for a third.
    old = replace(resistor(200, 0.1), rating=figure(0.5))
    made = replace(made, stock=[StockResistor(1000, 0.02, figure(0.25)), StockResistor(1200, 0.01, None)])
    assert spread(proposed(made, old, 1000)) == (980, 1000, 1020)
    assert proposed(made, old, 1000).rating == made.stock[0].rating
    assert spread(proposed(made, old, 1200)) == (1188, 1200, 1212)
    assert proposed(made, old, 1200).rating is None
    assert spread(proposed(made, old, 1500)) == (1425, 1500, 1575)
    assert spread(proposed(made, resistor(0.0), 2000)) == (1900, 2000, 2100)


def test_any_wish_can_be_met():
    """A bulb at no more than its voltage, and an output below a limit."""
    old, lamp = resistor(330, 0.05), bulb(1.5, 0.015)
    made, output = white(chain(old, lamp), common=13.1)

    def is_gentle(facts: OutputFacts) -> bool:
        return facts_of(facts, lamp).voltage.highest <= 1.5

    # 11.6 V over its 15 mA are 773 ohm, which 5 % less than 820 ohm still has: 779.
    assert smallest_resistance(made, output, old, is_gentle, "E12") == 820
    assert smallest_resistance(made, output, old, lambda facts: facts.current.highest <= 0.010, "E12") == 1500


@pytest.mark.parametrize(
    ("power", "share", "rating"),
    [
        (0.0744, 0.5, 0.25),
        (0.0625, 0.5, 0.125),
        (0.0744, 1.0, 0.125),
        (0.3, 0.5, 1.0),
        (3, 0.5, None),
        (float("inf"), 0.5, None),
    ],
)
def test_rating_needed(power, share, rating):
    assert rating_needed(power, share) == rating


class TestRewiring:
    def test_only_the_place_itself_changes(self):
        twin = resistor(100)
        other_twin = replace(twin)
        assert twin == other_twin
        before = chain(other_twin, parallel(chain(led(3.0)), chain(chain(twin))), led(2.0))
        new = resistor(470)
        after = put(before, twin, new)
        assert after.elements[1].branches[1].elements[0].elements == (new,)
        assert after.elements[0] is other_twin
        assert after.elements[1].branches[0].elements[0] is before.elements[1].branches[0].elements[0]
        assert before.elements[1].branches[1].elements[0].elements == (twin,)

    def test_at_the_ends_and_in_the_middle(self):
        first, second, new = led(3.0), led(2.0), resistor(10)
        before = chain(first, second)
        assert put(before, Gap(before, 0), new).elements == (new, first, second)
        assert put(before, Gap(before, 1), new).elements == (first, new, second)
        assert put(before, Gap(before, 2), new).elements == (first, second, new)
        # A chain that only looks the same is another place.
        assert put(before, Gap(replace(before), 0), new).elements == (first, second)

    def test_the_chains_around_a_lamp_and_the_circuit_without_what_stands_beside_it(self):
        lamp, other, shared = led(3.0), led(3.0), resistor(10)
        inner = chain(lamp, parallel(chain(other), chain(shared)))
        middle = chain(chain(diode(), inner))
        whole = chain(shared, parallel(chain(bulb(12.0, 0.04)), middle), parallel(chain(other), chain()))
        assert list(chains_to(whole, lamp)) == [whole, middle, middle.elements[0], inner]
        assert list(chains_to(whole, led(1.0))) == [whole]
        alone = narrowed(whole, lamp)
        assert alone.elements[0] is shared
        assert alone.elements[1].elements[0].elements[1] is inner
        assert alone.elements[2] is whole.elements[2]
        assert narrowed(inner, lamp) is inner
        # What is nowhere has nothing beside it.
        assert narrowed(whole, led(1.0)) == whole

    def test_the_plan_and_its_output_stay_one(self):
        shared = resistor(100)
        made, output = white(chain(led(3.0)), common=13.0, lead=chain(shared))
        new = resistor(470)
        changed, changed_output = rewired(made, output, shared, new)
        assert changed.common_circuit.elements == (new,)
        changed, changed_output = rewired(made, output, Gap(output.circuit, 0), new)
        assert changed.outputs["white"] is changed_output
        assert electrical_facts(changed).outputs["white"].current.usual == pytest.approx(
            amperes_at(13.0, ohms(570), laws_again.led(3.0))
        )
        assert made.outputs["white"].circuit.elements == output.circuit.elements

    def test_an_unreadable_circuit_stays_unreadable(self):
        made, output = white(None, common=13.0)
        made = replace(made, common_circuit=None)
        changed, changed_output = rewired(made, output, resistor(1), resistor(2))
        assert (changed.common_circuit, changed_output.circuit) == (None, None)


def test_weak_figures_stay_weak_when_computed_again():
    old, lamp = resistor(100), led(figure((1.8, 2.1), Origin.SECOND_HAND))
    made, output = white(chain(old, lamp), common=13.0)
    facts = with_resistor(made, output, old, proposed(made, old, 1000))
    assert [fact.element for fact in facts.weak] == [lamp]
