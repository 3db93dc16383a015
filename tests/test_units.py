"""What reads as a quantity, and what does not and why."""

from __future__ import annotations

import subprocess
import sys

import pytest

from lampwright.units import Dimension, Likely, Misread, read
from lampwright.units.spellings import MISSPELLINGS

V, A, R, W, SHARE, RATE, T = Dimension

NBSP, NARROW, OHM_SIGN, MICRO, MU = "\u00a0", "\u202f", "\u2126", "\u00b5", "\u03bc"

RIGHT = [
    ("12 V", V, 12.0),
    ("14.5 V", V, 14.5),
    ("12V", V, 12.0),
    (f"12{NBSP}V", V, 12.0),
    (f"12{NARROW}V", V, 12.0),
    (" 12 V ", V, 12.0),
    ("007 V", V, 7.0),
    ("0 V", V, 0.0),
    ("700 mV", V, 0.7),
    ("0.5 kV", V, 500.0),
    ("1 A", A, 1.0),
    ("15 mA", A, 0.015),
    (f"500 {MICRO}A", A, 0.0005),
    (f"500 {MU}A", A, 0.0005),
    ("500 uA", A, 0.0005),
    ("680 ohm", R, 680.0),
    ("1.5 kohm", R, 1500.0),
    ("1 Mohm", R, 1e6),
    ("680 Ω", R, 680.0),
    ("1.5kΩ", R, 1500.0),
    ("1 MΩ", R, 1e6),
    (f"680 {OHM_SIGN}", R, 680.0),
    (f"1.5 k{OHM_SIGN}", R, 1500.0),
    (f"1 M{OHM_SIGN}", R, 1e6),
    ("470R", R, 470.0),
    ("4k7", R, 4700.0),
    ("4K7", R, 4700.0),
    ("0R47", R, 0.47),
    ("1k", R, 1000.0),
    ("1M", R, 1e6),
    ("2M2", R, 2.2e6),
    ("4R7", R, 4.7),
    ("47K5", R, 47500.0),
    ("0R", R, 0.0),
    ("0.25 W", W, 0.25),
    ("250 mW", W, 0.25),
    ("1/8 W", W, 0.125),
    ("1/4 W", W, 0.25),
    ("1/2W", W, 0.5),
    ("40 %", SHARE, 0.4),
    ("40%", SHARE, 0.4),
    ("57 %", SHARE, 0.57),
    ("0.5 %", SHARE, 0.005),
    ("60 per minute", RATE, 1.0),
    ("90per minute", RATE, 1.5),
    ("40 °C", T, 40.0),
    ("40°C", T, 40.0),
]

UNREADABLE, MISSPELT, MISSING, WRONG, COMMA = (
    "unreadable-quantity",
    "misspelt-unit",
    "missing-unit",
    "wrong-unit",
    "decimal-comma",
)

# Text, what belongs there, the rule, the reason, what was meant, what was found.
MISTAKEN = [
    # A unit in the wrong letters.
    ("15 ma", A, MISSPELT, "capitals", ["15 mA"], None),
    ("15 MA", A, MISSPELT, "capitals", ["15 mA"], None),
    ("12 v", V, MISSPELT, "capitals", ["12 V"], None),
    ("1 Kohm", R, MISSPELT, "capitals", ["1 kohm"], None),
    ("680 Ohm", R, MISSPELT, "capitals", ["680 ohm"], None),
    ("1 KΩ", R, MISSPELT, "capitals", ["1 kΩ"], None),
    ("250 MW", W, MISSPELT, "capitals", ["250 mW"], None),
    ("1 mohm", R, MISSPELT, "capitals", ["1 Mohm", "0.001 ohm"], None),
    ("60 Per Minute", RATE, MISSPELT, "capitals", ["60 per minute"], None),
    ("40 °c", T, MISSPELT, "capitals", ["40 °C"], None),
    ("5 amps", A, MISSPELT, "plural", ["5 A"], None),
    ("12 Volts", V, MISSPELT, "plural", ["12 V"], None),
    ("820 ohms", R, MISSPELT, "plural", ["820 ohm"], None),
    ("15 milliamps", A, MISSPELT, "plural", ["15 mA"], None),
    ("1/2 watts", W, MISSPELT, "plural", ["1/2 W"], None),
    ("12 volt", V, MISSPELT, "word", ["12 V"], None),
    ("4.7k", R, MISSPELT, "word", ["4.7 kohm"], None),
    ("1 k", R, MISSPELT, "word", ["1 kohm"], None),
    ("2.2 M", R, MISSPELT, "word", ["2.2 Mohm"], None),
    ("470 R", R, MISSPELT, "word", ["470 ohm"], None),
    ("470r", R, MISSPELT, "word", ["470 ohm"], None),
    ("4r7", R, MISSPELT, "capitals", ["4R7"], None),
    ("4k7 ohm", R, MISSPELT, "glued", ["4k7"], None),
    ("12VDC", V, MISSPELT, "glued", ["12 V"], None),
    ("12 V DC", V, MISSPELT, "glued", ["12 V"], None),
    ("16 VAC", V, MISSPELT, "glued", ["16 V"], None),
    ("15 m A", A, MISSPELT, "punctuation", ["15 mA"], None),
    ("1 k-ohm", R, MISSPELT, "punctuation", ["1 kohm"], None),
    ("12 V.", V, MISSPELT, "punctuation", ["12 V"], None),
    ("40 percent", SHARE, MISSPELT, "word", ["40 %"], None),
    ("60 bpm", RATE, MISSPELT, "word", ["60 per minute"], None),
    ("60/min", RATE, MISSPELT, "word", ["60 per minute"], None),
    ("60 flashes per minute", RATE, MISSPELT, "word", ["60 per minute"], None),
    ("40 C", T, MISSPELT, "word", ["40 °C"], None),
    ("40 degC", T, MISSPELT, "word", ["40 °C"], None),
    ("40 ºC", T, MISSPELT, "word", ["40 °C"], None),
    ("40 ℃", T, MISSPELT, "punctuation", ["40 °C"], None),
    ("680 ohn", R, MISSPELT, "word", ["680 ohm"], None),
    ("1 khom", R, MISSPELT, "word", ["1 kohm"], None),
    ("15 miliamps", A, MISSPELT, "word", ["15 mA"], None),
    # No unit: the likely one by the size of the number.
    ("5", V, MISSING, "no-unit", ["5 V"], None),
    ("14.5", V, MISSING, "no-unit", ["14.5 V"], None),
    ("15", A, MISSING, "no-unit", ["15 mA"], None),
    ("0.015", A, MISSING, "no-unit", ["0.015 A"], None),
    ("680", R, MISSING, "no-unit", ["680 ohm"], None),
    ("1.5", R, MISSING, "no-unit", ["1.5 kohm", "1.5 ohm"], None),
    ("0.25", W, MISSING, "no-unit", ["0.25 W"], None),
    ("250", W, MISSING, "no-unit", ["250 mW"], None),
    ("1/4", W, MISSING, "no-unit", ["1/4 W"], None),
    ("0.4", SHARE, MISSING, "no-unit", ["40 %"], None),
    ("40", SHARE, MISSING, "no-unit", ["40 %"], None),
    ("1", SHARE, MISSING, "no-unit", ["100 %", "1 %"], None),
    ("60", RATE, MISSING, "no-unit", ["60 per minute"], None),
    ("40", T, MISSING, "no-unit", ["40 °C"], None),
    # A unit of something else.
    ("15 mA", R, WRONG, "wrong-dimension", [], "current"),
    ("12 V", A, WRONG, "wrong-dimension", [], "voltage"),
    ("12 volts", A, WRONG, "wrong-dimension", [], "voltage"),
    ("5 V max", A, WRONG, "wrong-dimension", [], "voltage"),
    ("470R", A, WRONG, "wrong-dimension", [], "resistance"),
    ("4k7", V, WRONG, "wrong-dimension", [], "resistance"),
    ("1/2 W", V, WRONG, "wrong-dimension", [], "power"),
    ("40 %", T, WRONG, "wrong-dimension", [], "share"),
    ("60 per minute", SHARE, WRONG, "wrong-dimension", [], "rate"),
    ("40 °C", V, WRONG, "wrong-dimension", [], "temperature"),
    ("5 N", V, WRONG, "foreign-unit", [], "newton"),
    ("5 F", V, WRONG, "foreign-unit", [], "farad"),
    ("2 kg", A, WRONG, "foreign-unit", [], "kilogram"),
    ("20 Hz", V, WRONG, "wrong-dimension", [], "rate"),
    # A slip of a thousand, or another scale.
    ("0.25 kW", W, WRONG, "foreign-prefix", ["250 W"], "kilowatt"),
    ("1 Gohm", R, WRONG, "foreign-prefix", ["1000 Mohm"], "gigaohm"),
    ("500 nA", A, WRONG, "foreign-prefix", ["0.5 µA"], "nanoampere"),
    ("0.015 kA", A, WRONG, "foreign-prefix", ["15 A"], "kiloampere"),
    ("15000 µV", V, WRONG, "foreign-prefix", ["15 mV"], "microvolt"),
    ("15 nanoamps", A, WRONG, "foreign-prefix", ["0.015 µA"], "nanoampere"),
    ("500 milliohms", R, WRONG, "foreign-prefix", ["0.5 ohm"], "milliohm"),
    ("1 Hz", RATE, WRONG, "foreign-unit", ["60 per minute"], "hertz"),
    ("2 per second", RATE, WRONG, "foreign-unit", ["120 per minute"], "hertz"),
    ("104 °F", T, WRONG, "foreign-unit", ["40 °C"], "degree Fahrenheit"),
    ("104 F", T, WRONG, "foreign-unit", ["40 °C"], "degree Fahrenheit"),
    ("10 °F", T, WRONG, "foreign-unit", [], "degree Fahrenheit"),
    ("313.15 K", T, WRONG, "foreign-unit", ["40 °C"], "kelvin"),
    # A comma.
    ("1,5 V", V, COMMA, "comma", ["1.5 V"], None),
    ("14,5V", V, COMMA, "comma", ["14.5 V"], None),
    (",5 V", V, COMMA, "comma", ["0.5 V"], None),
    ("1,5", V, COMMA, "comma", ["1.5 V"], None),
    ("1,5 volts", V, COMMA, "comma", ["1.5 V"], None),
    ("4,7k", R, COMMA, "comma", ["4.7 kohm"], None),
    ("1,000 ohm", R, COMMA, "comma", ["1000 ohm", "1.000 ohm"], None),
    ("1,500 mA", A, COMMA, "comma", ["1500 mA", "1.500 mA"], None),
    ("1,500 V", V, COMMA, "comma", ["1.500 V", "1500 V"], None),
    ("0,015 A", A, COMMA, "comma", ["0.015 A"], None),
    # A number that is none.
    ("", V, UNREADABLE, "empty", [], None),
    ("   ", V, UNREADABLE, "empty", [], None),
    ("+5 V", V, UNREADABLE, "sign", ["5 V"], None),
    ("-5 V", V, UNREADABLE, "sign", ["5 V"], None),
    ("\u22125 V", V, UNREADABLE, "sign", ["5 V"], None),
    ("-5 °C", T, UNREADABLE, "sign", [], None),
    ("+40 °C", T, UNREADABLE, "sign", ["40 °C"], None),
    ("±5 %", SHARE, UNREADABLE, "sign", ["5 %"], None),
    ("±5 V", V, UNREADABLE, "sign", [], None),
    ("1e3 ohm", R, UNREADABLE, "exponent", ["1000 ohm"], None),
    ("1.5E-2 A", A, UNREADABLE, "exponent", ["0.015 A"], None),
    ("1e999 V", V, UNREADABLE, "exponent", [], None),
    ("1e99999999999999999999 V", V, UNREADABLE, "exponent", [], None),
    ("nan V", V, UNREADABLE, "not-finite", [], None),
    ("inf V", V, UNREADABLE, "not-finite", [], None),
    ("-Infinity", V, UNREADABLE, "not-finite", [], None),
    ("∞ V", V, UNREADABLE, "not-finite", [], None),
    ("9**9**9 V", V, UNREADABLE, "arithmetic", [], None),
    ("2 x 10 mA", A, UNREADABLE, "arithmetic", [], None),
    ("2×10 mA", A, UNREADABLE, "arithmetic", [], None),
    ("12 V / 20 mA", R, UNREADABLE, "arithmetic", [], None),
    ("12 V - 0.7 V", V, UNREADABLE, "arithmetic", [], None),
    ("5 V/A", V, UNREADABLE, "arithmetic", [], None),
    ("(5) V", V, UNREADABLE, "arithmetic", [], None),
    ("1'000 ohm", R, UNREADABLE, "grouping", ["1000 ohm"], None),
    ("1’000 ohm", R, UNREADABLE, "grouping", ["1000 ohm"], None),
    ("1 000 ohm", R, UNREADABLE, "grouping", ["1000 ohm"], None),
    (f"1{NARROW}000 ohm", R, UNREADABLE, "grouping", ["1000 ohm"], None),
    ("1_000 ohm", R, UNREADABLE, "grouping", ["1000 ohm"], None),
    ("1,000,000 ohm", R, UNREADABLE, "grouping", ["1000000 ohm"], None),
    ("1.000,5 V", V, UNREADABLE, "grouping", ["1000.5 V"], None),
    (".5 V", V, UNREADABLE, "leading-point", ["0.5 V"], None),
    ("R47", R, UNREADABLE, "leading-point", ["0R47"], None),
    ("5. V", V, UNREADABLE, "trailing-point", ["5 V"], None),
    ("1·5 V", V, UNREADABLE, "raised-point", ["1.5 V"], None),
    ("1/16 W", W, UNREADABLE, "fraction", ["0.0625 W"], None),
    ("1 1/2 W", W, UNREADABLE, "fraction", ["1.5 W"], None),
    ("1/2 V", V, UNREADABLE, "fraction", ["0.5 V"], None),
    ("1 / 2 W", W, UNREADABLE, "spaces", ["1/2 W"], None),
    ("½ W", W, UNREADABLE, "foreign-digits", ["1/2 W"], None),
    ("1½ W", W, UNREADABLE, "foreign-digits", ["1.5 W"], None),
    ("１２ V", V, UNREADABLE, "foreign-digits", ["12 V"], None),
    ("٥ V", V, UNREADABLE, "foreign-digits", ["5 V"], None),
    ("10–20 mA", A, UNREADABLE, "dash-range", ["10 mA to 20 mA"], None),
    ("10-20 mA", A, UNREADABLE, "dash-range", ["10 mA to 20 mA"], None),
    ("10—20 mA", A, UNREADABLE, "dash-range", ["10 mA to 20 mA"], None),
    ("10~20 mA", A, UNREADABLE, "dash-range", ["10 mA to 20 mA"], None),
    ("10 .. 20 mA", A, UNREADABLE, "dash-range", ["10 mA to 20 mA"], None),
    ("10 mA - 20 milliamps", A, UNREADABLE, "dash-range", ["10 mA to 20 mA"], None),
    ("1,8–2,2 V", V, UNREADABLE, "dash-range", ["1.8 V to 2.2 V"], None),
    ("30-120 per minute", RATE, UNREADABLE, "dash-range", ["30 to 120 per minute"], None),
    ("13 V TO 16 V", V, UNREADABLE, "dash-range", ["13 V to 16 V"], None),
    ("13 V and 16 V", V, UNREADABLE, "dash-range", ["13 V to 16 V"], None),
    ("20–10 mA", A, UNREADABLE, "dash-range", [], None),
    ("5 V ± 10 %", V, UNREADABLE, "plus-minus", ["4.5 V to 5.5 V"], None),
    ("5 V +/- 0.2 V", V, UNREADABLE, "plus-minus", ["4.8 V to 5.2 V"], None),
    ("5 ± 0.2 V", V, UNREADABLE, "plus-minus", ["4.8 V to 5.2 V"], None),
    ("13 V to 16 V", V, UNREADABLE, "range", [], None),
    ("5  V", V, UNREADABLE, "spaces", ["5 V"], None),
    ("5\tV", V, UNREADABLE, "spaces", ["5 V"], None),
    ("V 5", V, UNREADABLE, "order", ["5 V"], None),
    ("about 5 V", V, UNREADABLE, "extra-words", ["5 V"], None),
    ("< 5 V", V, UNREADABLE, "extra-words", ["5 V"], None),
    ("5 V max.", V, UNREADABLE, "extra-words", ["5 V"], None),
    ("5 V unless it rains", V, UNREADABLE, "extra-words", [], None),
    ("5 V 20 mA", V, UNREADABLE, "two-numbers", [], None),
    ("1.5.2 V", V, UNREADABLE, "two-numbers", [], None),
    ("12:30", RATE, UNREADABLE, "two-numbers", [], None),
    ("off", V, UNREADABLE, "no-number", [], None),
    ("five volts", V, UNREADABLE, "no-number", [], None),
    ("5 bananas", A, UNREADABLE, "unknown-unit", [], None),
    ("5 €", V, UNREADABLE, "unknown-unit", [], None),
    ("9" * 10_000 + " V", V, UNREADABLE, "too-long", [], None),
]


@pytest.mark.parametrize(("text", "dimension", "value"), RIGHT)
def test_what_the_language_allows_is_read_to_the_last_bit(text: str, dimension: Dimension, value: float) -> None:
    assert read(text, dimension) == value


@pytest.mark.parametrize(("text", "dimension", "kind", "reason", "meant", "found"), MISTAKEN)
def test_everything_else_is_a_mistake_with_its_meaning(
    text: str, dimension: Dimension, kind: str, reason: str, meant: list[str], found: str | None
) -> None:
    misread = read(text, dimension)
    assert isinstance(misread, Misread)
    assert (misread.kind, misread.reason, list(misread.meant), misread.found) == (kind, reason, meant, found)
    assert misread.dimension is dimension


def test_the_tables_are_as_long_as_they_were_meant_to_be() -> None:
    assert len(RIGHT) + len(MISTAKEN) >= 200


def test_a_mistake_covers_the_quantity_without_the_spaces_around_it() -> None:
    misread = read("  5 amps ", A)
    assert isinstance(misread, Misread)
    assert (misread.start, misread.end, misread.written) == (2, 8, "5 amps")


def test_a_right_quantity_of_another_kind_is_never_read() -> None:
    for text, dimension, _ in RIGHT:
        for other in set(Dimension) - {dimension}:
            misread = read(text, other)
            assert isinstance(misread, Misread), text
            # "1M" and "0R" beside a temperature or a voltage are resistances; nothing is proposed for any of them.
            assert (misread.kind, misread.meant) == ("wrong-unit", ()), text


class TestLikelyUnits:
    """A field knows which unit a bare number lacks."""

    def test_the_first_that_fits_comes_first(self) -> None:
        whole_decoder = (Likely("A", 0.05, 10), Likely("mA", 100, 10_000))
        assert self.meant("1", A, whole_decoder) == ("1 A",)
        assert self.meant("500", A, whole_decoder) == ("500 mA",)

    def test_bounds_include_their_ends_and_several_may_fit(self) -> None:
        assert self.meant("5", A, (Likely("mA", 5, 10), Likely("A", 0, 5))) == ("5 mA", "5 A")

    def test_where_none_fits_the_first_is_taken(self) -> None:
        assert self.meant("5000", W, (Likely("W", 0, 5), Likely("mW", 50, 2000))) == ("5000 W",)

    def test_a_unit_by_name_and_a_plain_tuple_will_do(self) -> None:
        assert self.meant("5", R, ("kohm",)) == ("5 kohm",)
        assert self.meant("5", R, (("kohm", 0, 10.0),)) == ("5 kohm",)

    def test_a_number_below_one_may_be_a_share_of_one(self) -> None:
        assert self.meant("0.4", SHARE, ("%",)) == ("40 %", "0.4 %")
        assert self.meant("40", SHARE, ("%",)) == ("40 %",)
        assert self.meant("0.5", SHARE, (Likely("%", 0, 20), Likely("%", 0, 1, times=100))) == ("0.5 %", "50 %")

    def test_a_unit_of_another_kind_is_no_proposal(self) -> None:
        assert self.meant("5", V, ("mA",)) == ("5 V",)

    def meant(self, text: str, dimension: Dimension, likely: tuple[object, ...]) -> tuple[str, ...]:
        misread = read(text, dimension, likely)  # type: ignore[arg-type]
        assert isinstance(misread, Misread)
        assert misread.kind == "missing-unit"
        return misread.meant


@pytest.mark.parametrize("dimension", Dimension)
def test_every_usual_misspelling_is_mended_to_a_unit_of_its_kind(dimension: Dimension) -> None:
    for word, unit in MISSPELLINGS[dimension].items():
        value = read(f"5 {word}", dimension)
        wanted = read(f"5 {unit}", dimension)
        assert isinstance(wanted, float)
        if isinstance(value, Misread):
            assert (value.kind, value.meant[0]) == ("misspelt-unit", f"5 {unit}"), word
        else:
            assert value == wanted, word


def test_right_plans_and_misspelt_units_never_load_pint() -> None:
    # pint costs half a second; only a unit that no table knows is worth it.
    program = (
        "import sys; from lampwright.units import *; "
        "read('15 mA', Dimension.CURRENT); read('5 amps', Dimension.CURRENT); read('0.25 kW', Dimension.POWER); "
        "is_quantity('3 N'); read_resistor('820 ohm 1/2 W 5 %'); print('pint' in sys.modules); "
        "read('5 N', Dimension.CURRENT); print('pint' in sys.modules)"
    )
    answers = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True).stdout.split()
    assert answers == ["False", "True"]
