"""The other ways in which the language writes a quantity that is right: "1.5 kohm" is "1500 ohm" and "1k5".

Only exact ones: each reads as the very same number. Knows no fields.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from lampwright.units.dimensions import FRACTIONS, UNITS, Dimension, spaced, strictly, unit_written
from lampwright.units.saying import digits

# What people write: 0.02 A, 400 mA, 1500 ohm and 50 kV, but neither 0.0145 kV nor 3000 mV.
_LEAST = {-6: Decimal(1), -3: Decimal(1), 0: Decimal("0.01"), 3: Decimal(1), 6: Decimal(1)}
_MOST = {-6: Decimal(999), -3: Decimal(999), 0: Decimal(9999), 3: Decimal(9999), 6: Decimal(9999)}
_LETTERS = {0: "R", 3: "k", 6: "M"}


def otherwise(text: str) -> tuple[str, ...]:
    """The same quantity in other units, as a fraction, in letter code; nothing of what is no single quantity."""
    for dimension in Dimension:
        value = strictly(text, dimension)
        if value is not None:
            ways = dict.fromkeys(_ways(text, value, dimension))
            return tuple(way for way in ways if way != spaced(text) and strictly(way, dimension) == value)
    return ()


def _ways(text: str, value: float, dimension: Dimension) -> Iterator[str]:
    if dimension is Dimension.RATE:
        return
    for exponent, name in _units(text, dimension).items():
        number = Decimal(repr(value)).scaleb(-exponent)
        if _LEAST.get(exponent, number) <= number <= _MOST.get(exponent, number):
            yield f"{digits(number)} {name}"
        if dimension is Dimension.RESISTANCE and 1 <= number < 1000:
            yield _letter_code(number, _LETTERS[exponent])
    if dimension is Dimension.POWER:
        yield from (f"{fraction} W" for fraction, watts in FRACTIONS.items() if watts == value)


def _units(text: str, dimension: Dimension) -> dict[int, str]:
    """A unit for each size: the one that `text` has, else the first in the table."""
    known = {unit.exponent: name for name, unit in reversed([*UNITS.items()]) if unit.dimension is dimension}
    written = unit_written(text)
    return {**known, UNITS[written].exponent: written} if written in UNITS else known


def _letter_code(number: Decimal, letter: str) -> str:
    """IEC 60062: the letter stands in the place of the point."""
    whole, _, fraction = digits(number).partition(".")
    return f"{whole}{letter}{fraction}"
