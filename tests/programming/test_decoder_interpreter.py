"""The interpreter of decoders against worked examples: of the standards, and of fixed tables.

"Read": in the text of the standard. "Second-hand": in digests of it. "Derived": computed by hand from what was read or
digested. "Language": the plan language says so, and no standard does.
"""

from __future__ import annotations

from typing import Any

import pytest

from programming.decoder_interpreter import Decoder, InterpreterError, Look, read_sheet
from programming.decoders import FORWARD, REVERSE, STEADY, lit, new, sheet

# --- CV33 to CV46 -----------------------------------------------------------------------------------------------------

DELIVERED = [
    # S-9.2.2 (2012) Table 2: function, direction, its CV, the first output of its window, the default output: read.
    ("F0", FORWARD, 33, 1, 1),
    ("F0", REVERSE, 34, 1, 2),
    ("F1", FORWARD, 35, 1, 3),
    ("F2", FORWARD, 36, 1, 4),
    ("F3", FORWARD, 37, 1, 5),
    ("F4", FORWARD, 38, 4, 6),
    ("F5", FORWARD, 39, 4, 7),
    ("F6", FORWARD, 40, 4, 8),
    ("F7", FORWARD, 41, 4, 9),
    ("F8", FORWARD, 42, 4, 10),
    ("F9", FORWARD, 43, 7, 11),
    ("F10", FORWARD, 44, 7, 12),
    ("F11", FORWARD, 45, 7, 13),
    ("F12", FORWARD, 46, 7, 14),
]


@pytest.mark.parametrize(("key", "forward", "output"), [(row[0], row[1], row[4]) for row in DELIVERED])
def test_the_matrix_as_delivered(key: str, forward: bool, output: int) -> None:
    assert Decoder.from_sheet(sheet()).lit({key}, forward, False) == {str(output): STEADY}


@pytest.mark.parametrize(("key", "forward", "cv", "first"), [row[:4] for row in DELIVERED])
def test_the_window_of_each_function(key: str, forward: bool, cv: int, first: int) -> None:
    # S-9.2.2 Table 2: bit 0 is the lowest output of the window, and eight fit: read; the value 2^(k - s): derived.
    assert lit(new((cv, 255)), key, forward=forward) == {str(n) for n in range(first, first + 8)}
    for number in range(first, first + 8):
        assert lit(new((cv, 2 ** (number - first))), key, forward=forward) == {str(number)}


def test_several_functions_on_one_output_add_up() -> None:
    # S-9.2.2: read.
    decoder = new((35, 2), (36, 2))
    assert [lit(decoder, *keys) for keys in ((), ("F1",), ("F2",), ("F1", "F2"))] == [set(), {"2"}, {"2"}, {"2"}]


def test_only_f0_knows_directions_in_the_matrix() -> None:
    decoder = Decoder.from_sheet(sheet())
    assert lit(decoder, "F5", forward=FORWARD) == lit(decoder, "F5", forward=REVERSE) == {"7"}
    assert lit(decoder, "F0", forward=FORWARD) != lit(decoder, "F0", forward=REVERSE)


def test_a_function_without_a_cv_of_the_matrix_switches_nothing() -> None:
    assert lit(Decoder.from_sheet(sheet()), "F13", "F28") == set()


def test_windows_of_the_sheet() -> None:
    # Language: F4 to F8 reach output 1 on when the shift is off. Value 1 then means output 1, not 4.
    everything = {"function-matrix": {"first-output": {"F0 to F20": "1"}}}
    assert lit(new(*((cv, 255) for cv in range(33, 48)), mapping=everything), "F13") == set()
    shifted = {"function-matrix": {"first-output": {"F4 to F8": "1", "F12": "3"}}}
    decoder = new((39, 1), (46, 1), mapping=shifted)
    assert (lit(decoder, "F5"), lit(decoder, "F12"), lit(decoder, "F9")) == ({"1"}, {"3"}, {"11"})
    # What such a decoder is delivered with, no standard says.
    with pytest.raises(InterpreterError, match="CV38"):
        lit(decoder, "F4")


def test_the_matrix_is_not_asked_while_another_method_is_selected() -> None:
    # RCN-225, CV96: 1 is the matrix, second-hand.
    assert lit(new((96, 1)), "F1") == {"3"}
    with pytest.raises(InterpreterError, match="CV96 is 2"):
        lit(new((96, 2)), "F1")


# --- Addresses, directions, consists ----------------------------------------------------------------------------------


def test_the_address_as_delivered() -> None:
    # S-9.2.2, CV1 default 3: read.
    assert Decoder.from_sheet(sheet()).address() == (3, False)


@pytest.mark.parametrize(
    ("cvs", "address"),
    [
        # S-9.2.2: CV1 from 1 to 127, CV29 bit 5 selects CV17 and CV18, CV17 from 192 to 231: read.
        ([(1, 1)], (1, False)),
        ([(1, 127)], (127, False)),
        # The pair of 1234 and that of 1000: derived.
        ([(17, 196), (18, 210), (29, 32)], (1234, True)),
        ([(17, 195), (18, 232), (29, 32)], (1000, True)),
        ([(17, 192), (18, 112), (29, 32)], (112, True)),
        ([(17, 231), (18, 255), (29, 32)], (10239, True)),
        # A long address that CV29 does not select.
        ([(1, 5), (17, 196), (18, 210), (29, 0)], (5, False)),
        # S-9.2.1: CV17 takes effect when CV18 is written, read. 195/210 waits for no CV18 and stays 1234.
        ([(17, 196), (18, 210), (29, 32), (17, 195)], (1234, True)),
    ],
)
def test_the_address(cvs: list[tuple[int, int]], address: tuple[int, bool]) -> None:
    assert new(*cvs).address() == address


@pytest.mark.parametrize(
    "cvs",
    [
        # S-9.2.2: 0 leaves DCC, bit 7 is 0, CV17 from 192 to 231: read. A long address 0 is invalid: second-hand.
        [(1, 0)],
        [(1, 128)],
        [(17, 191), (18, 255), (29, 32)],
        [(17, 232), (18, 0), (29, 32)],
        [(17, 192), (18, 0), (29, 32)],
        # CV18 before CV17: nobody knows the CV17 that is in effect.
        [(18, 210), (17, 196), (29, 32)],
        [(29, 32)],
    ],
)
def test_no_address(cvs: list[tuple[int, int]]) -> None:
    with pytest.raises(InterpreterError):
        new(*cvs).address()


def test_a_reversed_direction_swaps_the_headlights() -> None:
    # S-9.2.2, CV29 bit 0: read.
    decoder = new((29, 1))
    assert decoder.direction_reversed
    assert (lit(decoder, "F0", forward=FORWARD), lit(decoder, "F0", forward=REVERSE)) == ({"2"}, {"1"})


def test_where_f0_comes_from() -> None:
    # S-9.2.2, CV29 bit 1: read. No default is known.
    assert new((29, 2)).f0_in_function_group
    assert not new((29, 0)).f0_in_function_group
    with pytest.raises(InterpreterError, match="CV29"):
        assert Decoder.from_sheet(sheet()).f0_in_function_group


@pytest.mark.parametrize(
    ("cvs", "address", "is_reversed"),
    [
        # S-9.2.2, CV19: bits 0 to 6 the address, bit 7 reversed, 0 none: read.
        ([(19, 42)], 42, False),
        ([(19, 170)], 42, True),
        ([(19, 0)], None, False),
        # RCN-225, CV20 * 100 + CV19: second-hand.
        ([(19, 34), (20, 12)], 1234, False),
    ],
)
def test_the_consist(cvs: list[tuple[int, int]], address: int | None, is_reversed: bool) -> None:
    decoder = new(*cvs)
    assert (decoder.consist_address(), decoder.consist_reversed) == (address, is_reversed)


@pytest.mark.parametrize(
    ("cv", "bit", "keys"),
    [
        # S-9.2.2, CV21 and CV22: read.
        *((21, bit, {f"F{bit + 1}"}) for bit in range(8)),
        (22, 0, {"F0 forward"}),
        (22, 1, {"F0 reverse"}),
        *((22, bit, {f"F{bit + 7}"}) for bit in range(2, 6)),
        # RCN-225: second-hand; S-9.2.2 leaves these bits undefined.
        (22, 6, {f"F{n}" for n in range(13, 21)}),
        (22, 7, {f"F{n}" for n in range(21, 29)}),
    ],
)
def test_which_functions_obey_the_consist(cv: int, bit: int, keys: set[str]) -> None:
    decoder = new((21, 0), (22, 0), (cv, 1 << bit))
    obeyed = {f"F{n}" for n in range(1, 69) if decoder.obeys_consist(f"F{n}")}
    obeyed |= {
        f"F0 {name}"
        for name, way in (("forward", True), ("reverse", False))
        if decoder.obeys_consist("F0", forward=way)
    }
    assert obeyed == keys


def test_one_bit_of_a_cv_is_enough() -> None:
    decoder = Decoder.from_sheet(sheet())
    decoder.write([{"cv": 29, "value": 2, "mask": 2}, {"cv": 19, "value": 128, "mask": 128}])
    assert (decoder.f0_in_function_group, decoder.consist_reversed) == (True, True)
    with pytest.raises(InterpreterError, match="CV19"):
        decoder.consist_address()


def test_light_in_a_consist() -> None:
    # S-9.2.2, CV19, CV21 and CV22, derived: reversed in its consist, obeying F0 in reverse and F6 there, and not F1.
    decoder = new((19, 128 + 42), (21, 0b0010_0000), (22, 0b10))
    assert set(decoder.lit_in_consist({"F0", "F1", "F6"}, FORWARD, True)) == {"2", "8"}
    assert set(decoder.lit_in_consist({"F0"}, REVERSE, True)) == set()
    assert set(decoder.lit_in_consist(set(), FORWARD, True, own_keys={"F1", "F6"})) == {"3"}


# --- A fixed table ----------------------------------------------------------------------------------------------------


def test_a_fixed_table() -> None:
    # Language.
    fixed = {
        "F0": [{"output": "1", "when": "forward"}, {"output": "2", "when": "reverse"}],
        "F1": [{"output": ["1", "3"], "when": [{"any": ["stopped", "F2"]}, "not F4"], "brightness": "40 %"}],
        "F3": [{"output": "4", "effect": "beacon", "rate": "60 per minute"}],
    }
    decoder = new(keys={"highest": "28", "mapping": "fixed", "fixed": fixed})
    assert decoder.lit({"F0"}, True, True) == {"1": STEADY}
    assert decoder.lit({"F0"}, False, True) == {"2": STEADY}
    dim = Look("steady", 0.4, None)
    assert decoder.lit({"F0", "F1"}, True, False) == {"1": dim, "3": dim}
    assert decoder.lit({"F1", "F2"}, True, True) == {"1": dim, "3": dim}
    assert decoder.lit({"F1"}, True, True) == decoder.lit({"F1", "F4"}, True, False) == {}
    assert decoder.lit({"F3"}, True, False) == {"4": Look("beacon", 1.0, 60.0)}


def test_two_looks_at_once_contradict_each_other() -> None:
    fixed = {"F0": [{"output": "1", "brightness": "40 %"}], "F1": [{"output": "1", "brightness": "60 %"}]}
    decoder = new(keys={"mapping": "fixed", "fixed": fixed})
    assert decoder.lit({"F1"}, True, False) == {"1": Look("steady", 0.6, None)}
    with pytest.raises(InterpreterError, match="brightness"):
        decoder.lit({"F0", "F1"}, True, False)


@pytest.mark.parametrize("keys", [{}, {"mapping": "by-guess"}, {"mapping": {"by-function": {}}}])
def test_no_mapping_cannot_tell(keys: dict[str, Any]) -> None:
    with pytest.raises(InterpreterError, match="cannot tell"):
        lit(new(keys=keys), "F0")


# --- Questions without an answer ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("keys", [{"F69"}, {"f0"}, {"F00"}, {"Headlamps"}])
def test_no_key(keys: set[str]) -> None:
    with pytest.raises(InterpreterError, match="no function key"):
        Decoder.from_sheet(sheet()).lit(keys, True, False)


def test_no_output() -> None:
    with pytest.raises(InterpreterError, match="no output 'pink'"):
        Decoder.from_sheet(sheet()).output("pink", set(), True, False)


def test_a_sheet_is_read_as_text() -> None:
    assert read_sheet("a: {b: [07, off, 1e3, ~]}") == {"a": {"b": ["07", "off", "1e3", "~"]}}
    with pytest.raises(InterpreterError, match="a mapping"):
        read_sheet("- a")
