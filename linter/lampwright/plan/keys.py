"""Function keys and the words of conditions: F0 to F68, forward, reverse, moving, stopped."""

from __future__ import annotations

from typing import Annotated

from lampwright.patterns import pattern
from lampwright.plan.guesses import meant_condition
from lampwright.plan.leaf import Leaf
from lampwright.plan.numbers import Whole
from lampwright.plan.reader import Reader
from lampwright.plan.words import Word, report_nothing
from lampwright.records import dataclass
from lampwright.syntax import Scalar
from lampwright.text import Span

HIGHEST_KEY = 68
"""F68 is the highest function of the packet formats (RCN-212, read second-hand)."""

CONDITION_WORDS = ("forward", "reverse", "moving", "stopped")
_ALL_KEYS = ("F0 to F68",)
_KEY = pattern(r"F(0|[1-9][0-9]?)\Z")
_TWO_KEYS = pattern(r"(F[0-9]+) to (F[0-9]+)\Z")
_ALMOST_TWO_KEYS = pattern(r"[Ff]\s*([0-9]{1,2})\s*(?:to|[-–—…]|\.\.+)\s*[Ff]?\s*([0-9]{1,2})\Z")


@dataclass(frozen=True, slots=True)
class KeyRange:
    """Keys in a row, by their numbers."""

    lowest: int
    highest: int
    span: Span


@dataclass(frozen=True, slots=True)
class ConditionWord:
    """One word of a condition: its variable ("F3", "forward", "moving") and whether that must be true."""

    variable: str
    positive: bool
    span: Span


def key_number(text: str) -> int | None:
    """The number of a function key written F0 to F68, else None."""
    match = _KEY.match(text)
    return int(match[1]) if match and int(match[1]) <= HIGHEST_KEY else None


def is_condition_word(text: str) -> bool:
    """Whether `text` is a word of the conditions, with or without "not"."""
    word = text.removeprefix("not ").strip()
    return word in CONDITION_WORDS or key_number(word) is not None


def _read_key(node: Scalar, reader: Reader) -> Whole | None:
    number = key_number(node)
    if number is not None:
        return Whole(number, node.span)
    if node:
        reader.report("unknown-name", node.span, what="key", written=str(node), choices=_KEY_NAMES, known=_ALL_KEYS)
    else:
        report_nothing(node, reader, "key")
    return None


def _read_defining_key(node: Scalar, reader: Reader) -> Word:
    if key_number(node) is None:
        reader.report("unknown-key", node.span, written=str(node), choices=_KEY_NAMES, known=_ALL_KEYS)
    return Word(str(node), node.span)


def _read_key_span(node: Scalar, reader: Reader) -> KeyRange | Word:
    match = _TWO_KEYS.match(node)
    lowest, highest = (key_number(key) for key in match.groups()) if match else [key_number(node)] * 2
    if lowest is not None and highest is not None and lowest <= highest:
        return KeyRange(lowest, highest, node.span)
    meant = _meant_range(node)
    reader.report("unknown-key", node.span, written=str(node), choices=_KEY_NAMES, known=_ALL_KEYS, meant=meant)
    return Word(str(node), node.span)


def _meant_range(text: str) -> str | None:
    """Two keys with something other than "to" between, or the higher one first, as they should stand."""
    match = _ALMOST_TWO_KEYS.match(text)
    names = [f"F{number}" for number in sorted(map(int, match.groups()))] if match else []
    return " to ".join(names) if names and all(key_number(name) is not None for name in names) else None


_KEY_NAMES = tuple(f"F{number}" for number in range(HIGHEST_KEY + 1))
_ONE_KEY = "F([0-9]|[1-5][0-9]|6[0-8])"
_KEY_SCHEMA = {
    "type": "string",
    "pattern": f"^{_ONE_KEY}$",
    "description": "A function key, F0 to F68.",
    "examples": ["F0"],
}
KeyName = Annotated[Whole, Leaf(_read_key, _KEY_SCHEMA, "key")]
DefinedKey = Annotated[Word, Leaf(_read_defining_key, _KEY_SCHEMA, "key")]
KeySpan = Annotated[
    KeyRange | Word, Leaf(_read_key_span, {"type": "string", "pattern": f"^{_ONE_KEY}( to {_ONE_KEY})?$"}, "key")
]


def _read_condition(node: Scalar, reader: Reader) -> ConditionWord | None:
    word = node.removeprefix("not ")
    negated = word != node
    if word in CONDITION_WORDS:
        opposite = word in ("reverse", "stopped")
        variable = {"reverse": "forward", "stopped": "moving"}.get(word, str(word))
        return ConditionWord(variable, opposite == negated, node.span)
    if key_number(word) is not None:
        return ConditionWord(str(word), not negated, node.span)
    if node:
        words = (*CONDITION_WORDS, *_KEY_NAMES)
        choices = (*words, *(f"not {word}" for word in words))
        known, meant = (*CONDITION_WORDS, *_ALL_KEYS), meant_condition(node)
        reader.report(
            "unknown-name", node.span, what="condition", written=str(node), choices=choices, known=known, meant=meant
        )
    else:
        report_nothing(node, reader, "condition")
    return None


CONDITION_SCHEMA = {
    "type": "string",
    "pattern": f"^(not )?({'|'.join(CONDITION_WORDS)}|{_ONE_KEY})$",
    "description": "forward, reverse, moving, stopped or F0 to F68, each also with not before it.",
    "examples": ["forward", "not F3"],
}
ConditionText = Annotated[ConditionWord, Leaf(_read_condition, CONDITION_SCHEMA, "condition")]
