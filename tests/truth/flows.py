"""What flows in such a plan, solved with SciPy. Nothing here imports the analysis.

Kirchhoff's laws are anybody's, and the bulb's exponents are published. The law of an LED is no oracle's: that its
voltage rises by 52 mV for each factor e, behind ten ohms of its own, is from memory here as it is in the analysis.
"""

from __future__ import annotations

import math
from functools import cache

from published import BULB_EXPONENT, HOT_OVER_COLD
from scipy.optimize import brentq, minimize_scalar
from specimens import Branch, Bulb, Output, Plan

EMISSION, TEST_CURRENT = 0.052, 0.010
"""Volts per factor e of an LED's current; amperes at which its forward voltage holds."""


def led_volts(forward: float, amperes: float) -> float:
    """Shockley's equation with ten ohms in series, through the forward voltage at the test current."""
    inside = min(10.0, 0.2 / TEST_CURRENT)
    saturation = TEST_CURRENT / math.expm1((forward - inside * TEST_CURRENT) / EMISSION)
    return EMISSION * math.log1p(amperes / saturation) + inside * amperes


def bulb_amperes(bulb: Bulb, volts: float) -> float:
    """The power law, and the cold resistance where that lets less through."""
    cold = bulb.volts / bulb.amperes / HOT_OVER_COLD
    return min(bulb.amperes * (volts / bulb.volts) ** BULB_EXPONENT, volts / cold)


def half_wave_amperes(bulb: Bulb, volts: float) -> float:
    """While `volts` are there, which is half of the time: the filament settles at their root of the mean square."""
    effective = volts * math.sqrt(0.5)
    return volts * bulb_amperes(bulb, effective) / effective if volts else 0.0


def flows(branch: Branch, supply: float, ohms: float, corner: int, *, rail: bool = False) -> float:
    """Amperes in `branch`, with its LEDs at the lowest (0), usual (1) or highest (2) forward voltage."""
    if supply <= 0:
        return 0.0
    if isinstance(branch.lamps, Bulb):
        bulb, law = branch.lamps, half_wave_amperes if rail else bulb_amperes
        if not ohms:
            return law(bulb, supply)
        volts = brentq(lambda at: at + ohms * law(bulb, at) - supply, 0.0, supply, xtol=1e-13)
        return law(bulb, volts)
    forward = [(led.volts[0], sum(led.volts) / 2, led.volts[1])[corner] for led in branch.lamps]

    def left(amperes: float) -> float:
        return sum(led_volts(each, amperes) for each in forward) + ohms * amperes - supply

    return float(brentq(left, 0.0, supply / ohms, xtol=1e-16))


def supplies(plan: Plan, *, rail: bool = False) -> tuple[float, float, float]:
    """Volts behind the decoder: lowest, usual, highest. To a rail there is one diode of its two in the way."""
    low, high = plan.track
    drop = plan.drop / 2 if rail else plan.drop
    return low - drop, (low + high) / 2 - drop, high - drop


def corners(plan: Plan, branch: Branch, *, rail: bool = False) -> tuple[float, float, float]:
    """Amperes in the cold corner, with usual values, in the hot corner."""
    return _corners(supplies(plan, rail=rail), branch, rail=rail)


@cache
def _corners(volts: tuple[float, float, float], branch: Branch, *, rail: bool) -> tuple[float, float, float]:
    low, usual, high = volts
    return (
        flows(branch, low, branch.ohms * (1 + branch.tolerance), 2, rail=rail),
        flows(branch, usual, branch.ohms, 1, rail=rail),
        flows(branch, high, branch.ohms * (1 - branch.tolerance), 0, rail=rail),
    )


def hottest(plan: Plan, output: Output) -> float:
    """Amperes that an output draws at most."""
    return sum(corners(plan, branch, rail=output.rail)[2] for branch in output.branches)


def heat(plan: Plan, branch: Branch) -> float:
    """Watts at most in the resistor, over all values inside its tolerance."""
    return _heat(supplies(plan)[2], branch)


@cache
def _heat(supply: float, branch: Branch) -> float:
    ends = branch.ohms * (1 - branch.tolerance), branch.ohms * (1 + branch.tolerance)

    def cool(ohms: float) -> float:
        return -ohms * flows(branch, supply, ohms, 0) ** 2

    inner = minimize_scalar(cool, bounds=ends, method="bounded").fun if branch.tolerance else 0.0
    return float(-min(inner, *map(cool, ends)))


def bulb_volts(plan: Plan, branch: Branch) -> tuple[float, float, float]:
    """Volts across the bulb in the three corners."""
    ohms = branch.ohms * (1 + branch.tolerance), branch.ohms, branch.ohms * (1 - branch.tolerance)
    low, usual, high = (
        supply - ohm * amperes for supply, ohm, amperes in zip(supplies(plan), ohms, corners(plan, branch), strict=True)
    )
    return low, usual, high


def surge(plan: Plan, output: Output) -> float:
    """Amperes with cold filaments."""
    total, supply = 0.0, supplies(plan)[2]
    for branch in output.branches:
        if isinstance(branch.lamps, Bulb):
            cold = branch.lamps.volts / branch.lamps.amperes / HOT_OVER_COLD
            total += supply / (cold + branch.ohms * (1 - branch.tolerance))
        else:
            total += corners(plan, branch)[2]
    return total
