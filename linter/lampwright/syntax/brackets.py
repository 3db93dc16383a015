"""Whether a bracket finds its partner where its writer can have meant it."""

from __future__ import annotations

import re

from lampwright.patterns import pattern
from lampwright.syntax.layout import line_start, past_spaces

_TOKEN = pattern(
    r"(?<![^\s\[\]{},:])\"(?:[^\"\\]|\\.)*\"|(?<![^\s\[\]{},:])'(?:[^']|'')*'|(?<!\S)#[^\r\n]*|[\[\]{}]", re.DOTALL
)
_NEXT_LINE = pattern(r"[\r\n]+([ \t]*)(?=[^ \t\r\n#])")
PARTNERS = {"[": "]", "{": "}"}


def is_closed(text: str, opener: int, without: int = -1) -> bool:
    """Whether the bracket at `opener` is closed by its partner and all lines between are indented more than its own.

    `without` is the place of a bracket that is taken for a slip of the finger.
    """
    awaited: list[str] = []
    for token in _TOKEN.finditer(text, opener):
        bracket = token[0]
        if token.start() == without:
            continue
        if bracket in PARTNERS:
            awaited.append(PARTNERS[bracket])
        elif bracket in ("]", "}"):
            if not awaited or awaited.pop() != bracket:
                return False
            if not awaited:
                return _is_indented(text, opener, token.start())
    return False


def _is_indented(text: str, opener: int, closer: int) -> bool:
    start = line_start(text, opener)
    indent = past_spaces(text, start) - start
    lines = _NEXT_LINE.finditer(text, opener, closer + 1)
    return all(len(line[1]) > indent or text[line.end()] in "]}" for line in lines)
