"""What holds of every characteristic, and where each has its corners; the laws stand once more in `laws_again`."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from scipy.optimize import brentq

import laws_again
from lampwright.analysis.electrical.characteristics import (
    GAP_RESISTANCE,
    LEAST_NEEDS,
    LEAST_RESISTANCE,
    RISE,
    Filament,
    Junction,
    Limiter,
    Ohmic,
    junction,
    limiter,
    ohmic,
)
from lampwright.analysis.electrical.law import CURRENT_EXPONENT, EMISSION, HOT_OVER_COLD


def filament(voltage: float, current: float) -> Filament:
    return Filament(voltage, current, CURRENT_EXPONENT, voltage / current / HOT_OVER_COLD, current)


# Each with the same law written down again.
ALL = {
    "wire": (ohmic(0.0), laws_again.ohms(LEAST_RESISTANCE)),
    "resistor": (ohmic(470.0), laws_again.ohms(470.0)),
    "gap": (ohmic(math.inf), laws_again.GAP),
    "red LED": (junction(1.8, 0.010, EMISSION, 10.0, 0.0), laws_again.led(1.8)),
    "white LED": (junction(3.2, 0.020, EMISSION, 10.0, 0.0), laws_again.led(3.2, 0.020)),
    "LED with a resistor": (junction(3.0, 0.010, EMISSION, 10.0, 1000.0), laws_again.led(3.0, built_in=1000.0)),
    "diode": (junction(0.7, 0.010, EMISSION, 0.0, 0.0), laws_again.diode(0.7)),
    "many diodes": (junction(30.0, 0.010, EMISSION, 0.0, 0.0), laws_again.diode(30.0)),
    "micro bulb": (filament(1.5, 0.015), laws_again.bulb(1.5, 0.015)),
    "cab bulb": (filament(12.0, 0.06), laws_again.bulb(12.0, 0.06)),
    "regulator": (limiter(0.010, 2.0), laws_again.regulator(0.010, 2.0)),
    "ideal regulator": (limiter(0.010, 0.0), laws_again.regulator(0.010)),
}
CHARACTERISTICS = pytest.mark.parametrize(("characteristic", "law"), ALL.values(), ids=ALL)

CHARACTERISTIC = pytest.mark.parametrize("characteristic", [one for one, _ in ALL.values()], ids=ALL)

CURRENTS = [factor * 10.0**power for power in range(-15, 2) for factor in (1.1, 2.3, 4.9)]


@CHARACTERISTICS
def test_it_is_its_law(characteristic, law):
    for current in CURRENTS:
        assert characteristic.tangent(current)[0] == pytest.approx(law(current), rel=1e-11), current


@CHARACTERISTICS
def test_the_slope_of_the_tangent_is_the_derivative(characteristic, law):
    for current in CURRENTS:
        step = 1e-5 * current
        slope = (law(current + step) - law(current - step)) / (2 * step)
        assert characteristic.tangent(current)[1] == pytest.approx(slope, rel=1e-5), current


@CHARACTERISTICS
def test_the_current_at_a_voltage_is_where_the_tangent_has_it(characteristic, law):
    for current in CURRENTS:
        voltage = characteristic.tangent(current)[0]
        found = characteristic.current_at(voltage)
        # Where a junction is hardly on, the last bits of its voltage say less of its current.
        assert found == pytest.approx(current, rel=1e-9), current
        assert law(found) == pytest.approx(voltage, rel=1e-9), current


@CHARACTERISTIC
def test_its_voltage_rises_with_the_current(characteristic):
    rising = [0.0, 1e-310, 1e-300, *(10.0 ** (power / 4) for power in range(-1180, 17))]
    points = [characteristic.tangent(current) for current in rising]
    assert all(one[0] <= other[0] for one, other in pairwise(points))
    assert all(slope > 0 for _, slope in points)
    assert points[-1][0] > points[0][0]


@CHARACTERISTIC
@pytest.mark.parametrize("extreme", [0.0, 5e-324, 1e-300, 1e-16, 1.0, 1000.0, 1e6])
def test_no_voltage_or_current_overflows(characteristic, extreme):
    voltage, slope = characteristic.tangent(extreme)
    current = characteristic.current_at(extreme)
    assert all(math.isfinite(value) and value >= 0 for value in (voltage, slope, current))
    assert math.isfinite(characteristic.onward(max(current, 1e-300), (voltage, slope), extreme))


@CHARACTERISTIC
def test_it_begins_at_a_current_that_it_is_made_for(characteristic):
    # Where it is bent the first tangent must not be level or upright.
    if not isinstance(characteristic, Ohmic):
        assert 1e-4 < characteristic.start < 1
        assert 1e-3 < characteristic.tangent(characteristic.start)[1] < 1e4


@CHARACTERISTICS
@pytest.mark.parametrize("supply", [0.3, 1.9, 3.5, 14.0, 27.0])
@pytest.mark.parametrize("resistance", [1.0, 47.0, 1500.0, 1e6])
@pytest.mark.parametrize("start", [1e-9, 1e-3, 1.0])
def test_newtons_method_before_a_resistor_never_turns_round(characteristic, law, supply, resistance, start):
    def missing(exponent: float) -> float:
        current = math.exp(exponent)
        return law(current) + resistance * current - supply

    solution = math.exp(brentq(missing, -700.0, 10.0, xtol=1e-14, rtol=1e-14))
    at, seen = start, []
    for _ in range(60):
        volts, slope = characteristic.tangent(at)
        reached = at + (supply - volts - resistance * at) / (slope + resistance)
        at = max(characteristic.onward(at, (volts, slope), reached), 1e-300)
        seen.append(at - solution)
        if abs(seen[-1]) <= 1e-9 * solution:
            break
    assert abs(seen[-1]) <= 1e-9 * solution
    # From the first step on it stays on one side, but for the last bits.
    close = 1e-7 * solution
    assert all(one >= -close for one in seen) or all(one <= close for one in seen), seen


class TestOhmic:
    def test_zero_is_a_wire_and_infinity_a_gap(self):
        assert ohmic(0.0).resistance == LEAST_RESISTANCE
        assert ohmic(math.inf).resistance == GAP_RESISTANCE
        assert ohmic(820.0).resistance == 820.0
        # Neither shows: a wire at an ampere, a gap at a thousand volts.
        assert ohmic(0.0).tangent(1.0)[0] < 1e-6
        assert ohmic(math.inf).current_at(1000.0) < 1e-9


class TestJunction:
    def test_at_its_test_current_it_has_its_forward_voltage(self):
        for forward in (0.1, 0.7, 3.0, 100.0):
            made = junction(forward, 0.010, EMISSION, 10.0, 0.0)
            assert made.tangent(0.010)[0] == pytest.approx(forward, rel=1e-12)
            assert junction(forward, 0.010, EMISSION, 10.0, 470.0).tangent(0.010)[0] == pytest.approx(forward + 4.7)

    def test_its_resistance_takes_half_of_the_forward_voltage_at_most(self):
        # 10 ohm would take 0.5 V of 0.6 V at 50 mA.
        assert junction(0.6, 0.050, EMISSION, 10.0, 0.0).resistance == pytest.approx(6.0)
        assert junction(1.1, 0.050, EMISSION, 10.0, 0.0).resistance == pytest.approx(10.0)

    def test_ten_times_the_current_far_above_saturation(self):
        made = junction(0.7, 0.010, EMISSION, 0.0, 0.0)
        assert made.tangent(0.1)[0] - made.tangent(0.01)[0] == pytest.approx(EMISSION * math.log(10))

    def test_far_below_saturation_it_is_a_resistance(self):
        # V = n V_T I / I_S.
        made = Junction(EMISSION, math.log(1e-3), 0.0, 0.010)
        assert made.tangent(1e-9) == pytest.approx((EMISSION * 1e-6, EMISSION / 1e-3), rel=1e-5)
        assert made.current_at(EMISSION * 1e-6) == pytest.approx(1e-9, rel=1e-5)

    @pytest.mark.parametrize("forward", [0.0, 5e-324, 1e-300, 1e-20, 1e-9, 1e-3])
    def test_a_forward_voltage_of_nothing_is_all_but_a_wire(self, forward):
        made = junction(forward, 0.010, EMISSION, 10.0, 0.0)
        assert made.tangent(0.010)[0] == pytest.approx(forward, abs=1e-6)
        volts, slope = made.tangent(0.005)
        assert 0 <= volts <= 1e-3
        assert slope > 0
        assert made.current_at(volts) == pytest.approx(0.005)

    def test_a_saturation_current_that_no_float_holds(self):
        made = junction(1000.0, 0.010, EMISSION, 0.0, 0.0)
        assert made.log_saturation < -745
        assert made.tangent(0.010)[0] == pytest.approx(1000.0)
        assert made.current_at(1000.0) == pytest.approx(0.010)
        assert made.current_at(12.0) <= 1e-300


class TestFilament:
    made = filament(12.0, 0.06)

    def test_at_its_rating(self):
        assert self.made.tangent(0.06) == pytest.approx((12.0, 200 / CURRENT_EXPONENT))
        assert self.made.current_at(12.0) == pytest.approx(0.06)

    def test_cold_it_is_a_tenth_of_that(self):
        assert self.made.tangent(0.0) == (0.0, 20.0)
        assert self.made.tangent(1e-6) == pytest.approx((20e-6, 20.0))
        assert self.made.current_at(-1.0) == pytest.approx(-0.05)

    def test_both_meet_without_a_jump(self):
        # (V / 12) ^ 0.45 = 1 / 10.
        meet = 12 * 0.1 ** (1 / 0.45)
        current = self.made.current_at(meet)
        assert current == pytest.approx(meet / 20)
        assert self.made.tangent(current * (1 - 1e-9))[0] == pytest.approx(self.made.tangent(current * (1 + 1e-9))[0])


class TestLimiter:
    made = limiter(0.010, 2.0)

    def test_up_to_what_it_needs_it_is_a_resistance(self):
        assert self.made.tangent(0.005) == pytest.approx((1.0, 200.0))
        assert self.made.current_at(1.0) == pytest.approx(0.005)

    def test_above_it_is_all_but_level(self):
        assert self.made.current_at(2.0) == pytest.approx(0.010)
        assert self.made.current_at(22.0) == pytest.approx(0.010 * (1 + 20 * RISE), rel=1e-12)
        assert self.made.tangent(0.010 * (1 + 20 * RISE))[0] == pytest.approx(22.0)

    def test_even_the_best_one_needs_something(self):
        assert limiter(0.010, 0.0) == Limiter(0.010, LEAST_NEEDS, 0.00999)
