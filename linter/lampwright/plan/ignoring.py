"""Patterns of paths, written as in a .gitignore; what can match nothing is told, though git keeps silent of it."""

from __future__ import annotations

from typing import Annotated

from lampwright.plan.leaf import Leaf
from lampwright.plan.reader import Reader
from lampwright.plan.words import ANY_SCALAR, Word, report_nothing
from lampwright.syntax import Scalar


def fault_of_pattern(text: str) -> str | None:
    """Why `text` never matches what it seems to, in a word that the rule wrong-shape knows; None if it may.

    By gitignore(5) and git's wildmatch.c. A range that runs backwards is one character to git, and nothing to pathspec.
    """
    pattern = text.removeprefix("!")
    if text.startswith("#"):
        return "comment"
    if not pattern.strip(" /"):
        return "nothing"
    if any(part in (".", "..") for part in pattern.split("/")):
        return "dots"
    return _fault_of_signs(pattern)


def _fault_of_signs(pattern: str) -> str | None:
    at = 0
    while at < len(pattern):
        if pattern[at] == "\\":
            if at + 1 == len(pattern):
                return "backslash"
            at += 2
        elif pattern[at] == "[":
            end = _end_of_bracket(pattern, at)
            if end is None:
                return "bracket"
            if _runs_backwards(pattern[at + 1 : end - 1]):
                return "range"
            at = end
        else:
            at += 1
    return None


def _end_of_bracket(pattern: str, start: int) -> int | None:
    """Behind the bracket that closes the one at `start`; one that stands first, also behind ! or ^, is a character."""
    at = start + 1
    at += pattern.startswith(("!", "^"), at)
    at += pattern.startswith("]", at)
    while at < len(pattern):
        if pattern[at] == "]":
            return at + 1
        named = pattern.find(":]", at + 2) if pattern.startswith("[:", at) else -1
        at = named + 2 if named >= 0 else at + 1 + (pattern[at] == "\\")
    return None


def _runs_backwards(inside: str) -> bool:
    ranges = zip(inside, inside[1:], inside[2:], strict=False)
    return any(sign == "-" and low > high for low, sign, high in ranges if "\\" not in (low, high))


def _read_pattern(node: Scalar, reader: Reader) -> Word | None:
    if not node:
        report_nothing(node, reader, "text")
        return None
    fault = fault_of_pattern(node)
    if fault is None:
        return Word(str(node), node.span)
    reader.report("wrong-shape", node.span, expected="pattern", found=fault)
    return None


Pattern = Annotated[
    Word,
    Leaf(
        _read_pattern,
        {"type": ANY_SCALAR, "description": "A pattern of paths.", "examples": ["attic/"]},
    ),
]
