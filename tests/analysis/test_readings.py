"""What a voltmeter shows, as planned and with one thing wrong: against sums by hand and against the facts."""

from __future__ import annotations

from math import inf, isclose

import pytest

from analysis.circuits import bulb, chain, diode, driver, led, parallel, plan, regulator, resistor, to_rail
from lampwright.analysis.electrical import electrical_facts
from lampwright.analysis.electrical.facts import OutputFacts
from lampwright.analysis.readings import METER, MOST_ELEMENTS, Fault, Readings, readings
from lampwright.model.circuit import Chain


def read(circuit: Chain, lead: Chain | None = None, common: float = 12.0) -> Readings:
    made = plan({"white": circuit}, common=common, lead=lead)
    facts = electrical_facts(made).outputs["white"]
    assert isinstance(facts, OutputFacts)
    found = readings(made, facts)
    assert isinstance(found, Readings)
    return found


def fault(found: Readings, wrong: str, place: int) -> Fault:
    return next(each for each in found.faults if (each.wrong, each.place) == (wrong, place))


def volts(found: Fault) -> list[float]:
    return [round(each, 3) for each in found.voltages]


def test_as_planned_is_what_the_facts_say() -> None:
    found = read(chain(resistor(1000), led(2.0)))
    assert [round(each.voltage.usual, 9) for each in found.elements] == [10.0, 2.0]
    assert isclose(found.current.usual, 0.010)
    assert (found.supply.usual, found.in_lead) == (12.0, 0)


def test_faults_of_resistors_alone_are_sums_by_hand() -> None:
    found = read(chain(resistor(1000), resistor(2000)))
    assert volts(fault(found, "bridged", 0)) == [0.0, 12.0]
    assert volts(fault(found, "tenfold", 0)) == [10.0, 2.0]
    assert volts(fault(found, "tenth", 1)) == [10.0, 2.0]
    assert isclose(fault(found, "bridged", 1).total, 0.012)


def test_a_meter_across_a_gap_closes_the_circuit() -> None:
    """12 V over 10 Mohm and 1 kohm; beside the gap nothing flows, so that there is nothing to be read."""
    gap = fault(read(chain(resistor(1000), resistor(2000))), "open", 1)
    assert isclose(gap.voltages[1], 12.0 * METER / (METER + 1000), rel_tol=1e-9)
    assert gap.voltages[0] < 1e-6
    assert gap.total < 1e-9


def test_an_led_takes_its_part_of_what_a_meter_shows_across_the_gap() -> None:
    """Through 10 Mohm it gets a microampere, at which it has 2 V less 52 mV for each factor e of current."""
    gap = fault(read(chain(resistor(1000), led(2.0))), "open", 0)
    assert 10.3 < gap.voltages[0] < 10.8
    assert gap.voltages[1] < 0.001


def test_an_open_led_has_the_whole_voltage() -> None:
    assert volts(fault(read(chain(resistor(1000), led(2.0))), "open", 1))[1] == pytest.approx(12.0, abs=0.01)


def test_side_by_side_the_other_branch_goes_on() -> None:
    found = read(chain(parallel(chain(resistor(1000), led(2.0)), chain(resistor(500), led(2.0)))))
    gap = fault(found, "open", 1)
    assert isclose(gap.voltages[2], found.elements[2].voltage.usual)
    assert isclose(gap.voltages[3], found.elements[3].voltage.usual)
    assert isclose(gap.total, found.elements[2].current.usual, rel_tol=1e-6)


def test_a_common_lead_is_read_as_well() -> None:
    found = read(chain(resistor(1000)), lead=chain(resistor(200)))
    assert found.in_lead == 1
    assert [round(each.voltage.usual, 9) for each in found.elements] == [2.0, 10.0]
    assert volts(fault(found, "bridged", 0)) == [0.0, 12.0]
    assert fault(found, "open", 0).voltages[0] == pytest.approx(12.0, abs=0.01)


def test_what_does_not_matter_is_not_read() -> None:
    made = plan({"white": to_rail(chain(resistor(1000)))}, track=14.0, lead=chain(resistor(200)))
    facts = electrical_facts(made).outputs["white"]
    assert isinstance(facts, OutputFacts)
    found = readings(made, facts)
    assert isinstance(found, Readings)
    assert (len(found.elements), found.in_lead) == (1, 0)


def test_kinds_of_elements_and_what_can_be_wrong_with_them() -> None:
    found = read(chain(regulator(0.01, 2.0), diode(), bulb(6.0, 0.02), driver(), resistor(0.0)))
    wrong = {place: [each.wrong for each in found.faults if each.place == place] for place in range(5)}
    assert wrong == {0: ["open", "bridged"], 1: ["open", "bridged"], 2: ["open", "bridged"], 3: [], 4: ["open"]}


def test_a_reversed_led_lights_once_it_is_turned() -> None:
    turned = fault(read(chain(resistor(1000), led(2.0, backwards=True))), "turned", 1)
    assert volts(turned) == [10.0, 2.0]


def test_nothing_limits_what_is_bridged_alone() -> None:
    assert fault(read(chain(resistor(1000))), "bridged", 0).total == inf


def test_large_circuits_have_readings_and_no_faults() -> None:
    found = read(chain(*(resistor(100) for _ in range(MOST_ELEMENTS + 1))))
    assert (len(found.elements), found.faults) == (MOST_ELEMENTS + 1, ())


def test_an_empty_output_has_nothing_to_read() -> None:
    found = read(chain())
    assert (found.elements, found.faults) == ((), ())
