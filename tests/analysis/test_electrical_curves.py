"""The algebra of current-voltage curves, by values worked out by hand."""

from __future__ import annotations

import math

import pytest

from lampwright.analysis.electrical.curves import WIRE, Interval, junction, ohmic, parallel, series

GAP = ohmic(math.inf)
LED = junction(3.0, 0.0)


@pytest.mark.parametrize(
    ("curve", "voltage", "low", "high"),
    [
        (ohmic(100), 12, 0.12, 0.12),
        (ohmic(100), -12, -0.12, -0.12),
        (WIRE, 0, -math.inf, math.inf),
        (WIRE, 1e-9, math.inf, math.inf),
        (GAP, 1000, 0, 0),
        (LED, -50, 0, 0),
        (LED, 2.999, 0, 0),
        (LED, 3, 0, math.inf),
        (LED, 3.001, math.inf, math.inf),
        (junction(3.0, 1000.0), 13, 0.010, 0.010),
        (series(ohmic(1000), LED), 13, 0.010, 0.010),
        (series(ohmic(1000), LED, LED), 13, 0.007, 0.007),
        (series(ohmic(1000), LED, LED), 5.9, 0, 0),
        (series(ohmic(300), ohmic(200), WIRE), 5, 0.010, 0.010),
        (series(ohmic(300), GAP), 5, 0, 0),
        (parallel(ohmic(300), ohmic(150)), 3, 0.030, 0.030),
        (parallel(ohmic(300), WIRE), 0, -math.inf, math.inf),
        (parallel(ohmic(300), GAP), 3, 0.010, 0.010),
        (parallel(LED, ohmic(300)), 2.7, 0.009, 0.009),
        (parallel(LED, ohmic(300)), 3, 0.010, math.inf),
        (parallel(LED, junction(2.0, 100.0)), 2.5, 0.005, 0.005),
        (series(ohmic(900), parallel(ohmic(300), ohmic(150))), 10, 0.010, 0.010),
        # The LED takes over once 300 ohm alone would hold more than its 3 V: at 10 mA, so at 12 V in all.
        (series(ohmic(900), parallel(LED, ohmic(300))), 12, 0.010, 0.010),
        (series(ohmic(900), parallel(LED, ohmic(300))), 6, 0.005, 0.005),
        (series(ohmic(900), parallel(LED, ohmic(300))), 21, 0.020, 0.020),
    ],
)
def test_current_at_a_voltage(curve, voltage, low, high):
    assert curve.currents_at(voltage) == pytest.approx((low, high), rel=1e-12)


@pytest.mark.parametrize(
    ("curve", "current", "low", "high"),
    [
        (ohmic(100), 0.12, 12, 12),
        (WIRE, 5, 0, 0),
        (GAP, 0, -math.inf, math.inf),
        (GAP, 1e-9, math.inf, math.inf),
        (LED, 0, -math.inf, 3),
        (LED, 0.02, 3, 3),
        (LED, -0.02, -math.inf, -math.inf),
        (series(LED, LED), 0, -math.inf, 6),
        (series(LED, ohmic(100), LED), 0.01, 7, 7),
        (parallel(LED, junction(2.0, 100.0)), 0.005, 2.5, 2.5),
        (parallel(LED, junction(2.0, 100.0)), 0.015, 3, 3),
        (parallel(), 0, -math.inf, math.inf),
        (series(), 7, 0, 0),
    ],
)
def test_voltage_at_a_current(curve, current, low, high):
    assert curve.voltages_at(current) == pytest.approx((low, high), rel=1e-12)


def test_seen_from_the_supply_is_what_a_branch_draws_away():
    seen = junction(3.0, 1000.0).seen_from(13.0)
    assert seen.currents_at(0) == pytest.approx((-0.010, -0.010))
    assert seen.currents_at(10) == (0, 0)
    assert seen.currents_at(12) == (0, 0)


def test_contradicting_ideal_parts_have_no_solution_and_the_first_has_its_way():
    assert parallel(WIRE, LED.seen_from(13.0)).voltages_at(7) == Interval(0, 0)
    assert parallel(LED.seen_from(13.0), WIRE).voltages_at(-7) == Interval(10, 10)


def test_a_curve_never_falls():
    curve = series(ohmic(47), parallel(LED, series(ohmic(330), LED), ohmic(1200)), junction(0.7, 0.0))
    assert list(curve.voltages) == sorted(curve.voltages)
    assert list(curve.currents) == sorted(curve.currents)
