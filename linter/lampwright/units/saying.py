"""Turns SI floats into what an installer writes: 0.027 becomes "27 mA". Reads nothing."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from math import isfinite

from lampwright.units.dimensions import FRACTIONS, UNITS, Dimension

# Which unit is said, with the smallest size that is said in it; the last one takes what is smaller still.
_SAID: Mapping[Dimension, tuple[tuple[str, float], ...]] = {
    Dimension.VOLTAGE: (("V", 0.1), ("mV", 0)),
    Dimension.CURRENT: (("A", 1), ("mA", 1e-4), ("\N{MICRO SIGN}A", 0)),
    Dimension.RESISTANCE: (("Mohm", 1e6), ("kohm", 1e3), ("ohm", 0)),
    Dimension.POWER: (("W", 1), ("mW", 0)),
    Dimension.SHARE: (("%", 0),),
    Dimension.RATE: (("per minute", 0),),
    Dimension.TEMPERATURE: (("°C", 0),),
}

# Below this nothing in a locomotive differs from zero, and its zeros would fill a line.
_NOTHING = 1e-15


def say(value: float, dimension: Dimension, significant: int = 3) -> str:
    """`value` (SI) with the unit of its size, rounded to `significant` digits: "1.2 kohm", "40 %", "60 per minute".

    What this says of a value from zero to 1e50 `read` reads. A negative or infinite one is only for people.
    """
    counted = value * 60 if dimension is Dimension.RATE else value
    if not isfinite(counted):
        return f"{counted} {dimension.value}"
    return say_exactly(Decimal(f"{counted:.{significant}g}"), dimension)


def say_rating(power: float) -> str:
    """A resistor's rating as it is sold: "1/4 W" where a fraction is usual, "2 W", "62.5 mW" where not."""
    named = (fraction for fraction, watts in FRACTIONS.items() if watts == power)
    return next((f"{fraction} W" for fraction in named), say(power, Dimension.POWER))


def say_exactly(value: Decimal, dimension: Dimension) -> str:
    """`value` with all its digits. It is in SI, but in flashes per minute where it is a rate."""
    size = abs(value)
    if size < _NOTHING:
        return f"0 {dimension.value}"
    unit = next(unit for unit, lowest in _SAID[dimension] if size >= lowest)
    return f"{digits(value.scaleb(-UNITS[unit].exponent))} {unit}"


def digits(value: Decimal) -> str:
    """`value` as a plan writes numbers: no exponent, no zeros at the end of a fraction."""
    return f"{value.normalize():f}"
