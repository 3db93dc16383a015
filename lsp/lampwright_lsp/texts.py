"""The texts of open buffers: what a client changes in one is changed here, to the letter. Knows no files and no lamps.

A text is kept as a list of lines, so that a change costs what it changes, however long the text is.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from lsprotocol import types

from lampwright.files import MAXIMUM_SIZE
from lampwright.text import Source
from lampwright_lsp.convert import Positions, buffer

Change = types.TextDocumentContentChangePartial | types.TextDocumentContentChangeWholeDocument

# The line ends of the protocol, and no others: U+2028, U+0085 and form feeds are text.
_LINE = re.compile(r"[^\r\n]*(?:\r\n?|\n|\Z)")
_HALVES = re.compile("[\ud800-\udfff]")
_FIRST = 200


@dataclass(frozen=True, slots=True, eq=False)
class Text:
    """One version of the text of an open buffer: its pieces in order, whole lines unless nothing was changed yet."""

    uri: str
    version: int
    pieces: tuple[str, ...]
    _sources: dict[str, Source] = field(default_factory=dict, repr=False)

    @property
    def whole(self) -> str:
        """All of it."""
        return "".join(self.pieces)

    def source(self, name: str) -> Source:
        """The same as a source that users know as `name`; always the same one."""
        if name not in self._sources:
            self._sources.setdefault(name, self._made(name))
        return self._sources[name]

    def changed(self, version: int, changes: Sequence[Change], positions: Positions) -> Text:
        """The next version, with `changes` made one after the other."""
        lines = split_lines(self.whole) if len(self.pieces) == 1 else list(self.pieces)
        for change in changes:
            if isinstance(change, types.TextDocumentContentChangeWholeDocument):
                lines = split_lines(change.text)
            else:
                _change(lines, change, positions)
        return Text(self.uri, version, tuple(lines))

    def _made(self, name: str) -> Source:
        whole = self.whole
        size = len(whole) if len(whole) > MAXIMUM_SIZE else len(whole.encode("utf-8", "surrogatepass"))
        return Source(name, whole[:_FIRST], fault="size") if size > MAXIMUM_SIZE else buffer(name, whole)


def split_lines(text: str) -> list[str]:
    """The lines of `text` with their ends; the last one has none and may be empty."""
    lines = _LINE.findall(_joined(text))
    # At the end of a text without a last line end there is one more match of nothing.
    return lines if len(lines) == 1 or lines[-2].endswith(("\r", "\n")) else lines[:-1]


def _change(lines: list[str], change: types.TextDocumentContentChangePartial, positions: Positions) -> None:
    (first, start), (last, end) = sorted(_place(lines, at, positions) for at in (change.range.start, change.range.end))
    text = lines[first][:start] + change.text + lines[last][end:]
    # A CR and an LF that come to stand side by side are one line end: the lines around are split anew as well.
    if first > 0:
        first -= 1
        text = lines[first] + text
    if last + 1 < len(lines):
        last += 1
        text += lines[last]
    fresh = split_lines(text)
    lines[first : last + 1] = fresh if last + 1 == len(lines) else fresh[:-1]


def _place(lines: list[str], position: types.Position, positions: Positions) -> tuple[int, int]:
    """The line and the index in it that a client means."""
    if position.line >= len(lines):
        return len(lines) - 1, len(lines[-1])
    return position.line, positions.index(lines[position.line], position.character)


def _joined(text: str) -> str:
    """`text` with halves of characters joined where they have come together."""
    if text.isascii() or not _HALVES.search(text):
        return text
    return text.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "surrogatepass")
