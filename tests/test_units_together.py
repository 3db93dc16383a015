"""Quantities that stand together: ranges, the three of a resistor; and that no quantity is taken for a name."""

from __future__ import annotations

import pytest

from lampwright.units import Dimension, Misread, ResistorText, is_quantity, read_range, read_resistor

V, A, R, W, SHARE, RATE, T = Dimension

NBSP, NARROW = "\u00a0", "\u202f"

UNREADABLE, MISSPELT, MISSING, WRONG, COMMA = (
    "unreadable-quantity",
    "misspelt-unit",
    "missing-unit",
    "wrong-unit",
    "decimal-comma",
)


class TestRanges:
    """ "A to B", both with the unit."""

    @pytest.mark.parametrize(
        ("text", "dimension", "figures"),
        [
            ("13 V to 16 V", V, (13.0, 14.5, 16.0)),
            ("13 V", V, (13.0, 13.0, 13.0)),
            ("13 V to 13 V", V, (13.0, 13.0, 13.0)),
            (f"13{NBSP}V{NBSP}to{NARROW}16 V", V, (13.0, 14.5, 16.0)),
            ("800 mA to 1 A", A, (0.8, 0.9, 1.0)),
            ("30 to 120 per minute", RATE, (0.5, 1.25, 2.0)),
            ("30 per minute to 120 per minute", RATE, (0.5, 1.25, 2.0)),
            ("1k to 4k7", R, (1000.0, 2850.0, 4700.0)),
        ],
    )
    def test_right_ones(self, text: str, dimension: Dimension, figures: tuple[float, ...]) -> None:
        assert read_range(text, dimension) == pytest.approx(figures, rel=1e-15)

    @pytest.mark.parametrize(
        ("text", "dimension", "mistakes"),
        [
            ("13 to 16 V", V, [(MISSING, "no-unit", "13", ("13 V",))]),
            ("13 V to 16", V, [(MISSING, "no-unit", "16", ("16 V",))]),
            ("13 to 16", V, [(MISSING, "no-unit", "13", ("13 V",)), (MISSING, "no-unit", "16", ("16 V",))]),
            ("10 to 15 ma", A, [(MISSING, "no-unit", "10", ("10 mA",)), (MISSPELT, "capitals", "15 ma", ("15 mA",))]),
            ("0.5 to 2 mA", A, [(MISSING, "no-unit", "0.5", ("0.5 mA",))]),
            ("500 to 1 A", A, [(MISSING, "no-unit", "500", ("500 mA",))]),
            ("1,8 V to 2,2 V", V, [(COMMA, "comma", "1,8 V", ("1.8 V",)), (COMMA, "comma", "2,2 V", ("2.2 V",))]),
            ("1 A to 16 V", V, [(WRONG, "wrong-dimension", "1 A", ())]),
            (
                "30 to 120",
                RATE,
                [(MISSING, "no-unit", "30", ("30 per minute",)), (MISSING, "no-unit", "120", ("120 per minute",))],
            ),
            ("16 V to 13 V", V, [(UNREADABLE, "reversed-range", "16 V to 13 V", ("13 V to 16 V",))]),
            (
                "120 to 30 per minute",
                RATE,
                [(UNREADABLE, "reversed-range", "120 to 30 per minute", ("30 per minute to 120 per minute",))],
            ),
            ("13–16 V", V, [(UNREADABLE, "dash-range", "13–16 V", ("13 V to 16 V",))]),
            ("5 V ± 10 %", V, [(UNREADABLE, "plus-minus", "5 V ± 10 %", ("4.5 V to 5.5 V",))]),
            ("1 V to 2 V to 3 V", V, [(UNREADABLE, "two-numbers", "1 V to 2 V to 3 V", ())]),
            (
                "  13 to 16 volts ",
                V,
                [(MISSING, "no-unit", "13", ("13 V",)), (MISSPELT, "plural", "16 volts", ("16 V",))],
            ),
            ("13 V to ", V, [(UNREADABLE, "extra-words", "13 V to", ())]),
        ],
    )
    def test_each_side_has_its_own_mistake(self, text: str, dimension: Dimension, mistakes: list[object]) -> None:
        found = read_range(text, dimension)
        assert [(m.kind, m.reason, m.written, m.meant) for m in found if isinstance(m, Misread)] == mistakes
        assert all(text[m.start : m.end] == m.written for m in found if isinstance(m, Misread))


class TestResistors:
    """Resistance, then rating, then tolerance."""

    @pytest.mark.parametrize(
        ("text", "resistor"),
        [
            ("1 kohm", ResistorText(1000.0)),
            ("4k7", ResistorText(4700.0)),
            ("0R47", ResistorText(0.47)),
            ("820 ohm 1/2 W 5 %", ResistorText(820.0, 0.5, 0.05)),
            ("820 ohm 500 mW", ResistorText(820.0, 0.5)),
            ("820 ohm 5 %", ResistorText(820.0, None, 0.05)),
            ("100R 1/2W 1%", ResistorText(100.0, 0.5, 0.01)),
            ("0 ohm", ResistorText(0.0)),
        ],
    )
    def test_right_ones(self, text: str, resistor: ResistorText) -> None:
        assert read_resistor(text) == resistor

    @pytest.mark.parametrize(
        ("text", "mistakes"),
        [
            ("820", [(MISSING, "no-unit", "820", R, ("820 ohm",))]),
            ("820 1/2 W", [(MISSING, "no-unit", "820", R, ("820 ohm",))]),
            ("820 ohm 1/2", [(MISSING, "no-unit", "1/2", W, ("1/2 W",))]),
            ("820 ohm 0.25", [(MISSING, "no-unit", "0.25", W, ("0.25 W",))]),
            ("820 ohm 5", [(MISSING, "no-unit", "5", SHARE, ("5 %",))]),
            (
                "820 ohms 1/2 watt 5%",
                [(MISSPELT, "plural", "820 ohms", R, ("820 ohm",)), (MISSPELT, "word", "1/2 watt", W, ("1/2 W",))],
            ),
            ("820 ohm, 1/2 W", [(MISSPELT, "punctuation", "820 ohm,", R, ("820 ohm",))]),
            ("820 ohm ±5 %", [(UNREADABLE, "sign", "±5 %", SHARE, ("5 %",))]),
            ("820 ohm - 5 %", [(UNREADABLE, "sign", "- 5 %", SHARE, ("5 %",))]),
            ("820 ohm 1,5 W", [(COMMA, "comma", "1,5 W", W, ("1.5 W",))]),
            ("820 ohm 1 1/2 W", [(UNREADABLE, "fraction", "1 1/2 W", W, ("1.5 W",))]),
            ("1 000 ohm 5 %", [(UNREADABLE, "grouping", "1 000 ohm", R, ("1000 ohm",))]),
            ("820 ohm 0805", [(UNREADABLE, "size", "0805", W, ())]),
            ("820 ohm 5 V", [(WRONG, "wrong-dimension", "5 V", W, ())]),
            ("820 ohm 5 % 1/2 W", [(UNREADABLE, "order", "820 ohm 5 % 1/2 W", R, ("820 ohm 1/2 W 5 %",))]),
            ("1/2 watt 820 ohms", [(UNREADABLE, "order", "1/2 watt 820 ohms", R, ("820 ohm 1/2 W",))]),
            ("820 ohm 470 ohm", [(UNREADABLE, "two-numbers", "820 ohm 470 ohm", R, ())]),
            ("820 ohm to 1 kohm", [(UNREADABLE, "range", "820 ohm to 1 kohm", R, ())]),
            ("1/2 W", [(WRONG, "wrong-dimension", "1/2 W", R, ())]),
            ("", [(UNREADABLE, "empty", "", R, ())]),
        ],
    )
    def test_each_part_has_its_own_mistake(self, text: str, mistakes: list[object]) -> None:
        found = read_resistor(text)
        assert isinstance(found, tuple)
        assert [(m.kind, m.reason, m.written, m.dimension, m.meant) for m in found] == mistakes
        assert all(text[m.start : m.end] == m.written for m in found)

    def test_the_proposed_order_reads(self) -> None:
        (misread,) = read_resistor("820 ohm 5 % 1/2 W")  # type: ignore[misc]
        assert read_resistor(misread.meant[0]) == ResistorText(820.0, 0.5, 0.05)


QUANTITIES = [
    "12 V",
    "12V",
    "5 amps",
    "12VDC",
    "15 ma",
    "1/2 W",
    "470R",
    "4k7",
    "40 %",
    "60 per minute",
    "60 bpm",
    "40 C",
]
TOGETHER = ["13 V to 16 V", "13 to 16 V", "820 ohm 1/2 W 5 %", "820 ohms 1/2 watt", "1,5 V"]
NAMES = [
    "white",
    "aux4",
    "warm white 0603",
    "micro bulb 1.5 V",
    "rear headlamp 2",
    "alternating flash",
    "Öllampe links",
    "F0",
]
NEAR_QUANTITIES = ["4", "0603", "3 N", "2 F", "5 lamps", "fade to 4 V", "2 to 4", "4 mm bulb", "R47", "", "x" * 10_000]


@pytest.mark.parametrize("text", [*QUANTITIES, *TOGETHER])
def test_a_quantity_is_no_name(text: str) -> None:
    assert is_quantity(text)


@pytest.mark.parametrize("text", [*NAMES, *NEAR_QUANTITIES])
def test_a_name_is_no_quantity(text: str) -> None:
    assert not is_quantity(text)
