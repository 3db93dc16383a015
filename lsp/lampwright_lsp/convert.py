"""Spans become ranges in the units that the client counts in, and back; the only module that knows UTF-8 and UTF-16."""

from __future__ import annotations

from dataclasses import dataclass

from lsprotocol import types

from lampwright.text import Encoding, Position, Source, Span, index_of_units

_MARK = "\ufeff"
ENCODINGS: dict[str, Encoding] = {"utf-8": "utf-8", "utf-16": "utf-16", "utf-32": "utf-32"}


@dataclass(frozen=True, eq=False)
class Buffer(Source):
    """The text of an open buffer. Clients count a byte order mark at its start, unlike in a file."""


def buffer(name: str, text: str) -> Buffer:
    """The source that a buffer holds."""
    return Buffer(name, text.removeprefix(_MARK), bom=text.startswith(_MARK))


@dataclass(frozen=True, slots=True)
class Positions:
    """Places as the client counts them: lines from 0, characters in units of `encoding`."""

    encoding: Encoding = "utf-16"

    def position(self, source: Source, offset: int) -> types.Position:
        """Where `offset` in `source` is."""
        place = source.position(offset)
        line = place.line - 1
        return types.Position(line, source.units_at(place, self.encoding) + self._lead(source, line))

    def range(self, span: Span) -> types.Range:
        """Where `span` is."""
        return types.Range(self.position(span.source, span.start), self.position(span.source, span.end))

    def offset(self, source: Source, position: types.Position) -> int:
        """The offset of `position`; past the end of its line means that end, inside a character its start."""
        units = position.character - self._lead(source, position.line)
        return source.offset_of_units(position.line + 1, units, self.encoding)

    def span(self, source: Source, place: types.Range) -> Span:
        """What the client means by `place` in `source`; one that is the wrong way round is turned."""
        start, end = sorted((self.offset(source, place.start), self.offset(source, place.end)))
        return source.span(start, end)

    def index(self, line: str, units: int) -> int:
        """How many characters of `line` stand before `units`; a line end is never stepped into."""
        return index_of_units(line.rstrip("\r\n"), units, self.encoding)

    def end_of_line(self, source: Source, line: int) -> types.Position:
        """The end of `line` (from 0), before its line end."""
        start = source.offset(Position(line + 1, 1))
        return self.position(source, start + len(source.line(line + 1)))

    def _lead(self, source: Source, line: int) -> int:
        """The units that stand in the buffer before what the source holds of `line`."""
        if line or not source.bom or not isinstance(source, Buffer):
            return 0
        return len(_MARK.encode("utf-8")) if self.encoding == "utf-8" else 1
