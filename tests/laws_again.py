"""The laws of single elements, and of a chain of them, written down a second time, so that tests need not ask our own.

Only the constants of the laws are taken from the program. A law here gives volts at amperes; SciPy searches.
"""

from __future__ import annotations

from collections.abc import Callable
from math import exp, expm1, log1p

from scipy.optimize import brentq

from lampwright.analysis.electrical.characteristics import GAP_RESISTANCE, LEAST_NEEDS, RISE
from lampwright.analysis.electrical.law import CURRENT_EXPONENT, EMISSION, HOT_OVER_COLD, SERIES_DROP, SERIES_RESISTANCE

Law = Callable[[float], float]

SEARCH = {"xtol": 1e-14, "rtol": 1e-14, "maxiter": 500}


def ohms(resistance: float) -> Law:
    return lambda amperes: resistance * amperes


def led(forward: float, at: float = 0.010, built_in: float = 0.0) -> Law:
    """Shockley's equation solved for the voltage, I = I_S (exp(U / n V_T) - 1), with what is in series with it."""
    inside = min(SERIES_RESISTANCE, SERIES_DROP / at, forward / at / 2)
    saturation = at / expm1((forward - inside * at) / EMISSION)
    return lambda amperes: EMISSION * log1p(amperes / saturation) + (inside + built_in) * amperes


def diode(drop: float, at: float = 0.010) -> Law:
    saturation = at / expm1(drop / EMISSION)
    return lambda amperes: EMISSION * log1p(amperes / saturation)


def bulb(voltage: float, current: float, on: float = 1.0) -> Law:
    """I / I_0 = (V / V_0) ^ 0.55 while that is more than the cold filament has, which is a tenth of V_0 / I_0.

    Where it is on for a share of time only, its resistance is that of the voltage in effect, V times the root of that.
    """

    def volts(amperes: float) -> float:
        cold = voltage / current / HOT_OVER_COLD * amperes
        # I = V / R(V_eff) with R(V) = (V_0 / I_0) (V / V_0) ^ 0.45, solved for V.
        hot = voltage * (amperes / current * on ** ((1 - CURRENT_EXPONENT) / 2)) ** (1 / CURRENT_EXPONENT)
        return max(cold, hot)

    return volts


def regulator(current: float, needs: float = 0.0) -> Law:
    least = max(needs, LEAST_NEEDS)
    return lambda amperes: least * amperes / current if amperes <= current else least + (amperes / current - 1) / RISE


GAP: Law = ohms(GAP_RESISTANCE)


def amperes_at(volts: float, *laws: Law) -> float:
    """Through these in series at `volts`."""
    return amperes_of(in_series(*laws), volts)


def amperes_of(law: Law, volts: float, most: float = 7.0) -> float:
    """At `volts`, searched for in its logarithm up to `most`, for currents go over many powers of ten."""

    def excess(exponent: float) -> float:
        return law(exp(exponent)) - volts

    least = -115.0
    return 0.0 if excess(least) >= 0 else exp(brentq(excess, least, most, **SEARCH))


def in_series(*laws: Law) -> Law:
    return lambda amperes: sum(law(amperes) for law in laws)


def beside(*laws: Law) -> Law:
    """Laws side by side: the volts at which their currents add up. No one of them needs more for all than they do."""

    def volts(amperes: float) -> float:
        most = 1.000001 * min(law(amperes) for law in laws)
        return brentq(lambda at: sum(amperes_of(law, at, 9.0) for law in laws) - amperes, 0.0, most, **SEARCH)

    return volts
