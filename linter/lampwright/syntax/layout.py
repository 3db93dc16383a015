"""Where lines, blanks and list dashes are around a node; reads the text, not the tree's meaning."""

from __future__ import annotations

import re

from lampwright.patterns import pattern
from lampwright.syntax.nodes import Sequence

_LINE_END = pattern(r"\r\n|\r|\n")
_BLANKS = pattern(r"(?:[ \t\r\n]+|#[^\r\n]*)*")
_EMPTY_LINES = pattern(r"[ \t\r\n]*")
_TABS = pattern(r"\t*")
_SPACES = pattern(r"[ \t]*")
_REST = pattern(r"[^\r\n]*")


def line_start(text: str, at: int) -> int:
    """Where the line of `at` begins."""
    start = text.rfind("\n", 0, at) + 1
    return max(text.rfind("\r", start, at) + 1, start)


def line_end(text: str, at: int) -> int:
    """Where the line of `at` ends, before its line end."""
    return _matched(_REST, text, at)


def next_line(text: str, at: int) -> int:
    """Where the line after that of `at` begins."""
    end = line_end(text, at)
    match = _LINE_END.match(text, end)
    return match.end() if match else end


def line_break(text: str) -> str:
    """The line end that the text uses."""
    match = _LINE_END.search(text)
    return match[0] if match else "\n"


def past_blanks(text: str, at: int) -> int:
    """Past spaces, line ends and comments, where the next token is."""
    return _matched(_BLANKS, text, at)


def past_spaces(text: str, at: int) -> int:
    """Past spaces and tabs."""
    return _matched(_SPACES, text, at)


def past_tabs(text: str, at: int) -> int:
    """Past tabs."""
    return _matched(_TABS, text, at)


def past_empty_lines(text: str, at: int) -> int:
    """Past spaces and line ends, where the next token or comment is."""
    return _matched(_EMPTY_LINES, text, at)


def before_spaces(text: str, at: int, spaces: str = " \t") -> int:
    """Back over spaces, to where what is before them ends."""
    while at > 0 and text[at - 1] in spaces:
        at -= 1
    return at


def past_colon(text: str, key_end: int) -> int:
    """Past the colon of a key that ends there, if it has one."""
    colon = past_blanks(text, key_end)
    return colon + 1 if text.startswith(":", colon) else key_end


def begins_line(text: str, at: int) -> bool:
    """Whether only blanks stand before `at` on its line."""
    start = before_spaces(text, at)
    return start == 0 or text[start - 1] in "\r\n"


def item_start(sequence: Sequence, index: int) -> int:
    """Where an item begins: in a block list at its dash."""
    text = sequence.span.source.text
    if sequence.flow:
        return sequence[index].span.start
    return past_blanks(text, sequence[index - 1].span.end) if index else sequence.span.start


def _matched(pattern: re.Pattern[str], text: str, at: int) -> int:
    match = pattern.match(text, at)
    return match.end() if match else at
