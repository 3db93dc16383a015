"""The looks for mistakes around two figures that belong together: dashes, spreads, a range where one figure belongs."""

from __future__ import annotations

import re

from lampwright.patterns import pattern
from lampwright.units.dimensions import NUMBER, SPACE, Dimension, strictly, unit_written
from lampwright.units.misread import Case, Mend, Misread
from lampwright.units.saying import say

# The contract's range, "A to B", is taken apart here for everybody.
_TO = pattern(f"{SPACE}to{SPACE}")


def sides(text: str) -> list[tuple[int, str]]:
    """The sides of "A to B" with the places where they begin; one side if there is no "to"."""
    marks = [match.span() for match in _TO.finditer(text)]
    starts, ends = [0, *(end for _, end in marks)], [*(start for start, _ in marks), len(text)]
    return [_trimmed(text[start:end], start) for start, end in zip(starts, ends, strict=True)]


def _trimmed(text: str, start: int) -> tuple[int, str]:
    return start + len(text) - len(text.lstrip()), text.strip()


def is_bare(text: str) -> bool:
    """Whether `text` is a number without a unit."""
    return re.fullmatch(NUMBER, text) is not None


def range_for_one_figure(case: Case, _: Mend) -> Misread | None:
    """A range where a single figure belongs, "13 V to 16 V"."""
    return case.unreadable("range") if len(sides(case.text)) > 1 else None


_PLUS_MINUS = r"([^±+]*)(?:±|\+\s?/\s?-|\+-)([^±+]*)"


def plus_minus(case: Case, mend: Mend) -> Misread | None:
    """A figure with a spread, "5 V ± 10 %", "5 V +/- 0.2 V"."""
    match = re.fullmatch(_PLUS_MINUS, case.text)
    if match is None:
        return None
    middle, around = match[1].strip(), match[2].strip()
    half = mend(around)
    for text in mend(lent(middle, half))[:1]:
        value, share = strictly(text, case.dimension) or 0.0, strictly(around, Dimension.SHARE)
        relative = value * share if share is not None and case.dimension is not Dimension.SHARE else None
        return _spread(case, value, relative if relative is not None else _first(case, half))
    return case.unreadable("plus-minus")


def _spread(case: Case, value: float, half: float | None) -> Misread:
    is_sound = half is not None and half <= value
    ends = [say(end, case.dimension, significant=6) for end in (value - (half or 0.0), value + (half or 0.0))]
    return case.misread_range("unreadable-quantity", "plus-minus", [" to ".join(ends)] if is_sound else [])


def _first(case: Case, meant: tuple[str, ...]) -> float | None:
    return strictly(meant[0], case.dimension) if meant else None


_DASHES = "\N{HYPHEN}\N{NON-BREAKING HYPHEN}\N{FIGURE DASH}\N{EN DASH}\N{EM DASH}\N{MINUS SIGN}~\N{DIVISION SIGN}…"
_DASH = (
    rf"(?i)\s*(?P<dash>[-{_DASHES}]|\.\.+)\s*(?=[0-9.,])"
    r"|\s+(?:to|until|till?|through|thru|and|or|up to)\s+(?=[0-9.,])"
)


def dash_range(case: Case, mend: Mend) -> Misread | None:
    """Two figures with something other than "to" between them, "10-20 mA", "13 V .. 16 V", "13 V and 16 V"."""
    dashes = list(re.finditer(_DASH, case.text))
    if len(dashes) != 1 or not re.match("[0-9.,]", case.text):
        return None
    low, high = case.text[: dashes[0].start()].strip(), case.text[dashes[0].end() :].strip()
    lowest, highest = mend(lent(low, mend(high))), mend(lent(high, mend(low)))
    if not lowest or not highest:
        return case.unreadable("dash-range")
    if (_first(case, lowest) or 0.0) > (_first(case, highest) or 0.0):
        return case.unreadable("arithmetic" if dashes[0]["dash"] == "-" else "dash-range")
    first = low if case.dimension is Dimension.RATE and is_bare(low) else lowest[0]
    return case.misread_range("unreadable-quantity", "dash-range", [f"{first} to {highest[0]}"])


def lent(text: str, meant: tuple[str, ...]) -> str:
    """`text`, if it is a bare number, with the unit of the other figure."""
    return f"{text} {unit_written(meant[0])}" if meant and is_bare(text) and unit_written(meant[0]) else text
