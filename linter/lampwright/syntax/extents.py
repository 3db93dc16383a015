"""Where a node really begins and ends: the parser counts anchors, tags and blank lines to it."""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.patterns import pattern
from lampwright.syntax.layout import next_line, past_blanks

_ANCHOR_OR_TAG = pattern(r"&[0-9A-Za-z_-]*|![^ \t\r\n]*")
_BLOCK_HEADER = pattern(r"[|>][-+1-9]*")


def anchor_and_tag(text: str, start: int, awaited: set[str]) -> Iterator[tuple[int, int]]:
    """Where the anchor and the tag before a node stand; `awaited` holds `&`, `!` or both."""
    at = start
    for _ in range(len(awaited)):
        match = _ANCHOR_OR_TAG.match(text, past_blanks(text, at))
        if match is None or match[0][0] not in awaited:
            return
        yield match.span()
        at = match.end()


def block_scalar_end(text: str, begin: int, end: int) -> int:
    """Where the text of a block scalar ends, or its header if it has none: blank lines below are the layout's."""
    body = next_line(text, begin)
    content = text[body:end].rstrip()
    if content:
        return body + len(content)
    header = _BLOCK_HEADER.match(text, begin)
    return header.end() if header else begin + 1
