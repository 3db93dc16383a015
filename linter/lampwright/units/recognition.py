"""Tells whether a text is a quantity at all, of whatever kind. Never asks pint: every name in a plan passes here."""

from __future__ import annotations

from functools import lru_cache

from lampwright.patterns import pattern
from lampwright.units.dimensions import LONGEST, UNITS, Dimension, strictly
from lampwright.units.ranges import is_bare, sides
from lampwright.units.resistors import pieces_of

_NUMBER_AND_WORD = pattern(r"[0-9][0-9.,/]*\s*([^0-9]+)")


def is_quantity(text: str) -> bool:
    """Whether `text` reads as a quantity, a range or a resistor, or would but for a misspelling. No name may.

    A bare number is none, and neither is a number with a unit that no plan uses: "4" and "3 N" may be names.
    """
    return len(text) <= 3 * LONGEST and _is_quantity(str(text))


# The names of a plan are asked for again with each key that is typed.
@lru_cache(maxsize=4096)
def _is_quantity(text: str) -> bool:
    *lower, highest = [side for _, side in sides(text)]
    return _has_units(highest) and all(is_bare(side) or _has_units(side) for side in lower)


def _has_units(text: str) -> bool:
    return all(_has_unit(piece) for _, piece in pieces_of(text))


def _has_unit(text: str) -> bool:
    if strictly(text, Dimension.RESISTANCE) is not None:
        return True
    match = _NUMBER_AND_WORD.fullmatch(text)
    if match is None:
        return False
    # Few names begin with a digit, and only those need the tables of misspellings.
    from lampwright.units.spellings import intended

    word = match[1].strip()
    return word in UNITS or any(intended(word, dimension) for dimension in Dimension)
