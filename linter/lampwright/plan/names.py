"""Names of lamps, parts, outputs and effects: where one is defined it is looked at, where one is used it is not.

A faulty name is reported once, at its definition, and kept, so that its uses are not unknown as well.
"""

from __future__ import annotations

import unicodedata
from typing import Annotated

from lampwright.plan.keys import is_condition_word
from lampwright.plan.leaf import Leaf
from lampwright.plan.reader import Reader
from lampwright.plan.words import ANY_SCALAR, Word, report_nothing
from lampwright.syntax import Scalar
from lampwright.units import is_quantity


def fault_of_name(text: str) -> str | None:
    """Why `text` can be no name, in a word that the rule wrong-shape knows; None if it can."""
    if is_condition_word(text):
        return "condition"
    if is_quantity(text):
        return "quantity"
    bad = next((character for character in text if not _may_stand_in_name(character)), None)
    if bad is not None:
        return f"character {bad}"
    return None if any(character.isalnum() for character in text) else "no-letter"


def _may_stand_in_name(character: str) -> bool:
    # Letters of any script need their combining marks (category M) to be written at all.
    return character in " -." or unicodedata.category(character)[0] in "LM" or character.isdecimal()


def _read_name(node: Scalar, reader: Reader) -> Word | None:
    if node:
        return Word(str(node), node.span)
    report_nothing(node, reader, "name")
    return None


def _read_used_key(node: Scalar, _: Reader) -> Word:
    return Word(str(node), node.span)


def _read_defined_name(node: Scalar, reader: Reader) -> Word:
    fault = fault_of_name(node)
    if fault is not None:
        reader.remark("wrong-shape", node.span, expected="name", found=fault)
    return Word(str(node), node.span)


def _read_lamp_name(node: Scalar, reader: Reader) -> Word:
    fault = fault_of_name(node)
    # In a circuit a text that starts with a digit is a resistor.
    if fault is None and not starts_with_letter(node):
        fault = "first"
    if fault is not None:
        reader.remark("wrong-shape", node.span, expected="name", found=fault)
    return Word(str(node), node.span)


def starts_with_letter(text: str) -> bool:
    """Whether the first character of `text` is a letter, of any script."""
    return unicodedata.category(text[0]).startswith("L") if text else False


_KEY_SCHEMA = {"type": "string", "pattern": r"\S"}
Name = Annotated[
    Word, Leaf(_read_name, {"type": ANY_SCALAR, "description": "A name.", "examples": ["front headlamp"]}, "name")
]
UsedName = Annotated[Word, Leaf(_read_used_key, _KEY_SCHEMA, "name")]
DefinedName = Annotated[Word, Leaf(_read_defined_name, _KEY_SCHEMA, "name")]
LampName = Annotated[Word, Leaf(_read_lamp_name, _KEY_SCHEMA, "name")]
