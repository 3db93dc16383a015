"""The light and life of bulbs against the re-rating table of the lamp handbooks, and LEDs against their currents.

Source, read second-hand: Fink and Beaty, Standard Handbook for Electrical Engineers, 11th ed., p. 22-8, as quoted by
reference pages: light as the 3.4 to 3.5th power of voltage, life as the -12 to -16th. The table beside them is derived
from 3.5 and -12.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from analysis.circuits import bulb, chain, diode, led, resistor, solved
from lampwright.analysis.electrical.light import bulb_life, bulb_light, lamp_light
from lampwright.model.circuit import Led


@pytest.mark.parametrize(
    ("share", "light", "life"),
    [
        (0.5, 0.088, 4096),
        (0.8, 0.458, 14.6),
        (0.9, 0.692, 3.54),
        (0.95, 0.836, 1.85),
        (1.0, 1.0, 1.0),
        (1.05, 1.186, 0.557),
        (1.1, 1.396, 0.319),
        (1.2, 1.893, 0.112),
    ],
)
def test_the_re_rating_table(share: float, light: float, life: float) -> None:
    assert bulb_light(share) == pytest.approx(light, abs=6e-4)
    assert bulb_life(share) == pytest.approx(life, rel=5e-3)


def test_a_dark_bulb_lives_for_ever() -> None:
    assert (bulb_light(0.0), bulb_life(0.0)) == (0.0, float("inf"))


def test_half_wave_gives_about_a_third_of_a_bulbs_light() -> None:
    # Common practice says 0.71 of the voltage in effect, and about 0.3 of the light.
    assert bulb_light(0.5**0.5) == pytest.approx(0.3, abs=0.01)


def test_the_light_of_an_led_goes_with_its_current() -> None:
    one = lamp_light(solved(chain(resistor(1000), led(3.0)), 13.0).elements[1])
    other = lamp_light(solved(chain(resistor(2000), led(3.0)), 13.0).elements[1])
    assert one is not None
    assert other is not None
    assert one.kind == other.kind
    # Twice the resistance halves the current but for the little that the forward voltage follows it.
    assert one.amount == pytest.approx(2 * other.amount, rel=0.03)


def test_the_light_of_a_bulb_goes_with_its_rated_power() -> None:
    small, large = (lamp_light(solved(chain(bulb(12.0, amperes)), 12.0).elements[0]) for amperes in (0.03, 0.06))
    assert small is not None
    assert large is not None
    assert large.amount == pytest.approx(2 * small.amount)
    assert small.kind == large.kind


def test_lamps_of_two_kinds_and_colours_are_not_compared() -> None:
    lamp = led(3.0)
    assert lamp.lamp is not None
    assert isinstance(lamp.lamp.kind, Led)
    red = replace(lamp, lamp=replace(lamp.lamp, kind=replace(lamp.lamp.kind, colour="red")))
    facts = solved(chain(resistor(1000), lamp, red, diode(), bulb(1.5, 0.015)), 13.0).elements
    lights = [lamp_light(each) for each in facts]
    assert lights[0] is None
    assert lights[3] is None
    assert len({light.kind for light in lights if light is not None}) == 3
