"""Lines of a programming list and what they leave in the CVs, against worked examples of the standards.

"Read": in the text of the standard. "Second-hand": in digests of it. "Derived": computed by hand from what was read or
digested. "Language": the plan language says so, and no standard does.
"""

from __future__ import annotations

from typing import Any

import pytest

from programming.cv_memory import Write
from programming.decoder_interpreter import Decoder, InterpreterError
from programming.decoders import STEADY, lines, lit, new, sheet


def test_a_mask_writes_its_bits_only() -> None:
    decoder = Decoder.from_sheet(sheet())
    decoder.write([{"cv": 35, "value": 0b1000_0011, "mask": 0b0000_0001, "page": None}])
    # CV35 was 4, output 3.
    assert lit(decoder, "F1") == {"1", "3"}


def test_the_later_write_counts() -> None:
    assert lit(new((35, 1), (35, 2)), "F1") == {"2"}


def test_bits_that_nobody_wrote_are_not_known() -> None:
    moved = {"function-matrix": {"first-output": {"F4": "1"}}}
    decoder = Decoder.from_sheet(sheet(moved))
    decoder.write([{"cv": 38, "value": 1, "mask": 3, "page": None}])
    assert decoder.output("1", {"F4"}, True, False) == STEADY
    assert decoder.output("2", {"F4"}, True, False) is None
    with pytest.raises(InterpreterError, match="CV38"):
        decoder.output("3", {"F4"}, True, False)
    # A function that surely lights it settles what the other one does.
    assert decoder.output("3", {"F1", "F4"}, True, False) == STEADY


@pytest.mark.parametrize(("cv", "value"), [(7, 8), (8, 9), (8, 0)])
def test_read_only(cv: int, value: int) -> None:
    # S-9.2.2: read.
    with pytest.raises(InterpreterError, match="read-only"):
        new((cv, value))


def test_a_reset_makes_it_what_it_was_on_delivery() -> None:
    # RCN-226, read second-hand: 8 written into CV8. The address is 3 then (S-9.2.2, read).
    decoder = new((35, 1), (29, 0b10_0011), (17, 200), (18, 1))
    assert (decoder.address(), decoder.f0_in_function_group) == ((2049, True), True)
    assert decoder.write(lines((8, 8))) == []
    assert (lit(decoder, "F1"), decoder.address()) == ({"3"}, (3, False))
    # What nobody knew on delivery, nobody knows again; half of an address does not survive.
    with pytest.raises(InterpreterError, match="CV29"):
        _ = decoder.f0_in_function_group
    decoder.write([*lines((17, 200), (8, 8), (18, 1)), {"cv": 29, "value": 32, "mask": 32}])
    with pytest.raises(InterpreterError, match="CV17"):
        decoder.address()


def test_a_reset_of_some_bits_is_none_and_a_locked_decoder_takes_none() -> None:
    with pytest.raises(InterpreterError, match="read-only"):
        new().write([{"cv": 8, "value": 8, "mask": 15}])
    locked = new((35, 1), (16, 3))
    assert locked.write(lines((8, 8))) == [Write(8, 8, 255, None)]
    assert lit(locked, "F1") == {"1"}


def test_a_locked_decoder_takes_no_writes() -> None:
    # S-9.2.2, CV15 and CV16: writes are accepted only if both are equal, read.
    decoder = new((16, 3))
    assert decoder.write(lines((35, 1))) == [Write(35, 1, 255, None)]
    assert lit(decoder, "F1") == {"3"}
    assert decoder.write(lines((15, 2), (35, 1))) == [Write(35, 1, 255, None)]
    assert decoder.write(lines((15, 3), (35, 1))) == []
    assert lit(decoder, "F1") == {"1"}


@pytest.mark.parametrize(
    "line",
    [
        {"cv": 0, "value": 1},
        {"cv": 1025, "value": 1},
        {"cv": 35, "value": 256},
        {"cv": 35, "value": -1},
        {"cv": 35, "value": "1"},
        {"cv": 35, "value": True},
        {"cv": 35, "value": 1, "mask": 256},
        {"cv": 35, "value": 1, "page": [0, 40]},
        {"cv": 300, "value": 1, "page": [0, 256]},
        {"cv": 300, "value": 1, "page": [0]},
        # Nobody has selected a page.
        {"cv": 300, "value": 1, "page": None},
    ],
)
def test_a_line_that_cannot_be_written(line: dict[str, Any]) -> None:
    # S-9.2.2: eight bits, CV1 to CV1024, and CV257 to CV512 on the page of CV31 and CV32: read.
    with pytest.raises(InterpreterError):
        Decoder.from_sheet(sheet()).write([line])


def test_only_256_cvs_are_indexed() -> None:
    # S-9.2.2, CV257 to CV512: read.
    assert Decoder.from_sheet(sheet()).write([*lines((256, 1)), {"cv": 513, "value": 1}]) == []
    for cv in (257, 512):
        with pytest.raises(InterpreterError, match="CV31"):
            Decoder.from_sheet(sheet()).write([{"cv": cv, "value": 1}])
    with pytest.raises(InterpreterError, match="only CV257 to CV512"):
        Decoder.from_sheet(sheet()).write([{"cv": 513, "value": 1, "page": [0, 0]}])


def test_each_page_has_cvs_of_its_own() -> None:
    # S-9.2.2, CV31 and CV32: read. Page 0/41 is read here, and 0/42 must not disturb it.
    decoder = new((96, 3), (257, 1), (261, 0), page=[0, 41], mapping="by-output-matrix", outputs=1)
    decoder.write(lines((257, 255), page=[0, 42]))
    assert (lit(decoder, "F0"), lit(decoder, "F1")) == ({"1"}, set())


def test_a_list_that_selects_its_pages_must_have_selected_them() -> None:
    paged = {"cv": 257, "value": 1, "mask": 255, "page": [0, 41]}
    select = lines((31, 0), (32, 41))
    decoder = Decoder.from_sheet(sheet("by-output-matrix", 1))
    assert decoder.write([*lines((96, 3)), *select, paged]) == []
    assert lit(decoder, "F0") == {"1"}
    for wrong in ([*lines((31, 0), (32, 42)), paged], [paged, *lines((31, 0), (32, 40)), paged]):
        with pytest.raises(InterpreterError, match="page 0/41"):
            decoder.write(wrong)
    # Half a page is none.
    for half in ((31, 0), (32, 41)):
        with pytest.raises(InterpreterError, match=r"CV3[12]"):
            Decoder.from_sheet(sheet()).write([*lines(half), paged])
