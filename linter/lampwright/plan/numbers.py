"""Whole numbers without a unit: versions, addresses, CVs, codes, bits."""

from __future__ import annotations

from typing import Annotated, Any

from lampwright.patterns import pattern
from lampwright.plan.leaf import Leaf
from lampwright.plan.reader import Reader
from lampwright.plan.words import report_nothing
from lampwright.records import dataclass
from lampwright.syntax import Scalar
from lampwright.text import Span

# Longer ones mean nothing here; the limit keeps every conversion quick.
_WHOLE = pattern(r"[0-9]{1,30}\Z")
_BITS = pattern(r"([0-7])(?: to ([0-7]))?\Z")


@dataclass(frozen=True, slots=True)
class Whole:
    """A whole number with its place."""

    value: int
    span: Span


@dataclass(frozen=True, slots=True)
class Bits:
    """The bits of a field, lowest to highest."""

    lowest: int
    highest: int
    span: Span


def whole(lowest: int = 0, highest: int | None = None) -> Any:
    """A leaf for a whole number in these bounds."""
    bounds = {"lowest": lowest, "highest": highest}

    def read_whole(node: Scalar, reader: Reader) -> Whole | None:
        number = int(node) if _WHOLE.match(node) else None
        if number is not None and lowest <= number and (highest is None or number <= highest):
            return Whole(number, node.span)
        found = "text" if node else "nothing"
        reader.report("wrong-shape", node.span, expected="whole-number", found=found, bounds=bounds)
        return None

    limits = {"minimum": lowest} if highest is None else {"minimum": lowest, "maximum": highest}
    # In quotes it is text to a YAML reader, and a number all the same to us.
    schema = {"type": ["integer", "string"], **limits, "pattern": "^[0-9]{1,30}$", "examples": [max(lowest, 1)]}
    return Leaf(read_whole, schema, "whole-number")


Integer = Annotated[Whole, whole()]


def version(newest: int) -> Any:
    """A leaf for the format number of a file; `newest` is the one that this program knows."""

    def read_version(node: Scalar, reader: Reader) -> Whole | None:
        if not _WHOLE.match(node):
            found = "text" if node else "nothing"
            reader.report("wrong-shape", node.span, expected="whole-number", found=found)
            return None
        if int(node) != newest:
            reader.report("unsupported-version", node.span, written=int(node), newest=newest)
        return Whole(int(node), node.span)

    return Leaf(read_version, {"enum": [newest, str(newest)]}, "whole-number")


def _read_bits(node: Scalar, reader: Reader) -> Bits | None:
    match = _BITS.match(node)
    if match is not None and int(match[1]) <= int(match[2] or match[1]):
        return Bits(int(match[1]), int(match[2] or match[1]), node.span)
    if node:
        reader.report("wrong-shape", node.span, expected="bits", found="text")
    else:
        report_nothing(node, reader, "bits")
    return None


BITS_SCHEMA = {
    "type": ["string", "integer"],
    "minimum": 0,
    "maximum": 7,
    "pattern": "^[0-7]( to [0-7])?$",
    "description": "Bits 0 to 7 of a CV: one, or a range.",
    "examples": ["0 to 5", 7],
}
BitRange = Annotated[Bits, Leaf(_read_bits, BITS_SCHEMA, "bits")]
