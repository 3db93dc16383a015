"""Preferred resistances, ratings and colour bands: which values are sold, and how they are marked. Plain floats.

Knows no plan: what a value is needed for is the caller's business.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from math import floor, isfinite, log10


def _geometric(size: int) -> tuple[int, ...]:
    # IEC 60063: from E48 on the values are the rounded geometric series; the older, coarser ones are not.
    return tuple(round(100 * 10 ** (step / size)) for step in range(size))


# IEC 60063, one decade each. The usual tolerances are 20, 10, 5, 2 and 1 %.
SERIES: Mapping[str, tuple[int, ...]] = {
    "E6": (10, 15, 22, 33, 47, 68),
    "E12": (10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82),
    "E24": (10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91),
    "E48": _geometric(48),
    "E96": _geometric(96),
}

# Two resistances this close to each other, relatively, differ by float noise only.
_NOISE = 1e-9


def next_up(series: str, resistance: float) -> float:
    """The smallest value of `series` that is at least `resistance`, both in ohms.

    Raises KeyError for a series that is not in `SERIES` and ValueError unless `resistance` is finite and above zero.
    """
    least = resistance * (1 - _NOISE)
    return next(value for value in _values_around(series, resistance) if value >= least)


def next_down(series: str, resistance: float) -> float:
    """The largest value of `series` below `resistance`, both in ohms. Raises as `next_up` does."""
    most = resistance * (1 - _NOISE)
    around = (*_values_around(series, resistance / 10), *_values_around(series, resistance))
    return max(value for value in around if value < most)


# The resistors of a plan are asked for again with each key that is typed.
@lru_cache(maxsize=2048)
def is_preferred(series: str, resistance: float) -> bool:
    """Whether `resistance`, ohms, is a value of `series`. Raises as `next_up` does."""
    return abs(next_up(series, resistance) - resistance) <= _NOISE * resistance


def _values_around(series: str, resistance: float) -> list[float]:
    """The values of the decade of `resistance` and the first of the next one, rising."""
    if not isfinite(resistance) or resistance <= 0:
        raise ValueError(f"a resistance of {resistance} ohm has no preferred value")
    values = SERIES[series]
    decade = floor(log10(resistance)) - len(str(values[0])) + 1
    # The float nearest to the decimal number: 47e-2 is 0.47, where 47 * 10**-2 is not.
    return [float(f"{value}e{decade}") for value in (*values, values[0] * 10)]


# The ratings in watts that resistors with leads are sold in.
RATINGS: tuple[float, ...] = (0.125, 0.25, 0.5, 1.0, 2.0, 5.0)


def next_rating(power: float) -> float | None:
    """The smallest of `RATINGS` that stands `power`, watts; None where even the largest does not."""
    return next((rating for rating in RATINGS if rating >= power * (1 - _NOISE)), None)


# IEC 60062.
_DIGIT_COLOURS = ("black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey", "white")
_MULTIPLIER_COLOURS = ("pink", "silver", "gold", *_DIGIT_COLOURS)
_LEAST_EXPONENT = -3

# Only the colours that every edition and every chart agree on, as shares; 20 % is the absence of a band.
_TOLERANCE_COLOURS: Mapping[float, tuple[str, ...]] = {
    0.2: (),
    0.1: ("silver",),
    0.05: ("gold",),
    0.02: ("red",),
    0.01: ("brown",),
    0.005: ("green",),
    0.0025: ("blue",),
}


def bands(resistance: float, tolerance: float) -> tuple[str, ...]:
    """The colour bands of a resistor, from the end that is read first; ohms, and a share (5 % is 0.05).

    Two digits for 5 % and wider, three for 2 % and tighter, and where two cannot say the value. Empty where the code
    has no bands for it. A link of zero ohm wears a single black band (common practice).
    """
    if resistance == 0:
        return ("black",)
    tolerance_bands = _tolerance_bands(tolerance)
    if tolerance_bands is None or not isfinite(resistance) or resistance < 0:
        return ()
    digits, exponent = _digits(resistance, 2 if tolerance > 0.03 else 3)
    place = exponent - _LEAST_EXPONENT
    if digits == "" or not 0 <= place < len(_MULTIPLIER_COLOURS):
        return ()
    return (*(_DIGIT_COLOURS[int(digit)] for digit in digits), _MULTIPLIER_COLOURS[place], *tolerance_bands)


def _tolerance_bands(tolerance: float) -> tuple[str, ...] | None:
    near = (bands for share, bands in _TOLERANCE_COLOURS.items() if abs(share - tolerance) <= _NOISE)
    return next(near, None)


def _digits(resistance: float, least: int) -> tuple[str, int]:
    """The significant digits of `resistance`, `least` or three, and the exponent of ten of the last; "" if more."""
    mantissa, exponent = f"{resistance:.8e}".split("e")
    digits = mantissa.replace(".", "").rstrip("0").ljust(least, "0")
    return (digits, int(exponent) - len(digits) + 1) if len(digits) <= 3 else ("", 0)
