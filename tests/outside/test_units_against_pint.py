"""Our closed table of units against pint's definitions (pint 0.25, `default_en.txt`), which follow the SI brochure."""

from __future__ import annotations

from functools import cache
from unicodedata import normalize

import pytest
from pint import UnitRegistry

from lampwright.units import UNITS, Dimension, Misread, read
from lampwright.units.foreign import name_of

# What SI unit the floats of each dimension are in; a share is a bare number.
SI = {
    Dimension.VOLTAGE: "volt",
    Dimension.CURRENT: "ampere",
    Dimension.RESISTANCE: "ohm",
    Dimension.POWER: "watt",
    Dimension.SHARE: "dimensionless",
    Dimension.RATE: "hertz",
    Dimension.TEMPERATURE: "degC",
}

# pint parses words, not phrases or signs; every other spelling it is given as we write it.
PINT_WORDS = {"%": "percent", "per minute": "1/minute", "°C": "degC"}

# A misspelling that pint cannot read as we mean it is no reference: "5 amps" are attometres per second to it.
NUMBERS = ("1", "15", "0.015", "470", "4.7", "123456", "0.1", "999.999")


@cache
def registry() -> UnitRegistry:
    return UnitRegistry()


def by_pint(number: str, word: str, target: str) -> float:
    # Unicode: the ohm sign U+2126 is canonically the letter omega, which is the one that pint knows.
    quantity = registry().Quantity(float(number), normalize("NFC", word))
    return float(quantity.to(target).magnitude)


@pytest.mark.parametrize("spelling", UNITS)
def test_each_factor_is_pints(spelling: str) -> None:
    unit = UNITS[spelling]
    word = PINT_WORDS.get(spelling, spelling)
    assert 10.0**unit.exponent / unit.divisor == pytest.approx(by_pint("1", word, SI[unit.dimension]), rel=1e-14)


@pytest.mark.parametrize("spelling", UNITS)
@pytest.mark.parametrize("number", NUMBERS)
def test_each_accepted_spelling_reads_as_pint_reads_it(number: str, spelling: str) -> None:
    dimension = UNITS[spelling].dimension
    value = read(f"{number} {spelling}", dimension)
    assert value == pytest.approx(by_pint(number, PINT_WORDS.get(spelling, spelling), SI[dimension]), rel=1e-14)


@pytest.mark.parametrize(
    ("text", "dimension", "word"),
    [
        ("0.25 kW", Dimension.POWER, "kilowatt"),
        ("1 Gohm", Dimension.RESISTANCE, "gigaohm"),
        ("500 nA", Dimension.CURRENT, "nanoampere"),
        ("0.015 kA", Dimension.CURRENT, "kiloampere"),
        ("15000 µV", Dimension.VOLTAGE, "microvolt"),
        ("12 pA", Dimension.CURRENT, "picoampere"),
        ("2 mΩ", Dimension.RESISTANCE, "milliohm"),
        ("7 milliohm", Dimension.RESISTANCE, "milliohm"),
        ("0.001 TV", Dimension.VOLTAGE, "teravolt"),
        ("3 µW", Dimension.POWER, "microwatt"),
        ("2 Hz", Dimension.RATE, "hertz"),
        ("104 °F", Dimension.TEMPERATURE, "degF"),
        ("212 °F", Dimension.TEMPERATURE, "degF"),
        ("313.15 K", Dimension.TEMPERATURE, "kelvin"),
    ],
)
def test_a_slip_of_a_thousand_is_converted_as_pint_converts_it(text: str, dimension: Dimension, word: str) -> None:
    misread = read(text, dimension)
    assert isinstance(misread, Misread)
    number = text.partition(" ")[0]
    values = [read(meant, dimension) for meant in misread.meant]
    assert any(value == pytest.approx(by_pint(number, word, SI[dimension]), rel=1e-12) for value in values)


@pytest.mark.parametrize(
    ("word", "name"),
    [
        ("N", "newton"),
        ("F", "farad"),
        ("µF", "microfarad"),
        ("H", "henry"),
        ("C", "coulomb"),
        ("mm", "millimeter"),
        ("kg", "kilogram"),
        ("lm", "lumen"),
        ("mAh", "milliampere hour"),
        ("J", "joule"),
        ("T", "tesla"),
    ],
)
def test_a_foreign_unit_is_called_by_its_name(word: str, name: str) -> None:
    # Symbols and names: SI brochure, 9th edition, tables 2, 4 and 8; the spelling is pint's.
    assert name_of(word) == name


@pytest.mark.parametrize(
    "word", ["bananas", "amps", "lambda x", "9**9", "__import__", "V V", "V*A", "", "e" * 21, "None", "m\n", "V²", "ª"]
)
def test_pint_is_never_given_more_than_a_word(word: str) -> None:
    assert name_of(word) in (None, "ampere")


def test_a_failing_pint_costs_the_name_only(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken() -> UnitRegistry:
        raise RuntimeError("no definitions file")

    monkeypatch.setattr("lampwright.units.foreign._registry", broken)
    misread = read("5 yd", Dimension.VOLTAGE)
    assert isinstance(misread, Misread)
    assert (misread.kind, misread.reason) == ("unreadable-quantity", "unknown-unit")
