"""Elements of a circuit that are written as one text: a lamp's name, or a resistor with its rating and tolerance."""

from __future__ import annotations

from typing import Annotated

from lampwright.plan.leaf import Leaf
from lampwright.plan.names import starts_with_letter
from lampwright.plan.quantities import RATING_BOUNDS, RESISTANCE_BOUNDS, TOLERANCE_BOUNDS, for_one_figure, is_sensible
from lampwright.plan.reader import Reader
from lampwright.plan.words import Word, report_nothing
from lampwright.records import dataclass
from lampwright.syntax import Scalar
from lampwright.text import Span
from lampwright.units import Dimension, Misread, ResistorText, read_resistor
from lampwright.units.resistors import pieces_of


@dataclass(frozen=True, slots=True)
class WrittenResistor:
    """A resistor written as one text: ohms, watts, tolerance as a share; None where not stated."""

    text: str
    resistance: float
    rating: float | None
    tolerance: float | None
    span: Span


@dataclass(frozen=True, slots=True)
class UnreadText:
    """A text that begins like a resistor and is none. It is a mistake unless a lamp has this name."""

    node: Scalar
    misreads: tuple[Misread, ...]


def _read_element(node: Scalar, reader: Reader) -> Word | WrittenResistor | UnreadText | None:
    if not node:
        report_nothing(node, reader, "element")
        return None
    # A lamp's name starts with a letter, a resistor with a digit; a sign or a point before a digit is a slip in a
    # quantity, so that the quantity reader can say which.
    if starts_with_letter(node) or not any(character.isdecimal() for character in node[:3]):
        return Word(str(node), node.span)
    written = read_resistor(node)
    if not isinstance(written, ResistorText):
        return UnreadText(node, tuple(map(for_one_figure, written)))
    return _sensible(node, written, reader)


def _sensible(node: Scalar, written: ResistorText, reader: Reader) -> WrittenResistor | None:
    """The resistor, each of its figures looked at like one in a field of its own."""
    figures = (
        (written.resistance, Dimension.RESISTANCE, RESISTANCE_BOUNDS),
        (written.rating, Dimension.POWER, RATING_BOUNDS),
        (written.tolerance, Dimension.SHARE, TOLERANCE_BOUNDS),
    )
    stated = [(value, dimension, bounds) for value, dimension, bounds in figures if value is not None]
    pieces = pieces_of(node) if len(stated) > 1 else [(0, str(node))]
    sensible = [
        is_sensible(value, value, dimension, bounds, node.part(start, start + len(piece)), reader)
        for (value, dimension, bounds), (start, piece) in zip(stated, pieces, strict=True)
    ]
    if not all(sensible):
        return None
    return WrittenResistor(str(node), written.resistance, written.rating, written.tolerance, node.span)


ELEMENT_SCHEMA = {
    "type": "string",
    "description": "A lamp's name (it starts with a letter), or a resistor: resistance, rating, tolerance.",
    "examples": ["front headlamp", "1.5 kohm", "820 ohm 1/2 W 5 %"],
}
ElementText = Annotated[Word | WrittenResistor | UnreadText, Leaf(_read_element, ELEMENT_SCHEMA, "element")]
