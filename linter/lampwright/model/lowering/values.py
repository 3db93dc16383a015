"""Quantities as written become figures with a spread and an origin."""

from __future__ import annotations

from lampwright.model.lowering.names import Notes
from lampwright.model.values import Figure, Name, Number, Origin
from lampwright.plan.numbers import Whole
from lampwright.plan.quantities import Measured, VoltageSpread
from lampwright.plan.words import Word
from lampwright.units import Dimension, Misread


def figure(written: Measured | None) -> Figure | None:
    """The figure that is written, None where none could be read."""
    if written is None:
        return None
    return Figure(written.lowest, written.usual, written.highest, written.span)


def spread_figure(written: Measured | VoltageSpread | None, notes: Notes) -> Figure | None:
    """The same for a field whose spread may be said as lowest, usual and highest."""
    if not isinstance(written, VoltageSpread):
        return figure(written)
    if written.lowest is None or written.highest is None or written.lost("usual"):
        return None
    lowest, highest = written.lowest.usual, written.highest.usual
    usual = written.usual.usual if written.usual is not None else (lowest + highest) / 2
    if lowest <= usual <= highest:
        return Figure(lowest, usual, highest, written.span)
    text = written.span.text
    misread = Misread("unreadable-quantity", 0, len(text), text, Dimension.VOLTAGE, (), "reversed-range")
    notes.report("unreadable-quantity", written.span, misread=misread)
    return None


def with_tolerance(value: float, tolerance: float, written: Measured | None) -> Figure:
    """`value` with `tolerance` (a share) either way."""
    span = written.span if written is not None else None
    return Figure(value * (1 - tolerance), value, value * (1 + tolerance), span, Origin.STATED)


def number(whole: Whole | None) -> Number | None:
    """The whole number that is written, None where none could be read."""
    return Number(whole.value, whole.span) if whole is not None else None


def name(word: Word | None) -> Name | None:
    """The name that is written, None where none could be read."""
    return Name(word.text, word.span) if word is not None else None
