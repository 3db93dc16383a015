"""Edits of buffers, held against a client that keeps its text in the very units that it counts in."""

from __future__ import annotations

import os
import random

import pytest
from lsprotocol import types

from lampwright.text import Encoding
from lampwright_lsp.convert import ENCODINGS, Positions, buffer
from lampwright_lsp.texts import Change, Text, split_lines

EDITS = int(os.environ.get("LAMPWRIGHT_EXAMPLES", "3000"))
"""How many random edits are made in each encoding."""

NASTY = [
    "\n", "\r", "\r\n", "\n\r", "\u2028", "\u2029", "\u0085", "\f", "\v", "\x1c", "\x1d", "\x1e", "\0", "\t", " ",
    "\ufeff", "a", "µ", "Ω", "°", "é", "e\u0301", "漢", "\U0001f682", "\U0001f469\u200d\U0001f527", "\u200b", "\x7f",
    "\ud83d", "\ude82", "\uffff", "\U0010ffff", "F0: {turns-on: [white]}", "x" * 70,
]  # fmt: skip
UNIT = {"utf-8": 1, "utf-16": 2, "utf-32": 4}
CODEC = {"utf-8": "utf-8", "utf-16": "utf-16-le", "utf-32": "utf-32-le"}


class Editor:
    """A buffer as bytes of one encoding; places in it are found by going through all of it."""

    def __init__(self, encoding: Encoding) -> None:
        self.encoding = encoding
        self.data = b""

    def encoded(self, text: str) -> bytes:
        return text.encode(CODEC[self.encoding], "surrogatepass")

    @property
    def text(self) -> str:
        return self.data.decode(CODEC[self.encoding], "surrogatepass")

    def places(self) -> list[tuple[types.Position, int]]:
        """Every position between two characters that is not within a line end, and where it is in bytes."""
        found, line, column, at = [], 0, 0, 0
        text = self.text
        for index, character in enumerate(text):
            if text[max(index - 1, 0) : index + 1] != "\r\n":
                found.append((types.Position(line, column // UNIT[self.encoding]), at))
            size = len(self.encoded(character))
            at, column = at + size, column + size
            if character == "\n" or (character == "\r" and text[index + 1 : index + 2] != "\n"):
                line, column = line + 1, 0
        return [*found, (types.Position(line, column // UNIT[self.encoding]), at)]

    def edit(self, chance: random.Random) -> Change:
        """Make a random edit; what a client would send of it."""
        text = "".join(chance.choices(NASTY, k=chance.choice((0, 1, 1, 1, 2, 5))))
        if self.encoding != "utf-16":
            # Only there are halves of characters anything that a client could hold.
            text = text.replace("\ud83d", "").replace("\ude82", "")
        if chance.random() < 0.01:
            self.data = self.encoded(text)
            return types.TextDocumentContentChangeWholeDocument(text)
        places = self.places()
        one = chance.randrange(len(places))
        # With ranges from anywhere to anywhere alone the text would stay short.
        anywhere = chance.randrange(len(places)) if chance.random() < 0.02 else one
        other = chance.choice((one, one, one - 1, one + 1, one + 3, anywhere))
        (start, first), (end, last) = sorted(
            (places[one], places[min(max(other, 0), len(places) - 1)]), key=lambda place: place[1]
        )
        self.data = self.data[:first] + self.encoded(text) + self.data[last:]
        return types.TextDocumentContentChangePartial(types.Range(start, end), text)


@pytest.mark.parametrize("encoding", list(ENCODINGS.values()))
def test_random_edits_leave_what_the_client_has(encoding: Encoding) -> None:
    chance = random.Random(f"edits in {encoding}")
    positions, editor = Positions(encoding), Editor(encoding)
    text = Text("file:///loco.lights.yaml", 0, ("",))
    made = 0
    while made < EDITS:
        changes = [editor.edit(chance) for _ in range(chance.choice((1, 1, 1, 2, 4)))]
        text = text.changed(text.version + 1, changes, positions)
        made += len(changes)
        assert text.whole == editor.text
        assert list(text.pieces) == split_lines(text.whole)
        if made % 10 == 0:
            check_places(text.whole, positions, chance)
        if len(editor.data) > 2000 * UNIT[encoding]:
            editor.data = b""
            text = text.changed(text.version + 1, [types.TextDocumentContentChangeWholeDocument("")], positions)


def check_places(whole: str, positions: Positions, chance: random.Random) -> None:
    """Every place goes out to the client and comes back."""
    source = buffer("loco.lights.yaml", whole)
    offset = chance.randint(0, len(source.text))
    position = positions.position(source, offset)
    back = positions.offset(source, position)
    # Between a CR and its LF is the end of the line for clients.
    between = source.text[offset - 1 : offset + 1] == "\r\n" and offset > 0
    assert back == offset - between
    lines = split_lines(whole)
    before = lines[position.line][: positions.index(lines[position.line], position.character)]
    assert "".join(lines[: position.line]) + before == whole[: offset - between + source.bom]


def edited(text: str, *changes: tuple[int, int, int, int, str], encoding: Encoding = "utf-16") -> str:
    made = [
        types.TextDocumentContentChangePartial(
            types.Range(types.Position(*change[:2]), types.Position(*change[2:4])), change[4]
        )
        for change in changes
    ]
    return Text("", 1, (text,)).changed(2, made, Positions(encoding)).whole


@pytest.mark.parametrize(
    ("before", "change", "after"),
    [
        ("a\nb", (0, 99, 0, 99, "x"), "ax\nb"),
        ("a\r\nb", (0, 99, 1, 0, ""), "ab"),
        ("a\nb", (9, 0, 9, 9, "x"), "a\nbx"),
        ("abc", (0, 2, 0, 1, "x"), "axc"),
        ("", (0, 0, 0, 0, "x"), "x"),
        ("\U0001f682b", (0, 1, 0, 1, "x"), "x\U0001f682b"),
        ("\U0001f682b", (0, 1, 0, 3, "x"), "x"),
        ("a\u2028b\nc", (0, 3, 1, 1, ""), "a\u2028b"),
        ("a\r", (1, 0, 1, 0, "\nb"), "a\r\nb"),
        ("\nb", (0, 0, 0, 0, "\r"), "\r\nb"),
    ],
)  # fmt: skip
def test_places_that_are_none_are_brought_into_the_text(
    before: str, change: tuple[int, int, int, int, str], after: str
) -> None:
    assert edited(before, change) == after


def test_changes_are_made_one_after_the_other() -> None:
    assert edited("ab\ncd", (0, 1, 1, 1, "\n\n"), (2, 0, 2, 1, "e"), (0, 0, 0, 1, "")) == "\n\ne"


def test_a_source_is_the_same_as_long_as_the_text_is() -> None:
    text = Text("", 1, ("a",))
    assert text.source("x.lights.yaml") is text.source("x.lights.yaml")
    assert text.source("x.lights.yaml").name == "x.lights.yaml"


@pytest.mark.parametrize(("encoding", "lead"), [("utf-8", 3), ("utf-16", 1), ("utf-32", 1)])
def test_a_byte_order_mark_in_a_buffer_is_counted_on_its_line_only(encoding: Encoding, lead: int) -> None:
    source = buffer("x.lights.yaml", "\ufeffab\ncd")
    positions = Positions(encoding)
    assert source.text == "ab\ncd"
    assert positions.position(source, 1) == types.Position(0, lead + 1)
    assert positions.position(source, 4) == types.Position(1, 1)
    assert positions.offset(source, types.Position(0, lead + 1)) == 1
    assert positions.offset(source, types.Position(0, 0)) == 0


def test_a_thousand_changes_of_a_long_text_at_once_take_no_time() -> None:
    line = "  aux{}: {{circuit: [1.5 kohm 1/4 W, front headlamp]}}\n"
    text = Text("", 1, ("".join(line.format(number) for number in range(5000)),))
    changes: list[Change] = [
        types.TextDocumentContentChangePartial(
            types.Range(types.Position(5 * at, 2), types.Position(5 * at, 5)), "front"
        )
        for at in range(1000)
    ]
    changed = text.changed(2, changes, Positions("utf-16"))
    assert changed.whole.count("front") == 6000
    assert len(changed.pieces) == 5001
