"""Names, words of closed lists, whole numbers and keys: what the language says without a unit."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from typing import Annotated, Any

from lampwright.plan.leaf import Leaf
from lampwright.plan.quantities import report_misreads
from lampwright.plan.shapes import Reader
from lampwright.syntax import Scalar
from lampwright.text import Span
from lampwright.units import ResistorText, is_quantity, read_resistor

HIGHEST_KEY = 68
"""F68 is the highest function of the packet formats (RCN-212, read second-hand)."""

CONDITION_WORDS = ("forward", "reverse", "moving", "stopped")
_KEY = re.compile(r"F(0|[1-9][0-9]?)\Z")
_WHOLE = re.compile(r"[0-9]{1,9}\Z")
_RANGE = re.compile(r"([0-9]{1,3})(?: to ([0-9]{1,3}))?\Z")
_KEYS = re.compile(r"(F[0-9]{1,2})(?: to (F[0-9]{1,2}))?\Z")


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
class Whole:
    """A whole number with its place."""

    value: int
    span: Span


@dataclass(frozen=True, slots=True)
class Flag:
    """True or false, with its place."""

    value: bool
    span: Span


@dataclass(frozen=True, slots=True)
class Bits:
    """The bits of a field, lowest to highest."""

    lowest: int
    highest: int
    span: Span


@dataclass(frozen=True, slots=True)
class ConditionWord:
    """One word of a condition: its variable ("F3", "forward", "moving") and whether that must be true."""

    variable: str
    positive: bool
    span: Span


@dataclass(frozen=True, slots=True)
class WrittenResistor:
    """A resistor written as one text: ohms, watts, tolerance as a share; None where not stated."""

    resistance: float
    rating: float | None
    tolerance: float | None
    span: Span


# --- Names ------------------------------------------------------------------------------------------------------------


def _read_name(node: Scalar, reader: Reader) -> Word | None:
    """A name in use. A faulty one is reported where it is defined, or is unknown."""
    if node:
        return Word(str(node), node.span)
    reader.report("wrong-shape", node.span, expected="name", found="nothing")
    return None


def _read_key_name(node: Scalar, reader: Reader) -> Word:
    """A name that defines something. A faulty one is reported and kept, so that its uses are not unknown as well."""
    reason = _fault_of_name(node)
    if reason is not None:
        reader.remark("wrong-shape", node.span, expected="name", found=reason)
    return Word(str(node), node.span)


def _fault_of_name(text: str) -> str | None:
    if is_condition_word(text):
        return "condition"
    if is_quantity(text):
        return "quantity"
    bad = next((character for character in text if not _may_stand_in_name(character)), None)
    if bad is not None:
        return f"character {bad}"
    return None if any(unicodedata.category(character).startswith("L") for character in text) else "no-letter"


def _may_stand_in_name(character: str) -> bool:
    # Letters of any script need their combining marks (category M) to be written at all.
    return character in " -." or unicodedata.category(character)[0] in "LM" or character.isdecimal()


def is_condition_word(text: str) -> bool:
    """Whether `text` is a word of the conditions, with or without "not"."""
    word = text.removeprefix("not ").strip()
    return word in CONDITION_WORDS or key_number(word) is not None


def key_number(text: str) -> int | None:
    """The number of a function key written F0 to F68, else None."""
    match = _KEY.match(text)
    return int(match[1]) if match and int(match[1]) <= HIGHEST_KEY else None


Name = Annotated[Word, Leaf(_read_name, {"type": "string", "description": "A name.", "examples": ["front headlamp"]})]
DefinedName = Annotated[Word, Leaf(_read_key_name, {"type": "string", "pattern": r"\S"})]


def _read_text(node: Scalar, reader: Reader) -> Word | None:
    if node.is_empty or not node:
        reader.report("wrong-shape", node.span, expected="text", found="nothing")
        return None
    return Word(str(node), node.span)


Text = Annotated[Word, Leaf(_read_text, {"type": ["string", "number", "boolean"]})]
FilePath = Annotated[Word, Leaf(_read_text, {"type": "string", "description": "A path, relative to this file."})]


# --- Words of closed lists --------------------------------------------------------------------------------------------


def choice(what: str, *words: str) -> Any:
    """A leaf for one word of a closed list; `what` names the list for the wording of unknown-name."""

    def read_choice(node: Scalar, reader: Reader) -> Word | None:
        if str(node) in words:
            return Word(str(node), node.span)
        reader.report("unknown-name", node.span, what=what, written=str(node), choices=words)
        return None

    # YAML 1.2 reads 0805 as a number, and the JSON Schema sees what a YAML reader makes of it.
    numbers = [int(word) for word in words if word.isdecimal()]
    return Leaf(read_choice, {"enum": [*words, *numbers]})


def _read_flag(node: Scalar, reader: Reader) -> Flag | None:
    if node in ("true", "false"):
        return Flag(node == "true", node.span)
    reader.report("unknown-name", node.span, what="flag", written=str(node), choices=("true", "false"))
    return None


YesNo = Annotated[Flag, Leaf(_read_flag, {"type": "boolean"})]


# --- Numbers ----------------------------------------------------------------------------------------------------------


def _read_whole(node: Scalar, reader: Reader) -> Whole | None:
    if _WHOLE.match(node):
        return Whole(int(node), node.span)
    reader.report("wrong-shape", node.span, expected="whole-number", found="nothing" if node.is_empty else "text")
    return None


Integer = Annotated[Whole, Leaf(_read_whole, {"type": "integer", "minimum": 0})]


def version(newest: int) -> Any:
    """A leaf for the format number of a file; `newest` is the one that this program knows."""

    def read_version(node: Scalar, reader: Reader) -> Whole | None:
        number = _read_whole(node, reader)
        if number is not None and number.value != newest:
            reader.report("unsupported-version", node.span, written=number.value, newest=newest)
        return number

    return Leaf(read_version, {"const": newest, "description": "The version of the format."})


def _read_bits(node: Scalar, reader: Reader) -> Bits | None:
    match = _RANGE.match(node)
    if match is None or int(match[2] or match[1]) > 7 or int(match[1]) > int(match[2] or match[1]):
        reader.report("wrong-shape", node.span, expected="bits", found="nothing" if node.is_empty else "text")
        return None
    return Bits(int(match[1]), int(match[2] or match[1]), node.span)


BitRange = Annotated[
    Bits,
    Leaf(_read_bits, {"type": ["string", "integer"], "description": "Bits 0 to 7 of a CV.", "examples": ["0 to 5", 7]}),
]


# --- Keys and conditions ----------------------------------------------------------------------------------------------


def _read_key(node: Scalar, reader: Reader) -> Whole | None:
    number = key_number(node)
    if number is not None:
        return Whole(number, node.span)
    reader.report("unknown-name", node.span, what="key", written=str(node), choices=_KEY_NAMES)
    return None


def _read_defining_key(node: Scalar, reader: Reader) -> Word:
    if key_number(node) is None:
        reader.report("unknown-key", node.span, written=str(node), choices=_KEY_NAMES, known=("F0 to F68",))
    return Word(str(node), node.span)


def _read_key_span(node: Scalar, reader: Reader) -> Word:
    match = _KEYS.match(node)
    if match is None or any(key_number(key) is None for key in match.groups() if key):
        reader.report("unknown-key", node.span, written=str(node), choices=_KEY_NAMES, known=("F0 to F68",))
    return Word(str(node), node.span)


_KEY_NAMES = tuple(f"F{number}" for number in range(HIGHEST_KEY + 1))
_KEY_PATTERN = r"^F([0-9]|[1-5][0-9]|6[0-8])$"
KeyName = Annotated[Whole, Leaf(_read_key, {"type": "string", "pattern": _KEY_PATTERN, "examples": ["F0"]})]
DefinedKey = Annotated[Word, Leaf(_read_defining_key, {"type": "string", "pattern": _KEY_PATTERN})]
KeySpan = Annotated[Word, Leaf(_read_key_span, {"type": "string", "pattern": r"^F[0-9]{1,2}( to F[0-9]{1,2})?$"})]


def _read_condition(node: Scalar, reader: Reader) -> ConditionWord | None:
    negated = node.startswith("not ")
    word = node.removeprefix("not ").strip()
    if word in CONDITION_WORDS:
        opposite = word in ("reverse", "stopped")
        variable = {"reverse": "forward", "stopped": "moving"}.get(word, word)
        return ConditionWord(variable, opposite == negated, node.span)
    if key_number(word) is not None:
        return ConditionWord(word, not negated, node.span)
    choices = [*CONDITION_WORDS, *_KEY_NAMES, *(f"not {word}" for word in (*CONDITION_WORDS, *_KEY_NAMES))]
    reader.report("unknown-name", node.span, what="condition", written=str(node), choices=choices)
    return None


CONDITION_SCHEMA = {
    "type": "string",
    "pattern": r"^(not )?(forward|reverse|moving|stopped|F([0-9]|[1-5][0-9]|6[0-8]))$",
    "description": "forward, reverse, moving, stopped or F0 to F68, each also with not before it.",
    "examples": ["forward", "not F3"],
}
ConditionText = Annotated[ConditionWord, Leaf(_read_condition, CONDITION_SCHEMA)]


# --- Elements of a circuit written as one text ------------------------------------------------------------------------


def _read_element(node: Scalar, reader: Reader) -> Word | WrittenResistor | None:
    # A lamp's name starts with a letter, a resistor with a digit; a sign or a point before a digit is a slip in a
    # quantity, so that the quantity reader can say which.
    if node.is_empty or unicodedata.category(node[0]).startswith("L"):
        return _read_name(node, reader)
    if not any(character.isdecimal() for character in node[:3]):
        return _read_name(node, reader)
    written = read_resistor(node)
    if isinstance(written, ResistorText):
        return WrittenResistor(written.resistance, written.rating, written.tolerance, node.span)
    report_misreads(node, written, reader)
    return None


ElementText = Annotated[
    Word | WrittenResistor,
    Leaf(
        _read_element,
        {
            "type": "string",
            "description": "A lamp's name (it starts with a letter), or a resistor: resistance, rating, tolerance.",
            "examples": ["front headlamp", "1.5 kohm", "820 ohm 1/2 W 5 %"],
        },
    ),
]
