"""Turns a unit as people write it, "amps" or "kW", into the unit that a plan would use. Closed tables, no pint."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import NamedTuple

from lampwright.units.dimensions import UNITS, Dimension

# Folded (see `fold`): no capitals, no spaces, dots or hyphens. A unit's own letters are added below.
_USUAL_MISSPELLINGS: Mapping[str, str] = {
    "V": "volt volts",
    "mV": "millivolt millivolts mvolt mvolts",
    "kV": "kilovolt kilovolts kvolt kvolts",
    "A": "amp amps ampere amperes amper ampers",
    "mA": "milliamp milliamps milliampere milliamperes milliamper milliampers mamp mamps mampere mamperes",
    "\N{MICRO SIGN}A": "microamp microamps microampere microamperes uamp uamps",
    "ohm": "ohms r",
    "kohm": "kohms kiloohm kiloohms kilohm kilohms kr k",
    "Mohm": "mohms megaohm megaohms megohm megohms mr meg",
    "W": "watt watts",
    "mW": "milliwatt milliwatts mwatt mwatts",
    "%": "percent pct",
    "per minute": "permin /min /minute aminute eachminute timesperminute timesaminute flashesperminute flashesaminute "
    "bpm rpm cpm",
    "°C": "c ° oc deg degc degrees degreec degreesc celsius degreecelsius degreescelsius centigrade °celsius",
}


def fold(word: str) -> str:
    """`word` without what a careless hand adds: capitals, spaces, dots, hyphens, invisible characters, ligatures."""
    return "".join(
        letter for letter in unicodedata.normalize("NFKC", word).casefold() if letter.isalnum() or letter in "%°/"
    )


def _misspellings() -> Mapping[Dimension, Mapping[str, str]]:
    tables: dict[Dimension, dict[str, str]] = {dimension: {} for dimension in Dimension}
    for spelling, unit in UNITS.items():
        tables[unit.dimension].setdefault(fold(spelling), spelling)
    for spelling, wrong in _USUAL_MISSPELLINGS.items():
        tables[UNITS[spelling].dimension].update(dict.fromkeys(wrong.split(), spelling))
    return tables


# For each kind of quantity: every folded word that is meant for one of its units, with that unit.
MISSPELLINGS = _misspellings()


def intended(word: str, dimension: Dimension) -> str | None:
    """The unit of `dimension` that is meant by `word`, also with "DC" or "AC" behind it."""
    folded, table = fold(word), MISSPELLINGS[dimension]
    if word == "M" and dimension is Dimension.RESISTANCE:
        return "Mohm"
    bare = folded.removesuffix("dc") if folded.endswith("dc") else folded.removesuffix("ac")
    return table.get(folded) or table.get(bare)


class Foreign(NamedTuple):
    """A unit of a known kind that no plan uses, and how a number of it becomes SI (per minute, if a rate)."""

    name: str
    dimension: Dimension
    convert: Callable[[Decimal], Decimal]


_PREFIXES: Mapping[str, int] = {
    "p": -12,
    "n": -9,
    "u": -6,
    "\N{MICRO SIGN}": -6,
    "\N{GREEK SMALL LETTER MU}": -6,
    "m": -3,
    "k": 3,
    "K": 3,
    "M": 6,
    "G": 9,
    "T": 12,
}
_PREFIX_NAMES: Mapping[int, str] = {
    -12: "pico",
    -9: "nano",
    -6: "micro",
    -3: "milli",
    3: "kilo",
    6: "mega",
    9: "giga",
    12: "tera",
}
_PREFIXED: Mapping[Dimension, tuple[str, str]] = {
    Dimension.VOLTAGE: ("volt", "v volt volts"),
    Dimension.CURRENT: ("ampere", "a amp amps ampere amperes"),
    Dimension.RESISTANCE: ("ohm", "ohm ohms ω"),
    Dimension.POWER: ("watt", "w watt watts"),
}
_BASES = {word: (dimension, name) for dimension, (name, words) in _PREFIXED.items() for word in words.split()}

_HERTZ = Foreign("hertz", Dimension.RATE, lambda number: number * 60)
_FAHRENHEIT = Foreign("degree Fahrenheit", Dimension.TEMPERATURE, lambda number: (number - 32) * 5 / 9)
_KELVIN = Foreign("kelvin", Dimension.TEMPERATURE, lambda number: number - Decimal("273.15"))
_SCALE_WORDS: Mapping[Foreign, str] = {
    _HERTZ: "hz hertz rps cps bps persecond persec /s /sec /second asecond timespersecond timesasecond",
    _FAHRENHEIT: "f °f degf degreef degreesf fahrenheit degreesfahrenheit °fahrenheit",
    _KELVIN: "k °k kelvin kelvins",
}
_SCALES = {word: scale for scale, words in _SCALE_WORDS.items() for word in words.split()}


def foreign_unit(word: str) -> Foreign | None:
    """A known quantity with a prefix that no plan uses, "kW", "nanoamps", or on another scale, "Hz", "°F"."""
    if scale := _SCALES.get(fold(word)):
        return scale
    word = word.replace(" ", "")
    if prefixed := _prefixed(_PREFIXES.get(word[:1]), fold(word[1:])):
        return prefixed
    words = ((exponent, name) for exponent, name in _PREFIX_NAMES.items() if fold(word).startswith(name))
    return next((_prefixed(exponent, fold(word).removeprefix(name)) for exponent, name in words), None)


def _prefixed(exponent: int | None, base: str) -> Foreign | None:
    if exponent is None or base not in _BASES:
        return None
    dimension, name = _BASES[base]
    return Foreign(_PREFIX_NAMES[exponent] + name, dimension, lambda number: number.scaleb(exponent))
