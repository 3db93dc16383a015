"""The interpreted pages of RCN-227 against worked examples. All of RCN-227 is second-hand.

"Read": in the text of the standard. "Second-hand": in digests of it. "Derived": computed by hand from what was read or
digested. "Language": the plan language says so, and no standard does.
"""

from __future__ import annotations

from typing import Any

import pytest

from programming.decoder_interpreter import Decoder, InterpreterError
from programming.decoders import FORWARD, REVERSE, STEADY, lines, lit, new, sheet


def page(method: int, *cvs: tuple[int, int], outputs: int = 1, highest: str = "28") -> Decoder:
    """A decoder with CV96 and the CVs of its method's page."""
    mapping = {2: "by-function", 3: "by-output-matrix", 4: "by-output-numbers", 5: "by-output-states"}[method]
    keys = {"highest": highest, "mapping": mapping}
    return new((96, method), *cvs, page=[0, 38 + method], keys=keys, outputs=outputs)


@pytest.mark.parametrize(
    ("key", "forward", "first"),
    [
        # RCN-227 section 2: F0f from 257, F0r from 261, F1f from 265, F1r from 269. F31r: 512 - 3, derived.
        ("F0", FORWARD, 257),
        ("F0", REVERSE, 261),
        ("F1", FORWARD, 265),
        ("F1", REVERSE, 269),
        ("F31", REVERSE, 509),
    ],
)
def test_by_function(key: str, forward: bool, first: int) -> None:
    # Bit n of 24 is output n + 1: 1 and 8 in the first byte, 9 in the second, 24 in the third.
    decoder = page(2, (first, 129), (first + 1, 1), (first + 2, 128), (first + 3, 255), outputs=25, highest="68")
    assert lit(decoder, key, forward=forward) == {"1", "8", "9", "24"}
    with pytest.raises(InterpreterError):
        lit(decoder, key, forward=not forward)


def test_by_function_with_an_inhibitor() -> None:
    # The fourth byte inhibits its own function only: F1 by F5.
    decoder = page(
        2, *zip(range(265, 269), (1, 0, 0, 5), strict=True), *zip(range(273, 277), (1, 0, 0, 255), strict=True)
    )
    assert lit(decoder, "F1") == {"1"}
    assert decoder.output("1", {"F1", "F2"}, True, False) == STEADY
    decoder.write(lines(*((cv, 0) for cv in range(297, 300)), (300, 255), page=[0, 40]))
    assert lit(decoder, "F1", "F5") == set()
    assert lit(decoder, "F1", "F2", "F5") == {"1"}


def test_by_function_ends_at_f31_and_at_output_24() -> None:
    decoder = page(2, (257, 0), (258, 0), (259, 0), (260, 255), outputs=25, highest="68")
    assert decoder.output("25", {"F31"}, True, False) is None
    assert lit(decoder, "F32", "F68") == set()


def test_an_inhibitor_that_is_no_function() -> None:
    with pytest.raises(InterpreterError, match="CV260 on page 0/40 is 100"):
        lit(page(2, (257, 1), (258, 0), (259, 0), (260, 100)), "F0")


def test_by_output_matrix() -> None:
    # RCN-227 section 3.1: output 2 from 257 + 8; four bytes of eight functions. Forward first: assumed.
    decoder = page(
        3,
        *((cv, 0) for cv in range(257, 265)),
        (265, 1),
        (266, 2),
        (267, 4),
        (268, 128),
        *((cv, 255) for cv in range(269, 273)),
        outputs=2,
        highest="68",
    )
    on = [n for n in range(69) if lit(decoder, f"F{n}")]
    assert on == [0, 9, 18, 31]
    assert [n for n in range(69) if lit(decoder, f"F{n}", forward=REVERSE)] == list(range(32))
    assert lit(decoder, "F0") == {"2"}


def test_by_output_numbers() -> None:
    # RCN-227 section 3.2: three numbers switch on, the fourth inhibits, 255 is unused. Forward first: assumed.
    decoder = page(4, (257, 0), (258, 12), (259, 255), (260, 7), (261, 255), (262, 255), (263, 20), (264, 255))
    assert lit(decoder, "F0") == lit(decoder, "F12") == {"1"}
    assert lit(decoder, "F0", "F7") == lit(decoder, "F20") == set()
    assert lit(decoder, "F20", "F7", forward=REVERSE) == {"1"}


@pytest.mark.parametrize(
    ("highest", "number", "is_function"), [("28", 28, True), ("28", 29, False), ("68", 68, True), ("68", 69, False)]
)
def test_numbers_above_the_functions_are_binary_states(highest: str, number: int, is_function: bool) -> None:
    # RCN-227 section 3.2: above 28, or 68 where that is supported. Nobody knows how a binary state stands.
    decoder = page(4, (257, number), (258, 3), (259, 255), (260, 255), highest=highest)
    assert lit(decoder, "F3") == {"1"}
    if is_function:
        assert lit(decoder, f"F{number}") == {"1"}
        assert lit(decoder) == set()
    else:
        with pytest.raises(InterpreterError, match=f"the binary state {number}"):
            lit(decoder)


def states(*values: int, **given: Any) -> Decoder:
    """The eight CVs of output 1 on page 0/43; what is not given is unused."""
    return page(5, *zip(range(257, 265), (*values, *[255] * (8 - len(values))), strict=True), **given)


@pytest.mark.parametrize(
    ("byte", "forward", "reverse"),
    [
        # RCN-227 section 3.3: F6 in both directions, + 64 forward only, + 128 reverse only; 255 unused.
        (6, True, True),
        (6 + 64, True, False),
        (6 + 128, False, True),
        (6 + 192, False, False),
        (255, False, False),
    ],
)
def test_by_output_states_and_directions(byte: int, forward: bool, reverse: bool) -> None:
    decoder = states(byte)
    assert bool(lit(decoder, "F6", forward=FORWARD)) is forward
    assert bool(lit(decoder, "F6", forward=REVERSE)) is reverse
    assert lit(decoder) == set()


def test_by_output_states_with_an_inhibitor() -> None:
    # F0 or F3 forward, and not F7 (7 + 192).
    decoder = states(0, 3 + 64, 7 + 192)
    assert [lit(decoder, *keys) for keys in (("F0",), ("F3",), ("F0", "F7"), ("F7",))] == [{"1"}, {"1"}, set(), set()]
    # F63 as an inhibitor would be 255, and is unused: derived.
    assert lit(states(0, 63 + 192, highest="68"), "F0", "F63") == {"1"}


def test_by_output_states_with_long_numbers() -> None:
    # Bytes 5 and 6, 7 and 8: the high seven bits first, bit 7 inhibits, twice 255 unused.
    decoder = states(255, 255, 255, 255, 0, 12, 128, 7)
    assert (lit(decoder, "F12"), lit(decoder, "F12", "F7"), lit(decoder, "F7")) == ({"1"}, set(), set())
    # The fifth byte is no function by itself.
    assert lit(decoder, "F0") == set()
    with pytest.raises(InterpreterError, match="the binary state 300"):
        lit(states(255, 255, 255, 255, 1, 44))


def test_by_output_states_counts_outputs_by_eight() -> None:
    # 256 CVs for 32 outputs: derived. Output 2 from 265, and output 33 has no place.
    decoder = states(255, outputs=33)
    decoder.write(
        lines(
            (265, 1),
            *((cv, 255) for cv in range(266, 273)),
            (505, 1),
            *((cv, 255) for cv in range(506, 513)),
            page=[0, 43],
        )
    )
    assert {name for name in ("1", "2", "32", "33") if decoder.output(name, {"F1"}, True, False)} == {"2", "32"}


@pytest.mark.parametrize("method", [3, 4])
def test_the_pages_by_output_end_at_output_32(method: int) -> None:
    # 256 CVs for 32 outputs and two directions: derived. F0 in the last row.
    decoder = page(method, (505, int(method == 3)), (506, 255), (507, 255), (508, 255), outputs=33)
    assert decoder.output("32", {"F0"}, True, False) == STEADY
    assert decoder.output("33", {"F0"}, True, False) is None


def test_half_a_long_number_is_not_known() -> None:
    for half in (261, 262):
        decoder = page(5, *((cv, 255) for cv in range(257, 265) if cv != half))
        with pytest.raises(InterpreterError, match=f"CV{half} on page 0/43"):
            lit(decoder)


@pytest.mark.parametrize(("highest", "is_known"), [("28", False), ("29", True)])
def test_more_functions_than_28_are_all_of_them(highest: str, is_known: bool) -> None:
    decoder = page(4, (257, 29), (258, 255), (259, 255), (260, 255), highest=highest)
    if is_known:
        assert (lit(decoder, "F29"), lit(decoder)) == ({"1"}, set())
    else:
        with pytest.raises(InterpreterError, match="binary state 29"):
            lit(decoder)


@pytest.mark.parametrize("method", [2, 3, 4, 5])
def test_a_page_counts_only_when_cv96_selects_it(method: int) -> None:
    # RCN-225, CV96: 2 by function, 3, 4 and 5 by output.
    decoder = page(method, *((cv, 255) for cv in range(257, 265)))
    assert decoder.output("1", set(), True, False) is None
    decoder.write(lines((96, 0)))
    with pytest.raises(InterpreterError, match="CV96 is 0"):
        decoder.output("1", set(), True, False)
    unselected = Decoder.from_sheet(sheet("by-function", 1))
    with pytest.raises(InterpreterError, match="CV96"):
        unselected.output("1", set(), True, False)


def test_a_reversed_direction_swaps_pages_too() -> None:
    decoder = states(6 + 64)
    decoder.write(lines((29, 1)))
    assert (lit(decoder, "F6", forward=FORWARD), lit(decoder, "F6", forward=REVERSE)) == (set(), {"1"})


def test_keys_above_the_highest_are_ignored() -> None:
    # Language: `highest` is the highest key that the decoder knows.
    keys = {"highest": "4", "mapping": "function-matrix"}
    assert lit(new(keys=keys), "F4", "F5") == {"6"}
