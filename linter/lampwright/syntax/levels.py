"""Which of several lines that do not fit together is the odd one out."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import takewhile

from lampwright.syntax.layout import line_end, line_start, next_line, past_spaces


def odd_line(text: str, start: int) -> int:
    """The line that should be indented otherwise: that at `start`, or the first of its block if that one stands alone.

    In a block of five lines whose first is indented more or less than the others, the parser stops at the second.
    """
    width = _width(text, start)
    first = _lone_first(text, start, width)
    if first is None or _width(text, first) == 0:
        return start
    block = takewhile(lambda line: _width(text, line) >= width, _lines_from(text, start))
    return first if sum(_width(text, line) == width for line in block) > 1 else start


def _lone_first(text: str, start: int, width: int) -> int | None:
    """The line above that begins the block, if no other line above is on its level."""
    above = _lines_above(text, start)
    nearest = next(above, None)
    if nearest is None or _width(text, nearest) == width:
        return None
    if _width(text, nearest) < width:
        parent = next(above, None)
        return nearest if parent is None or _width(text, parent) < _width(text, nearest) else None
    deeper = [nearest, *takewhile(lambda line: _width(text, line) > width, above)]
    widths = [_width(text, line) for line in deeper]
    return deeper[-1] if widths.count(min(widths)) == 1 and widths[-1] == min(widths) else None


def _width(text: str, start: int) -> int:
    return past_spaces(text, start) - start


def _lines_from(text: str, start: int) -> Iterator[int]:
    """Where each line with more than blanks and comments begins, from `start` on."""
    while start < len(text):
        if _says_something(text, start):
            yield start
        start = next_line(text, start)


def _lines_above(text: str, start: int) -> Iterator[int]:
    """The same upwards, without that of `start`."""
    while start > 0:
        start = line_start(text, start - (2 if text[start - 2 : start] == "\r\n" else 1))
        if _says_something(text, start):
            yield start


def _says_something(text: str, start: int) -> bool:
    begin = past_spaces(text, start)
    return begin < line_end(text, start) and text[begin] != "#"
