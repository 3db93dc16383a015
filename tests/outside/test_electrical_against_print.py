"""Our figures against worked examples in print: series resistors of LEDs, resistances of bulbs.

All of these were read second-hand, in digests of the sources named beside each case.
"""

from __future__ import annotations

import pytest

from analysis.circuits import bulb, chain, led, plan, resistor, solved
from lampwright.analysis.rewiring import Gap
from lampwright.analysis.sizing import MostCurrent, size_resistor

# Source; supply, forward voltage, current, exact resistance; series and value that the source chooses.
SERIES_RESISTORS = [
    ('Wikipedia "LED circuit", second example', 9.0, 1.8, 5e-3, 1440, "E12", 1500),
    ("worked example of an electronics course page", 9.0, 2.0, 15e-3, 467, "E12", 470),
    ("worked example of a circuit reference page", 6.0, 2.0, 20e-3, 200, "E24", 200),
    ("textbook chapter on an LED with a 9 V battery", 9.0, 3.4, 20e-3, 280, "E12", 330),
    ("laboratory notebook, R = (E - 1.7) * 1000 / I in mA, at 6 V", 6.0, 1.7, 20e-3, 215, "E12", 220),
    ("the same at 9 V", 9.0, 1.7, 20e-3, 365, "E12", 390),
    ("the same at 12 V", 12.0, 1.7, 20e-3, 515, "E12", 560),
    ("the same at 24 V", 24.0, 1.7, 20e-3, 1115, "E12", 1200),
    # This source rounds 2040 ohm down to 2.0 kohm; we always round up, as the others do.
    ('Wikipedia "LED circuit", first example, rounded up', 12.0, 1.8, 5e-3, 2040, "E24", 2200),
]


@pytest.mark.parametrize("case", SERIES_RESISTORS, ids=lambda case: case[0])
def test_series_resistor_of_an_led(case):
    _, supply, forward, amperes, exact, series, value = case
    # Printed to the whole ohm.
    assert solved(chain(resistor(exact), led(forward)), supply).current.usual == pytest.approx(amperes, rel=2e-3)
    lamp = led(forward)
    circuit = chain(lamp)
    made = plan({"white": circuit}, common=supply)
    wanted = MostCurrent(usual=amperes, highest=1.0)
    assert size_resistor(made, made.outputs["white"], Gap(circuit, 0), lamp, wanted, series) == value


@pytest.mark.parametrize(
    ("forward", "exact"),
    # A hackerspace's wiki: three colours at 3.3 V and 10 mA.
    [(1.8, 150), (1.9, 140), (2.2, 110)],
)
def test_series_resistors_at_a_low_supply(forward, exact):
    assert solved(chain(resistor(exact), led(forward)), 3.3).current.usual == pytest.approx(10e-3)


@pytest.mark.parametrize(
    ("volts", "amperes", "ohms"),
    [
        # Halliday, Resnick and Walker, Fundamentals of Physics, a flashlight bulb of 2.9 V and 0.30 A: 9.67 ohm hot.
        (2.9, 0.30, 9.67),
        # Wikipedia "Incandescent light bulb": one of 100 W at 120 V has 144 ohm.
        (120.0, 100 / 120, 144),
    ],
)
def test_bulb_is_its_voltage_over_its_current(volts, amperes, ohms):
    lamp = solved(chain(bulb(volts, amperes)), volts).elements[0]
    assert lamp.voltage.usual / lamp.current.usual == pytest.approx(ohms, rel=1e-3)
    assert lamp.current.usual == pytest.approx(amperes)


def test_bulb_of_1_5_volts_on_12_volts():
    # Common practice of the trade: R = (V - 1.5) / I, which takes (V - 1.5) * I; 10.5 V at 15 mA are 157.5 mW.
    series_resistor = solved(chain(resistor(10.5 / 0.015), bulb(1.5, 0.015)), 12.0).elements[0]
    assert series_resistor.current.usual == pytest.approx(0.015)
    assert series_resistor.power.usual == pytest.approx(0.1575)


def test_loss_of_a_series_resistor_is_the_rest_of_the_voltage_times_the_current():
    # (Vs - Vf) * I, as Wikipedia "LED circuit" has it: 12 V, 1.8 V, 5 mA give 51 mW.
    series_resistor = solved(chain(resistor(2040), led(1.8)), 12.0).elements[0]
    assert series_resistor.power.usual == pytest.approx(0.051)
