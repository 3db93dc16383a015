"""What limits the current of each LED, by the wiring alone."""

from __future__ import annotations

from dataclasses import replace

import pytest

from analysis.circuits import bulb, chain, diode, figure, led, parallel, place, plan, resistor
from lampwright.analysis.protection import led_protections, output_protections
from lampwright.analysis.resistors.rewiring import Gap
from lampwright.model.circuit import Board, Driver, PlacedLamp, Regulator, Unreadable

REGULATOR = Regulator(place(), figure(0.01), None)
BOARD = Board(place(), figure(12.0), figure(0.02))
DRIVER = Driver(place(), figure(0.2))
UNREADABLE = Unreadable(place())
UNKNOWN = PlacedLamp(place(), "nobody", None)


def answers(circuit, lead=None):
    return {one.led.name: one.is_protected for one in led_protections(plan({"white": circuit}, lead=lead))}


def lamp():
    return led(3.0, "lamp")


@pytest.mark.parametrize(
    ("beside_it", "expected"),
    [
        ((), False),
        ((resistor(1000),), True),
        ((resistor(0),), False),
        ((REGULATOR,), True),
        ((bulb(12.0, 0.04),), True),
        ((diode(),), False),
        ((BOARD,), False),
        ((DRIVER,), False),
        ((led(2.0, "other", built_in=500.0),), True),
        ((led(2.0, "other"),), False),
        ((chain(diode(), chain(resistor(10))),), True),
        ((parallel(chain(resistor(10)), chain(resistor(10))),), True),
        ((parallel(chain(resistor(10)), chain(diode())),), False),
        ((parallel(chain(resistor(10), diode()), chain(bulb(12.0, 0.04))),), True),
        ((parallel(chain(resistor(10)), chain(resistor(0))),), False),
        ((UNREADABLE,), None),
        ((UNKNOWN,), None),
        ((UNREADABLE, resistor(1000)), True),
        ((parallel(chain(resistor(10)), chain(UNREADABLE)),), None),
        ((parallel(chain(diode()), chain(UNREADABLE)),), False),
        ((parallel(),), None),
        ((parallel(chain(), chain(resistor(10))),), None),
    ],
)
def test_in_series_on_its_way(beside_it, expected):
    for circuit in (chain(*beside_it, lamp()), chain(lamp(), *beside_it)):
        assert answers(circuit)["lamp"] is expected
    # The same in the common lead, and outside a parallel that holds the LED.
    assert answers(chain(lamp()), lead=chain(*beside_it))["lamp"] is expected
    assert answers(chain(*beside_it, parallel(chain(lamp()), chain(diode()))))["lamp"] is expected
    assert answers(chain(chain(lamp()), chain(*beside_it)))["lamp"] is expected


@pytest.mark.parametrize("beside_it", [resistor(1000), REGULATOR, bulb(12.0, 0.04), UNREADABLE])
def test_what_stands_beside_its_way_does_not(beside_it):
    assert answers(chain(parallel(chain(lamp()), chain(beside_it))))["lamp"] is False


def test_built_in_resistor_protects_itself():
    assert answers(chain(led(3.0, "lamp", built_in=1000.0)))["lamp"] is True


def test_one_of_a_pair_behind_a_shared_resistor_and_one_without():
    circuit = chain(parallel(chain(resistor(100), led(3.0, "with")), chain(led(3.0, "without"))))
    assert answers(circuit) == {"with": True, "without": False}
    assert answers(chain(circuit, resistor(10))) == {"with": True, "without": True}


def test_bulbs_and_lamps_that_could_not_be_read_are_none_of_the_leds():
    broken = replace(led(3.0), lamp=replace(led(3.0).lamp, kind=None))
    assert answers(chain(bulb(12.0, 0.04), UNKNOWN, broken)) == {}


def test_a_reversed_led_is_one():
    assert answers(chain(led(3.0, "lamp", backwards=True))) == {"lamp": False}


def test_place_for_a_resistor_is_before_the_led_in_its_innermost_chain():
    inner = chain(diode(), lamp())
    made = plan({"white": chain(parallel(chain(resistor(10)), chain(inner)))})
    (one,) = led_protections(made)
    assert (one.output, one.led, one.gap) == (made.outputs["white"], inner.elements[1], Gap(inner, 1))
    assert one.gap.chain is inner


def test_what_is_lacking_is_named():
    (one,) = led_protections(plan({"white": chain(lamp(), parallel(chain(diode(), UNREADABLE), chain(resistor(10))))}))
    assert (one.lack.span, one.lack.lacks) == (UNREADABLE.span, "a readable element")
    (one,) = led_protections(plan({"white": chain(REGULATOR, lamp(), UNKNOWN)}))
    assert (one.is_protected, one.lack) == (True, None)


def test_unreadable_common_lead_may_protect():
    made = replace(plan({"white": chain(lamp()), "yellow": chain(resistor(10), lamp())}), common_circuit=None)
    assert [one.is_protected for one in led_protections(made)] == [None, True]


def test_an_led_in_the_common_lead_is_protected_by_itself_or_by_every_output():
    behind = {"white": chain(resistor(100), bulb(12.0, 0.04)), "yellow": chain(), "green": chain(bulb(12.0, 0.04))}

    def shared(circuits, *lead):
        (one,) = [one for one in led_protections(plan(circuits, lead=chain(lamp(), *lead))) if one.output is None]
        return one.is_protected

    assert shared(behind) is True
    assert shared({**behind, "violet": chain(diode())}) is False
    assert shared({**behind, "violet": chain(diode())}, resistor(10)) is True
    assert shared({**behind, "violet": None}) is None


def test_outputs_in_order_and_unreadable_ones_left_out():
    made = plan({"white": chain(led(3.0, "a"), led(3.0, "b")), "yellow": None, "green": chain(led(3.0, "c"))})
    assert [one.led.name for one in led_protections(made)] == ["a", "b", "c"]
    assert list(output_protections(made, made.outputs["yellow"])) == []
