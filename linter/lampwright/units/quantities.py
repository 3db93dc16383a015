"""Turns the text of a quantity or of a range into SI floats, or into what is wrong with it, in bounded time."""

from __future__ import annotations

from collections.abc import Iterable

from lampwright.records import replace
from lampwright.units.dimensions import LONGEST, Dimension, strictly
from lampwright.units.misread import Case, Hint, Likely, Misread, likely_units
from lampwright.units.ranges import is_bare, lent, sides


def read(text: str, dimension: Dimension, likely: Iterable[Hint] = ()) -> float | Misread:
    """The value of `text` in SI: volts, amperes, ohms, watts, shares of one, hertz, degrees Celsius. Never raises.

    `likely` are the units that a bare number probably lacks in this field, in order of preference, each with the
    bounds of the numbers that have it; without them those that are usual for the dimension. Spaces around the text do
    not count.
    """
    value = strictly(text.strip(), dimension)
    return value if value is not None else _misread(text, dimension, likely_units(likely, dimension))


def _misread(text: str, dimension: Dimension, likely: tuple[Likely, ...]) -> Misread:
    if not text.strip():
        return Misread("unreadable-quantity", 0, len(text), str(text), dimension, (), "empty")
    # A right plan needs none of the looks for mistakes.
    from lampwright.units.mistakes import diagnose

    return diagnose(Case(text.strip(), dimension, likely)).moved(len(text) - len(text.lstrip()))


def read_range(
    text: str, dimension: Dimension, likely: Iterable[Hint] = ()
) -> tuple[float, float, float] | tuple[Misread, ...]:
    """Lowest, usual and highest of "A to B" in SI, the usual in the middle; three times the same of a single figure.

    Both sides need their unit, except that "30 to 120 per minute" says it once. Each side's mistake stands on its own.
    """
    hints = likely_units(likely, dimension)
    margin = len(text) - len(text.lstrip())
    parts = sides(text.strip()) if len(text) <= 2 * LONGEST else [(0, text)]
    if len(parts) == 1:
        value = read(text, dimension, hints)
        return (value,) if isinstance(value, Misread) else (value, value, value)
    if len(parts) > 2:
        return (_whole(text, dimension, "two-numbers"),)
    return _read_sides(text, dimension, hints, [(margin + start, side) for start, side in parts])


def _read_sides(
    text: str, dimension: Dimension, likely: tuple[Likely, ...], parts: list[tuple[int, str]]
) -> tuple[float, float, float] | tuple[Misread, ...]:
    (low_start, low), (high_start, high) = parts
    if dimension is Dimension.RATE and is_bare(low) and not is_bare(high):
        low = f"{low} {dimension.value}"
    lowest, highest = read(low, dimension, likely), read(high, dimension, likely)
    if isinstance(lowest, Misread) or isinstance(highest, Misread):
        lowest, highest = _lent(lowest, low, high, is_lower=True), _lent(highest, high, low, is_lower=False)
        both = ((lowest, low_start), (highest, high_start))
        return tuple(side.moved(start) for side, start in both if isinstance(side, Misread))
    if lowest > highest:
        return (_whole(text, dimension, "reversed-range", f"{high} to {low}"),)
    return lowest, (lowest + highest) / 2, highest


def _lent(side: float | Misread, text: str, other: str, *, is_lower: bool) -> float | Misread:
    """`side`; where its text lacks a unit, that of the other side is meant, unless the range would be reversed."""
    if not isinstance(side, Misread) or not is_bare(text) or is_bare(other):
        return side
    beside = read(other, side.dimension)
    for whole in beside.meant[:1] if isinstance(beside, Misread) else (other,):
        candidate = lent(text, (whole,))
        value, limit = strictly(candidate, side.dimension), strictly(whole, side.dimension)
        if value is not None and limit is not None and (value <= limit) is is_lower:
            return replace(side, meant=(candidate,))
    return side


def _whole(text: str, dimension: Dimension, reason: str, *meant: str) -> Misread:
    case = Case(text.strip(), dimension, ())
    return case.misread_range("unreadable-quantity", reason, meant).moved(len(text) - len(text.lstrip()))
