"""Texts and words of closed lists, as written and where."""

from __future__ import annotations

from typing import Annotated, Any

from lampwright.plan.leaf import Leaf
from lampwright.plan.reader import Reader
from lampwright.records import dataclass
from lampwright.syntax import Scalar
from lampwright.text import Span

# What a YAML reader may make of a text that looks like something else: 0805 is a number to it, true is a boolean.
ANY_SCALAR = ["string", "number", "boolean"]


@dataclass(frozen=True, slots=True)
class Word:
    """A text as written, trimmed and NFC-normalised, with its place. Equal texts are equal words."""

    text: str
    span: Span

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Word) and self.text == other.text

    def __hash__(self) -> int:
        return hash(self.text)


@dataclass(frozen=True, slots=True)
class Flag:
    """True or false, with its place."""

    value: bool
    span: Span


def report_nothing(node: Scalar, reader: Reader, expected: str) -> None:
    """Note that nothing is written where something belongs."""
    reader.report("wrong-shape", node.span, expected=expected, found="nothing")


def _read_text(node: Scalar, reader: Reader) -> Word | None:
    if node:
        return Word(str(node), node.span)
    report_nothing(node, reader, "text")
    return None


Text = Annotated[
    Word, Leaf(_read_text, {"type": ANY_SCALAR, "description": "Any text.", "examples": ["Quarry switcher 7"]})
]
FilePath = Annotated[
    Word,
    Leaf(
        _read_text,
        {"type": "string", "description": "A path, relative to this file.", "examples": ["club.parts.yaml"]},
        "path",
    ),
]


def choice(what: str, *words: str) -> Any:
    """A leaf for one word of a closed list; `what` names the list for the wording of unknown-name."""

    def read_choice(node: Scalar, reader: Reader) -> Word | None:
        if str(node) in words:
            return Word(str(node), node.span)
        if node:
            reader.report("unknown-name", node.span, what=what, written=str(node), choices=words)
        else:
            report_nothing(node, reader, "word")
        return None

    # YAML 1.2 reads 0805 as a number, and the JSON Schema sees what a YAML reader makes of it.
    numbers = [int(word) for word in words if word.isdecimal()]
    return Leaf(read_choice, {"enum": [*words, *numbers]}, "word")


# What other formats, and older YAML, take for true and false.
_MEANT = {"yes": "true", "on": "true", "1": "true", "no": "false", "off": "false", "0": "false"}


def _read_flag(node: Scalar, reader: Reader) -> Flag | None:
    if node in ("true", "false"):
        return Flag(node == "true", node.span)
    if node:
        meant = _MEANT.get(node.casefold())
        reader.report("unknown-name", node.span, what="flag", written=str(node), choices=("true", "false"), meant=meant)
    else:
        report_nothing(node, reader, "flag")
    return None


YesNo = Annotated[Flag, Leaf(_read_flag, {"enum": [True, False, "true", "false"]}, "flag")]
