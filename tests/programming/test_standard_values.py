"""The programming list against the published tables: the function matrix, CV29, addresses, consists, the pages of CV96."""

from __future__ import annotations

import pytest

from lampwright.analysis.programming.matrix import ROWS
from lampwright.rule.cv_meanings import Words
from programming.listed import paged, programming, setting, sheet, values

# S-9.2.2 (2012), table 2, read: the CV of each function, the first output that it reaches, its default output. The
# default values are derived from those: bit 0 is the first output.
MATRIX = [
    (33, "F0", "forward", 1, 1, 1),
    (34, "F0", "reverse", 1, 2, 2),
    (35, "F1", None, 1, 3, 4),
    (36, "F2", None, 1, 4, 8),
    (37, "F3", None, 1, 5, 16),
    (38, "F4", None, 4, 6, 4),
    (39, "F5", None, 4, 7, 8),
    (40, "F6", None, 4, 8, 16),
    (41, "F7", None, 4, 9, 32),
    (42, "F8", None, 4, 10, 64),
    (43, "F9", None, 7, 11, 16),
    (44, "F10", None, 7, 12, 32),
    (45, "F11", None, 7, 13, 64),
    (46, "F12", None, 7, 14, 128),
]


@pytest.mark.parametrize(("cv", "key", "when", "output", "value"), [(*row[:3], *row[4:]) for row in MATRIX])
def test_each_row_of_the_matrix_says_its_default_output(
    cv: int, key: str, when: str | None, output: int, value: int
) -> None:
    found = programming({key: [{"output": f"a{output}", "when": when or []}]})
    assert found.faults == []
    assert values(found)[cv] == value == setting(found, cv).default
    # All other rows say that their key turns nothing on.
    assert {number for number, each in values(found).items() if 33 <= number <= 46 and each} == {cv}


@pytest.mark.parametrize(("cv", "key", "when", "first"), [row[:4] for row in MATRIX])
def test_each_row_reaches_its_eight_outputs_and_no_other(cv: int, key: str, when: str | None, first: int) -> None:
    for number in range(1, 15):
        found = programming({key: [{"output": f"a{number}", "when": when or []}]})
        if first <= number <= first + 7:
            assert (found.faults, values(found)[cv]) == ([], 1 << number - first)
        else:
            assert [type(fault).__name__ for fault in found.faults] == ["Unreachable"]


def test_the_table_of_the_program_is_that_of_the_standard() -> None:
    assert [(row.cv, f"F{row.term.key}", row.first_output, row.default) for row in ROWS] == [
        (cv, key, first, value) for cv, key, _, first, _, value in MATRIX
    ]


def test_several_outputs_of_a_key_are_several_bits() -> None:
    # S-9.2.2, read: a 1 in a bit means that the function drives that output; several may.
    found = programming({"F3": ["a1", "a3", "a8"], "F0": ["a1"]})
    assert (values(found)[37], values(found)[33], values(found)[34]) == (0b1000_0101, 1, 1)


def test_a_shifted_window_of_the_sheet_holds() -> None:
    # Common practice: many decoders can have the shift of F4 to F8 switched off.
    shifted = sheet({"function-matrix": {"first-output": {"F4 to F8": "1"}}})
    found = programming({"F4": ["a3"]}, shifted)
    assert (found.faults, values(found)[38], setting(found, 38).default) == ([], 4, None)


# --- CV29 -------------------------------------------------------------------------------------------------------------

# S-9.2.2 (2012), table 1, read: bit 0 direction reversed, bit 1 F0 in function group one, bit 5 the long address.
CONFIGURATION = [
    ({}, 0b10, 0b11),
    ({"reversed": "true"}, 0b11, 0b11),
    ({"reversed": "false"}, 0b10, 0b11),
    ({"address": "3"}, 0b10, 0b10_0011),
    ({"address": "127"}, 0b10, 0b10_0011),
    ({"address": "128"}, 0b10_0010, 0b10_0011),
    ({"address": {"long": "112"}}, 0b10_0010, 0b10_0011),
    ({"address": "2107", "reversed": "true"}, 0b10_0011, 0b10_0011),
]


@pytest.mark.parametrize(("vehicle", "value", "mask"), CONFIGURATION)
def test_cv29_has_the_bits_that_the_plan_decides_and_leaves_the_others(
    vehicle: dict[str, object], value: int, mask: int
) -> None:
    written = setting(programming({}, **vehicle), 29)
    assert (written.value, written.mask, written.must_be_read_first) == (value, mask, True)


@pytest.mark.parametrize(("value", "words"), [
    (0b00, "F0 does not travel in the function group but in the speed step, so the headlamp flickers as the speed changes"),
    (0b10, "F0 travels in the function group, with F1 to F4, so the headlamp does not flicker with the speed step"),
])  # fmt: skip
def test_the_words_for_cv29_say_what_becomes_of_the_headlamp(value: int, words: str) -> None:
    # S-9.2.1 and S-9.2.2, read: with bit 1 clear F0 is bit 4 of the speed packet. That it flickers is derived.
    assert Words(None, None).meaning(29, None, value, 0b11) == f"direction as built; {words}"


# --- Addresses --------------------------------------------------------------------------------------------------------


def test_the_default_of_cv1_is_that_of_the_standard() -> None:
    # S-9.2.2 (2012), table 1, read; of CV17 and CV18 it says none.
    assert setting(programming({}, address="41"), 1).default == 3
    assert setting(programming({}, address="1041"), 17).default is None


# S-9.2.2 and S-9.2.1, read: CV17 is 192 to 231, the address is (CV17 - 192) times 256 and CV18. 1000 is RCN-225's
# default, read second-hand, its CVs derived; 1234 is derived.
LONG = [
    ("128", 192, 128),
    ("255", 192, 255),
    ("256", 193, 0),
    ("1000", 195, 232),
    ("1234", 196, 210),
    ("10239", 231, 255),
]


@pytest.mark.parametrize(("address", "high", "low"), LONG)
def test_long_addresses(address: str, high: int, low: int) -> None:
    found = programming({}, address=address)
    written = values(found)
    assert (written[17], written[18], 1 in written) == (high, low, False)
    assert long_before_short(found.settings)


def long_before_short(settings: object) -> bool:
    cvs = [each.cv for each in settings]  # type: ignore[attr-defined]
    return cvs.index(17) < cvs.index(18) < cvs.index(29)


@pytest.mark.parametrize("address", [1, 3, 127])
def test_short_addresses_stand_in_cv1(address: int) -> None:
    # S-9.2.2, read: CV1 is 1 to 127, with bit 7 clear.
    written = values(programming({}, address=str(address)))
    assert (written[1], 17 in written, 18 in written) == (address, False, False)


@pytest.mark.parametrize("address", ["0", "10240", "99999", {"long": "0"}])
def test_an_address_that_there_is_none_of_is_not_written(address: object) -> None:
    assert set(values(programming({}, address=address))) & {1, 17, 18} == set()


# --- Consists ---------------------------------------------------------------------------------------------------------


def consist(keys: list[str], address: str = "42", turned: str = "false") -> dict[int, int]:
    return values(programming({}, consist={"address": address, "reversed": turned, "keys": keys}))


def test_a_consist_is_an_address_with_a_direction() -> None:
    # S-9.2.2, read: CV19 bits 0 to 6 the address, bit 7 reversed.
    assert consist(["F0"])[19] == 42
    assert consist(["F0"], turned="true")[19] == 128 + 42
    # RCN-225, read second-hand: CV20 times 100 and CV19.
    assert (consist(["F0"], "2107")[20], consist(["F0"], "2107")[19]) == (21, 7)


@pytest.mark.parametrize(("key", "cv", "value"), [
    *((f"F{number}", 21, 1 << number - 1) for number in range(1, 9)),
    ("F0", 22, 0b11), ("F9", 22, 4), ("F10", 22, 8), ("F11", 22, 16), ("F12", 22, 32),
])  # fmt: skip
def test_the_keys_that_obey_a_consist(key: str, cv: int, value: int) -> None:
    # S-9.2.2, read: CV21 bit 0 F1 to bit 7 F8; CV22 bit 0 F0 forward, bit 1 F0 reverse, bits 2 to 5 F9 to F12.
    found = consist([key])
    assert (found[cv], found[43 - cv]) == (value, 0)


def test_keys_beyond_f12_obey_a_consist_in_groups_only() -> None:
    # RCN-225, read second-hand: bit 6 of CV22 is F13 to F20 together, bit 7 F21 to F28.
    assert consist([f"F{key}" for key in range(13, 21)])[22] == 64
    assert consist([f"F{key}" for key in range(21, 29)])[22] == 128
    assert consist(["F13"])[22] == 0


# --- The pages of CV96, read second-hand ------------------------------------------------------------------------------


def test_by_function() -> None:
    # Four CVs a function and direction on page 0/40: 24 outputs, then the function that forbids, 255 for none.
    found = programming(
        {"F0": [{"output": "a2", "when": "forward"}], "F1": [{"output": "a9", "when": ["reverse", "not F3"]}]},
        sheet("by-function"),
    )
    assert values(found)[96] == 2
    rows = {key: value for key, value in paged(found).items() if value}
    assert rows == {(0, 40, 257): 2, (0, 40, 260): 255, (0, 40, 270): 1, (0, 40, 272): 3}


def test_by_output_matrix() -> None:
    # Four CVs an output and direction on page 0/41: F0 to F7, F8 to F15, F16 to F23, F24 to F31.
    found = programming({"F9": ["a1"], "F31": [{"output": "a3", "when": "reverse"}]}, sheet("by-output-matrix"))
    assert values(found)[96] == 3
    rows = {key: value for key, value in paged(found).items() if value}
    assert rows == {(0, 41, 258): 2, (0, 41, 262): 2, (0, 41, 280): 128}


def test_by_output_numbers() -> None:
    # Four CVs an output and direction on page 0/42: three functions that turn it on, one that forbids it.
    found = programming(
        {
            "F5": [{"output": "a2", "when": ["forward", "not F7"]}],
            "F12": [{"output": "a2", "when": ["forward", "not F7"]}],
        },
        sheet("by-output-numbers"),
    )
    assert values(found)[96] == 4
    assert [paged(found)[0, 42, cv] for cv in range(265, 273)] == [5, 12, 255, 7, 255, 255, 255, 255]


def test_by_output_states() -> None:
    # Eight CVs an output on page 0/43: bits 0 to 5 the function, bits 7 and 6 both, forward, reverse, forbidding.
    found = programming({
        "F4": [{"output": "a1", "when": "not F6"}],
        "F5": [{"output": "a1", "when": ["forward", "not F6"]}],
        "F8": [{"output": "a1", "when": ["reverse", "not F6"]}],
        "F66": [{"output": "a1", "when": "not F6"}],
    }, sheet("by-output-states"))  # fmt: skip
    assert values(found)[96] == 5
    assert [paged(found)[0, 43, cv] for cv in range(257, 265)] == [64 + 5, 128 + 8, 4, 192 + 6, 0, 66, 255, 255]


def test_f63_forbids_by_a_word_since_its_byte_would_read_as_unused() -> None:
    # Derived: 63 + 192 is 255.
    found = programming({"F1": [{"output": "a1", "when": "not F63"}]}, sheet("by-output-states"))
    assert [paged(found)[0, 43, cv] for cv in range(257, 263)] == [1, 255, 255, 255, 128, 63]


def test_page_registers_come_before_their_page_and_go_back_after_it() -> None:
    found = programming({"F1": ["a1"]}, sheet("by-output-states", 1))
    order = [(each.cv, each.value) for each in found.settings]
    assert order[:3] == [(96, 5), (31, 0), (32, 43)]
    assert order[11:13] == [(31, 0), (32, 0)]


# --- What cannot be said ----------------------------------------------------------------------------------------------


def test_of_an_output_that_cannot_be_said_nothing_is_written() -> None:
    found = programming({"F1": ["a2", {"output": "a3", "when": "moving"}]})
    assert [type(fault).__name__ for fault in found.faults] == ["Unsayable"]
    # Bit 2 is left as it is on delivery; F1 is said to turn on output 2 and no other.
    written = setting(found, 35)
    assert (written.value, written.mask, written.default) == (0b110, 0b1111_1011, 4)
    by_output = programming({"F1": ["a2", {"output": "a3", "when": "moving"}]}, sheet("by-output-matrix"))
    assert {cv for _, _, cv in paged(by_output)} == set(range(265, 273))
    by_function = programming({"F1": ["a2", {"output": "a3", "when": "moving"}]}, sheet("by-function", 8))
    (row,) = [each for each in by_function.settings if each.cv == 265]
    assert (row.value, row.mask, row.must_be_read_first) == (0b10, 0b1111_1011, True)
