"""The comments of a text, found between its scalars: the parser's events carry none."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator

from lampwright.patterns import pattern
from lampwright.syntax.layout import begins_line, line_end
from lampwright.syntax.nodes import Comment
from lampwright.text import Source

# Where nothing was read, quotes that begin like a value hide a `#`; elsewhere it needs a blank before it.
_UNREAD = pattern(r"(?<![^\s\[{,:])\"(?:[^\"\\\r\n]|\\.)*\"|(?<![^\s\[{,:])'[^'\r\n]*'|(?P<comment>(?<!\S)#[^\r\n]*)")


def comments(source: Source, starts: list[int], ends: list[int], read: int) -> tuple[Comment, ...]:
    """All comments, given where all scalars start and end, in order, and where the parser stopped."""
    if "#" not in source.text:
        return ()
    places = [*_between(source.text, starts, ends, read), *_after(source.text, read)]
    return tuple(_comment(source, start, end) for start, end in places)


def is_within(at: int, starts: list[int], ends: list[int]) -> bool:
    """Whether a place is in one of the scalars."""
    before = bisect_right(starts, at) - 1
    return before >= 0 and at < ends[before]


def _between(text: str, starts: list[int], ends: list[int], read: int) -> Iterator[tuple[int, int]]:
    at = text.find("#", 0, read)
    while at >= 0:
        if is_within(at, starts, ends):
            end = ends[bisect_right(starts, at) - 1]
        else:
            end = line_end(text, at)
            yield at, end
        at = text.find("#", end, read)


def _after(text: str, read: int) -> Iterator[tuple[int, int]]:
    for match in _UNREAD.finditer(text, read):
        if match["comment"]:
            yield match.span()


def _comment(source: Source, start: int, end: int) -> Comment:
    return Comment(source.span(start, end), source.text[start + 1 : end].strip(), begins_line(source.text, start))
