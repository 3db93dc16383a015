"""Places as the protocol counts them, worked out from its text alone, with nothing of the server's.

Source: Language Server Protocol 3.17, "Text Documents": line ends are LF, CR LF and CR; a position counts code units.
"""

from __future__ import annotations

import re
from typing import Any

_END = re.compile(r"\r\n|\n|\r")


def width(character: str, units: str) -> int:
    """The code units that one character takes."""
    code = ord(character)
    if units == "utf-32":
        return 1
    if units == "utf-16":
        return 2 if code > 0xFFFF else 1
    return 1 if code < 0x80 else 2 if code < 0x800 else 3 if code < 0x10000 else 4


def lines_of(text: str) -> list[str]:
    """The lines without their ends."""
    return _END.split(text)


def place_of(text: str, offset: int, units: str) -> dict[str, int]:
    """The place of an offset, which is in no line end of two characters."""
    ends = [match.end() for match in _END.finditer(text, 0, offset)]
    start = ends[-1] if ends else 0
    return {"line": len(ends), "character": sum(width(each, units) for each in text[start:offset])}


def offset_of(text: str, place: dict[str, int], units: str) -> int:
    """The offset of a place, as a client reads it: no further than the end of the line, or of the text."""
    starts = [0, *(match.end() for match in _END.finditer(text))]
    if place["line"] >= len(starts):
        return len(text)
    start = starts[place["line"]]
    line = _END.split(text[start:], maxsplit=1)[0]
    return start + _index(line, min(place["character"], sum(width(each, units) for each in line)), units)


def column_of(line: str, count: int, units: str) -> int:
    """The characters before `count` units; -1 if that is within a character or behind the line."""
    at = _index(line, count, units)
    return at if sum(width(each, units) for each in line[:at]) == count else -1


def _index(line: str, count: int, units: str) -> int:
    at = 0
    for at, each in enumerate(line):
        if count <= 0:
            return at
        count -= width(each, units)
    return at + 1 if line and count <= 0 else len(line) if line else 0


def range_of(text: str, start: int, end: int, units: str) -> dict[str, Any]:
    """The range between two offsets."""
    return {"start": place_of(text, start, units), "end": place_of(text, end, units)}
