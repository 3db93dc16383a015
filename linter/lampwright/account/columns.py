"""How many columns of a terminal a text takes, and text that is filled up to so many. Knows characters only."""

from __future__ import annotations

import unicodedata

from lampwright.patterns import pattern

_JAMO = pattern("[\u1160-\u11ff\ud7b0-\ud7ff]")


def width(text: str) -> int:
    """How many columns of a terminal `text` takes."""
    return len(text) if text.isascii() else sum(map(_character_width, text))


def left(text: str, columns: int) -> str:
    """`text` with blanks behind it, up to that width."""
    return text + " " * (columns - width(text))


def right(text: str, columns: int) -> str:
    """`text` with blanks before it, up to that width."""
    return " " * (columns - width(text)) + text


def _character_width(character: str) -> int:
    # Marks that stand on the letter before them, and the second and third parts of a Hangul syllable, take no column.
    if unicodedata.category(character) in {"Mn", "Me"} or _JAMO.match(character):
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1
