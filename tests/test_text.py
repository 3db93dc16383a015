"""Offsets, lines, columns and code units, against Python's own encoders and the words of the protocol."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lampwright.text import Edit, Position, Source, Span, apply, nearest

CHARACTERS = [
    "a",
    " ",
    "Ω",
    "é",
    "e\u0301",
    "\U0001f686",
    "\u2028",
    "\u2029",
    "\u0085",
    "\x0b",
    "\x0c",
    "\x1c",
    "\n",
    "\r\n",
    "\r",
    "\ufeff",
]
texts = st.lists(st.sampled_from(CHARACTERS), max_size=30).map("".join)
ENCODERS = {"utf-8": ("utf-8", 1), "utf-16": ("utf-16-le", 2), "utf-32": ("utf-32-le", 4)}


def units(text: str, encoding: str) -> int:
    codec, width = ENCODERS[encoding]
    return len(text.encode(codec)) // width


def lines_of(text: str) -> list[str]:
    """The lines without their ends: \\n, \\r\\n and \\r end a line and nothing else does (LSP 3.17, "Text Documents")."""
    return re.split("\r\n|\r|\n", text)


@given(texts)
def test_lines_end_where_the_protocol_says(text: str) -> None:
    source = Source("plan", text)
    lines = lines_of(text)
    assert [source.line(number) for number in range(1, len(lines) + 1)] == lines
    assert len(source.line_starts) == len(lines)


@given(texts, st.integers(-3, 40))
def test_a_position_leads_back_to_its_offset(text: str, offset: int) -> None:
    source = Source("plan", text)
    position = source.position(offset)
    inside = min(max(offset, 0), len(text))
    assert source.line_starts[position.line - 1] + position.column - 1 == inside
    if position.column - 1 <= len(source.line(position.line)):
        assert source.offset(position) == inside
    else:
        assert text[inside - 1 : inside + 1] == "\r\n", "only the middle of a line end is past the end of its line"


@given(texts)
def test_positions_count_from_one_and_grow(text: str) -> None:
    source = Source("plan", text)
    positions = [source.position(offset) for offset in range(len(text) + 1)]
    assert positions == sorted(set(positions))
    assert positions[0] == Position(1, 1)


def test_a_column_past_the_end_means_the_end_of_the_line() -> None:
    source = Source("plan", "ab\r\ncd")
    assert source.offset(Position(1, 99)) == 2
    assert source.offset(Position(2, 99)) == 6
    assert source.offset(Position(3, 1)) == 6
    assert source.offset(Position(0, 0)) == 0


@pytest.mark.parametrize("encoding", ENCODERS)
@given(text=texts, offset=st.integers(-3, 40))
def test_units_are_those_of_the_encoder(encoding: str, text: str, offset: int) -> None:
    source = Source("plan", text)
    inside = min(max(offset, 0), len(text))
    before = text[source.line_starts[source.position(inside).line - 1] : inside]
    assert source.units_before(offset, encoding) == units(before, encoding)


@pytest.mark.parametrize("encoding", ENCODERS)
@given(text=texts)
def test_units_lead_back_to_their_offset(encoding: str, text: str) -> None:
    source = Source("plan", text)
    for number, line in enumerate(lines_of(text), start=1):
        start = source.line_starts[number - 1]
        for column in range(len(line) + 1):
            assert source.offset_of_units(number, units(line[:column], encoding), encoding) == start + column
        assert source.offset_of_units(number, units(line, encoding) + 7, encoding) == start + len(line)


def test_the_example_of_the_protocol() -> None:
    # LSP 3.17, "Text Documents": in a𐐀b the letter b is at 3 in UTF-16, at 5 in UTF-8 and at 2 in UTF-32.
    source = Source("plan", "a\U00010400b")
    for encoding, place in (("utf-16", 3), ("utf-8", 5), ("utf-32", 2)):
        assert source.units_before(2, encoding) == place
        assert source.offset_of_units(1, place, encoding) == 2


def test_a_place_inside_a_character_means_its_start() -> None:
    source = Source("plan", "a\U00010400b")
    assert source.offset_of_units(1, 2, "utf-16") == 1
    assert [source.offset_of_units(1, unit, "utf-8") for unit in (2, 3, 4)] == [1, 1, 1]


def test_half_a_surrogate_pair_is_one_unit() -> None:
    source = Source("plan", "\ud83d.")
    assert source.units_before(1, "utf-16") == 1
    assert source.units_before(1, "utf-8") == 3


def test_spans_know_their_text_and_each_other() -> None:
    source = Source("plan", "scale: HO")
    key, value, whole = source.span(0, 5), source.span(7, 9), source.span(0, 9)
    assert (key.text, value.text, key.to(value)) == ("scale", "HO", whole)
    assert whole.part(7, 8).text == "H"
    assert whole.holds(value)
    assert whole.holds(whole)
    assert not value.holds(key)
    assert not Span(Source("plan", "scale: HO"), 0, 9).holds(value), "a place in another source is elsewhere"


@given(texts, st.data())
def test_edits_change_what_they_name_and_nothing_else(text: str, data: st.DataObject) -> None:
    source = Source("plan", text)
    cuts = sorted(data.draw(st.lists(st.integers(0, len(text)), min_size=4, max_size=4)))
    first, second = Edit(source.span(*cuts[:2]), "<1>"), Edit(source.span(*cuts[2:]), "<2>")
    expected = f"{text[: cuts[0]]}<1>{text[cuts[1] : cuts[2]]}<2>{text[cuts[3] :]}"
    assert apply(source, [first, second]) == expected
    if first.span.start != second.span.start:
        assert apply(source, [second, first]) == expected


def test_edits_that_overlap_or_belong_elsewhere_are_refused() -> None:
    source = Source("plan", "abcdef")
    with pytest.raises(ValueError, match="overlap at offset 2"):
        apply(source, [Edit(source.span(0, 3), ""), Edit(source.span(2, 4), "")])
    with pytest.raises(ValueError, match="of sheet cannot be applied to plan"):
        apply(source, [Edit(Source("sheet", "abcdef").span(0, 1), "")])
    assert apply(source, []) == "abcdef"


def test_the_nearest_words_come_best_first() -> None:
    assert nearest("fornt headlamp", ["rear headlamp", "front headlamp", "cab lamp"])[0] == "front headlamp"
    assert nearest("Scale", ["scale", "shell"])[0] == "scale"
    assert nearest("marker", ["scale", "shell"]) == ()
    assert len(nearest("lamp x", [f"lamp {number}" for number in range(9)])) == 3
