"""Rounds of edits, each of the text that the one before it made, become edits of the first text. Knows no YAML."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from lampwright.engine.fixing import Mended
from lampwright.records import dataclass
from lampwright.text import Edit, Source


@dataclass(frozen=True, slots=True)
class _Piece:
    """A piece of the text as it is now: what stood at `start` of the first text, or (None) what was put in."""

    text: str
    start: int | None


def edits_of(source: Source, mended: Mended) -> tuple[Edit, ...]:
    """What turns `source` into `mended`, which was made of it, in one go: every other character stays where it is."""
    edits = (edit for repair in mended.repairs for edit in repair.fix.edits)
    return composed(source, [list(edits) for _, edits in groupby(edits, key=lambda edit: edit.span.source)])


def composed(source: Source, rounds: Iterable[Sequence[Edit]]) -> tuple[Edit, ...]:
    """One round for all of `rounds`; the first speaks of `source`, each other of what the one before it made."""
    pieces = [_Piece(source.text, 0)]
    for edits in rounds:
        pieces = list(_edited(pieces, edits))
    return tuple(_edits(source, pieces))


def _edited(pieces: list[_Piece], edits: Sequence[Edit]) -> Iterator[_Piece]:
    at = 0
    for edit in sorted(edits, key=lambda edit: (edit.span.start, edit.span.end)):
        yield from _between(pieces, at, edit.span.start)
        if edit.text:
            yield _Piece(edit.text, None)
        at = edit.span.end
    yield from _between(pieces, at, sum(len(piece.text) for piece in pieces))


def _between(pieces: list[_Piece], start: int, end: int) -> Iterator[_Piece]:
    """The pieces of the pieces between two offsets."""
    at = 0
    for piece in pieces:
        first, last = max(start - at, 0), min(end - at, len(piece.text))
        if first < last:
            yield _Piece(piece.text[first:last], piece.start + first if piece.start is not None else None)
        at += len(piece.text)


def _edits(source: Source, pieces: list[_Piece]) -> Iterator[Edit]:
    """What was put in between two pieces that stayed, in the place of what stood there."""
    at, put = 0, ""
    for piece in [*pieces, _Piece("", len(source.text))]:
        if piece.start is None:
            put += piece.text
            continue
        if put != source.text[at : piece.start]:
            yield Edit(source.span(at, piece.start), put)
        at, put = piece.start + len(piece.text), ""
