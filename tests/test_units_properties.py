"""How floats are said, and that nothing an installer can type breaks the reading or takes long."""

from __future__ import annotations

import time
from math import inf, nan

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from lampwright.units import (
    UNITS,
    Dimension,
    Misread,
    ResistorText,
    is_quantity,
    read,
    read_range,
    read_resistor,
    say,
    say_rating,
)
from lampwright.units.misread import Case
from lampwright.units.mistakes import diagnose
from lampwright.units.otherwise import otherwise
from lampwright.units.spellings import MISSPELLINGS

V, A, R, W, SHARE, RATE, T = Dimension


class TestSaying:
    """A float as an installer writes it."""

    @pytest.mark.parametrize(
        ("value", "dimension", "words"),
        [
            (0.027, A, "27 mA"),
            (0.0273333, A, "27.3 mA"),
            (1.0, A, "1 A"),
            (0.9996, A, "1 A"),
            (0.0005, A, "0.5 mA"),
            (0.00005, A, "50 µA"),
            (1200.0, R, "1.2 kohm"),
            (999.6, R, "1 kohm"),
            (680.0, R, "680 ohm"),
            (0.47, R, "0.47 ohm"),
            (1e6, R, "1 Mohm"),
            (0.158, W, "158 mW"),
            (2.5, W, "2.5 W"),
            (13.1, V, "13.1 V"),
            (14.0, V, "14 V"),
            (0.7, V, "0.7 V"),
            (0.05, V, "50 mV"),
            (0.4, SHARE, "40 %"),
            (1.1, SHARE, "110 %"),
            (1.0, RATE, "60 per minute"),
            (0.5, RATE, "30 per minute"),
            (37.78, T, "37.8 °C"),
            (0.0, W, "0 W"),
            (1e-30, A, "0 A"),
            (-3.0, T, "-3 °C"),
            (1e15, R, "1000000000 Mohm"),
        ],
    )
    def test_size_picks_the_unit(self, value: float, dimension: Dimension, words: str) -> None:
        assert say(value, dimension) == words

    def test_more_digits_on_demand(self) -> None:
        assert say(14.5625, V, significant=5) == "14.562 V"

    def test_no_number_breaks_a_message(self) -> None:
        assert [say(value, V) for value in (inf, -inf, nan)] == ["inf V", "-inf V", "nan V"]

    @pytest.mark.parametrize(
        ("power", "words"),
        [
            (0.125, "1/8 W"),
            (0.25, "1/4 W"),
            (0.5, "1/2 W"),
            (1.0, "1 W"),
            (5.0, "5 W"),
            (1 / 16, "62.5 mW"),
            (0.1, "100 mW"),
        ],
    )
    def test_ratings_are_said_as_sold_and_read_back(self, power: float, words: str) -> None:
        assert say_rating(power) == words
        assert read(words, W) == power

    @given(st.floats(min_value=0, max_value=1e50), st.sampled_from(Dimension))
    def test_what_is_said_reads_back_to_the_digits_shown(self, value: float, dimension: Dimension) -> None:
        # Half of the last of three digits is 0.5 % at most; below 1e-15 nothing is left to say.
        assert read(say(value, dimension), dimension) == pytest.approx(value, rel=0.00501, abs=1e-15)

    @given(st.floats(min_value=0, max_value=1e50), st.sampled_from(Dimension))
    def test_what_was_read_is_said_the_same_again(self, value: float, dimension: Dimension) -> None:
        words = say(value, dimension)
        again = read(words, dimension)
        assert isinstance(again, float)
        assert say(again, dimension) == words


# Text that looks like quantities gone wrong finds more than random text does.
_UNITS = [*UNITS, *MISSPELLINGS[A], *MISSPELLINGS[RATE], "nA", "kW", "°F", "K", "Hz", "e", "R", "k"]
_BETWEEN = [" ", "  ", "\t", "to", " to ", "–", "-", "..", "±", "+/-", ",", ".", "'", "/", "**", "^", "(", "\u200b"]
_NUMBERS = ["0", "1", "47", "000", "1.5", "1/2", "12,5", "1e9", "999999999999", "½", "٣", "∞", "nan", "about ", "max"]
_PIECES = st.sampled_from([*_UNITS, *_BETWEEN, *_NUMBERS])
_TEXTS = st.one_of(st.text(max_size=80), st.lists(_PIECES, max_size=9).map("".join))


def _fast_enough(started: float) -> bool:
    # A hundred times what the slowest of these takes on a slow machine; a pattern that backtracks takes hours.
    return time.perf_counter() - started < 2.0


@settings(max_examples=400, deadline=None)
@given(_TEXTS, st.sampled_from(Dimension))
@example("9**9**9**9 V", V)
@example("1" * 5000 + "e" + "9" * 5000, V)
@example("1," * 5000, R)
@example(" to " * 5000, RATE)
@example("(" * 50_000, A)
@example("5" + " " * 50_000 + "V", V)
@example("5\ud800V", V)
@example("½..\te\tmampereee±", SHARE)  # once mended for ever
def test_no_text_raises_or_takes_long_and_every_proposal_reads(text: str, dimension: Dimension) -> None:
    started = time.perf_counter()
    value, figures, resistor = read(text, dimension), read_range(text, dimension), read_resistor(text)
    assert isinstance(is_quantity(text), bool)
    assert _fast_enough(started)
    misreads = [
        m for m in (value, *figures, *(resistor if isinstance(resistor, tuple) else ())) if isinstance(m, Misread)
    ]
    for misread in misreads:
        assert text[misread.start : misread.end] == misread.written
        assert misread.written or not text
        assert all(_reads(meant, misread) for meant in misread.meant), misread
    if not isinstance(value, Misread):
        assert 0 <= value < inf


def _reads(text: str, misread: Misread) -> bool:
    if misread.reason in ("dash-range", "plus-minus", "reversed-range"):
        return not isinstance(read_range(text, misread.dimension)[0], Misread)
    if misread.reason == "order" and isinstance(read(text, misread.dimension), Misread):
        return isinstance(read_resistor(text), ResistorText)
    return not isinstance(read(text, misread.dimension), Misread)


def test_mending_ends_even_where_every_mended_text_has_another_mistake() -> None:
    assert diagnose(Case("1,5 volts", V, (), patience=1)).meant == ("1.5 V",)
    assert diagnose(Case("1,5 volts", V, (), patience=0)).meant == ()


@given(_TEXTS, st.sampled_from(Dimension))
def test_a_quantity_of_any_kind_is_a_quantity(text: str, dimension: Dimension) -> None:
    if not isinstance(read(text, dimension), Misread):
        assert is_quantity(text)


class TestOtherwise:
    """The same quantity as people might have written it as well."""

    @pytest.mark.parametrize(
        ("text", "ways"),
        [
            ("20 mA", ("0.02 A",)),
            ("0.4 A", ("400 mA",)),
            ("1.5 kohm", ("1k5", "1500 ohm")),
            ("4k7", ("4.7 kohm", "4700 ohm")),
            ("470R", ("470 ohm",)),
            ("0R47", ("0.47 ohm",)),
            ("2.2 MΩ", ("2M2", "2200 kohm")),
            ("1/4 W", ("250 mW", "0.25 W")),
            ("250 mW", ("0.25 W", "1/4 W")),
            ("20mA", ("0.02 A",)),
        ],
    )
    def test_other_units_fractions_and_letters(self, text: str, ways: tuple[str, ...]) -> None:
        assert sorted(otherwise(text)) == sorted(ways)

    @pytest.mark.parametrize(
        "text", ["3 V", "5 %", "40 °C", "60 per minute", "0 ohm", "13 V to 16 V", "20", "", "volt"]
    )
    def test_nothing_where_nobody_would_write_it(self, text: str) -> None:
        assert otherwise(text) == ()

    @given(
        st.decimals(0, 99999, places=4, allow_nan=False).map(lambda number: f"{number:f}"), st.sampled_from(list(UNITS))
    )
    def test_all_read_as_the_very_same(self, number: str, unit: str) -> None:
        text = f"{number} {unit}"
        dimension = UNITS[unit].dimension
        value = read(text, dimension)
        for way in otherwise(text):
            assert way != text
            assert read(way, dimension) == value
