"""Tells what is wrong with a text that is no quantity: one look a mistake, the first that recognises its own wins.

A look mends its own mistake and asks here again, so that "1,5 volts" ends at "1.5 V".
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from lampwright.units import numbers, ranges
from lampwright.units.dimensions import LONGEST, spaced, strictly
from lampwright.units.misread import Case, Mend, Misread

_LOOKS: tuple[Callable[[Case, Mend], Misread | None], ...] = (
    numbers.foreign_digits,
    numbers.no_digits,
    numbers.unit_after_number,
    numbers.letter_code,
    numbers.exponent,
    numbers.sign,
    ranges.range_for_one_figure,
    ranges.plus_minus,
    ranges.dash_range,
    numbers.fraction,
    numbers.comma,
    numbers.grouping,
    numbers.stray_point,
    numbers.arithmetic,
    numbers.unit_before_number,
    numbers.words_before_number,
    numbers.two_numbers,
)


def diagnose(case: Case) -> Misread:
    """The mistake in `case`, whose text does not read strictly, over its whole length."""
    if not case.text:
        return case.unreadable("empty")
    if len(case.text) > LONGEST:
        return case.unreadable("too-long")
    answers = (look(case, partial(_mended, case)) for look in _LOOKS)
    return next((answer for answer in answers if answer), case.unreadable("unreadable"))


def _mended(case: Case, text: str) -> tuple[str, ...]:
    """`text` if it reads, else what is probably meant by it."""
    text = text.strip()
    if strictly(text, case.dimension) is not None:
        return (spaced(text),)
    return diagnose(case.of(text)).meant if case.patience else ()
