"""The seven kinds of quantity, the closed table of units, and strict reading by it: right or None.

Knows no misspellings and gives no reasons.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from enum import Enum

from lampwright.patterns import pattern
from lampwright.records import dataclass


class Dimension(Enum):
    """A kind of quantity; the value is the unit that names it best."""

    VOLTAGE = "V"
    CURRENT = "A"
    RESISTANCE = "ohm"
    POWER = "W"
    SHARE = "%"
    RATE = "per minute"
    TEMPERATURE = "°C"

    @property
    def word(self) -> str:
        """The kind in plain English, "voltage"."""
        return self.name.lower()


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of the table. One of it is ten to the `exponent`, over `divisor`, of the SI unit that floats are in."""

    dimension: Dimension
    exponent: int = 0
    divisor: int = 1

    def si(self, number: str) -> float:
        """`number` of this unit in SI. The exponent goes in as text, so that "15" milli is the float 0.015 exactly."""
        return float(f"{number}e{self.exponent}") / self.divisor


UNITS: Mapping[str, Unit] = {
    "V": Unit(Dimension.VOLTAGE),
    "mV": Unit(Dimension.VOLTAGE, -3),
    "kV": Unit(Dimension.VOLTAGE, 3),
    "A": Unit(Dimension.CURRENT),
    "mA": Unit(Dimension.CURRENT, -3),
    "\N{MICRO SIGN}A": Unit(Dimension.CURRENT, -6),
    "\N{GREEK SMALL LETTER MU}A": Unit(Dimension.CURRENT, -6),
    "uA": Unit(Dimension.CURRENT, -6),
    "ohm": Unit(Dimension.RESISTANCE),
    "kohm": Unit(Dimension.RESISTANCE, 3),
    "Mohm": Unit(Dimension.RESISTANCE, 6),
    "\N{GREEK CAPITAL LETTER OMEGA}": Unit(Dimension.RESISTANCE),
    "k\N{GREEK CAPITAL LETTER OMEGA}": Unit(Dimension.RESISTANCE, 3),
    "M\N{GREEK CAPITAL LETTER OMEGA}": Unit(Dimension.RESISTANCE, 6),
    "\N{OHM SIGN}": Unit(Dimension.RESISTANCE),
    "k\N{OHM SIGN}": Unit(Dimension.RESISTANCE, 3),
    "M\N{OHM SIGN}": Unit(Dimension.RESISTANCE, 6),
    "W": Unit(Dimension.POWER),
    "mW": Unit(Dimension.POWER, -3),
    "%": Unit(Dimension.SHARE, -2),
    "per minute": Unit(Dimension.RATE, divisor=60),
    "°C": Unit(Dimension.TEMPERATURE),
}

# Nobody needs a longer quantity; the limit keeps every number finite and every pattern quick.
LONGEST = 64

NUMBER = r"[0-9]+(?:\.[0-9]+)?"
SPACE = "[ \N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}]"
FRACTIONS: Mapping[str, float] = {"1/8": 0.125, "1/4": 0.25, "1/2": 0.5}
_QUANTITY = pattern(f"({NUMBER}){SPACE}?({'|'.join(map(re.escape, UNITS))})")
_FRACTION = pattern(f"({'|'.join(FRACTIONS)}){SPACE}?W")

# IEC 60062: the letter stands for the decimal point and the multiplier at once.
_LETTER_CODE = pattern("([0-9]+)([RkKM])([0-9]*)")
_LETTERS: Mapping[str, int] = {"R": 0, "k": 3, "K": 3, "M": 6}


def strictly(text: str, dimension: Dimension) -> float | None:
    """The SI value of a text that is right to the letter and of this dimension; None if it is not."""
    if len(text) > LONGEST:
        return None
    if match := _QUANTITY.fullmatch(text):
        unit = UNITS[match[2]]
        return unit.si(match[1]) if unit.dimension is dimension else None
    if dimension is Dimension.POWER and (match := _FRACTION.fullmatch(text)):
        return FRACTIONS[match[1]]
    if dimension is Dimension.RESISTANCE and (match := _LETTER_CODE.fullmatch(text)):
        return float(f"{match[1]}.{match[3]}e{_LETTERS[match[2]]}")
    return None


def spaced(text: str) -> str:
    """A text that reads strictly with one plain space between number and unit; a letter code as it is."""
    match = _QUANTITY.fullmatch(text)
    return f"{match[1]} {match[2]}" if match else text


def unit_written(text: str) -> str:
    """The unit in a text that reads strictly, "" in a letter code."""
    match = _QUANTITY.fullmatch(text)
    return match[2] if match else "W" if _FRACTION.fullmatch(text) else ""
