"""Where a node really begins and ends: the parser counts anchors, tags, blank lines and comments to it."""

from __future__ import annotations

import re
from collections.abc import Iterator

from lampwright.syntax.layout import line_end, line_start, next_line, past_blanks

_ANCHOR_OR_TAG = re.compile(r"&[0-9A-Za-z_-]*|![^ \t\r\n]*")
_BLOCK_HEADER = re.compile(r"[|>][+-]?([1-9]?)[+-]?")


def anchor_and_tag(text: str, start: int, awaited: set[str]) -> Iterator[tuple[int, int]]:
    """Where the anchor and the tag before a node stand; `awaited` holds `&`, `!` or both."""
    at = start
    for _ in range(len(awaited)):
        match = _ANCHOR_OR_TAG.match(text, past_blanks(text, at))
        if match is None or match[0][0] not in awaited:
            return
        yield match.span()
        at = match.end()


def block_scalar_end(text: str, begin: int, end: int, parent: int | None) -> int:
    """Where the last line with text of a block scalar ends, or its header if there is none.

    `parent` is where the container begins whose indentation an explicit one counts from.
    """
    header = _BLOCK_HEADER.match(text, begin)
    last, indent = (header.end(), header[1]) if header else (begin + 1, "")
    width = int(indent or 0)
    if indent and parent is not None:
        width += parent - line_start(text, parent)
    for start, stop in _lines(text, next_line(text, begin), end):
        line = text[start:stop]
        if not line.strip():
            continue
        own_width = len(line) - len(line.lstrip(" "))
        width = width or own_width
        if own_width < width:
            break
        last = stop
    return last


def _lines(text: str, start: int, end: int) -> Iterator[tuple[int, int]]:
    while start < end:
        yield start, line_end(text, start)
        start = max(next_line(text, start), start + 1)
