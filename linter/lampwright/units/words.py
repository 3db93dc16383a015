"""Tells what is wrong with the unit behind a right number: "5 amps", "12VDC", "15 mA" where a voltage belongs."""

from __future__ import annotations

import re
from decimal import Decimal

from lampwright.units.dimensions import FRACTIONS, UNITS, Dimension
from lampwright.units.foreign import name_of
from lampwright.units.misread import Case, Misread
from lampwright.units.saying import say, say_exactly
from lampwright.units.spellings import MISSPELLINGS, Foreign, fold, foreign_unit, intended

# What people add to a figure without changing it.
_HARMLESS = "max|maximum|min|minimum|nom|nominal|typ|typical|approx|approximately|each|total|about|rated"


def judge_unit(case: Case, number: str, word: str) -> Misread:
    """The mistake in `case`, which consists of `number` (also a fraction) and `word`, where a unit belongs."""
    if not fold(word) and word.isascii():
        return case.misread("missing-unit", "no-unit", case.with_unit(number))
    return (
        _oddly_spaced(case, number, word)
        or _misspelt(case, number, word)
        or _converted(case, number, word)
        or _of_another_kind(case, word)
        or _with_words_behind(case, number, word)
        or _nearly(case, number, word)
        or _unknown(case, word)
    )


def kind_of(word: str) -> Dimension | None:
    """The kind of quantity that `word` is a unit of, rightly spelt or not.

    A lone C or F is a degree only where a temperature belongs, elsewhere it may be a coulomb or a farad.
    """
    if word in UNITS:
        return UNITS[word].dimension
    if word in ("C", "F"):
        return None
    foreign = foreign_unit(word)
    meant = (dimension for dimension in Dimension if intended(word, dimension))
    return next(meant, foreign.dimension if foreign else None)


def _oddly_spaced(case: Case, number: str, word: str) -> Misread | None:
    unit = " ".join(word.split())
    if unit not in UNITS or UNITS[unit].dimension is not case.dimension:
        return None
    if number in FRACTIONS and unit != "W":
        return case.unreadable("fraction", [say(FRACTIONS[number] * UNITS[unit].si("1"), case.dimension)])
    return case.unreadable("spaces", [f"{number} {unit}"])


def _misspelt(case: Case, number: str, word: str) -> Misread | None:
    unit = intended(word, case.dimension)
    if unit is None:
        return None
    meant = [f"{number} {unit}"]
    if word.startswith("m") and (foreign := foreign_unit(word)) and unit.startswith("M"):
        # "1 mohm" is a thousandth to the letter of the law, a million in most hands.
        meant.append(_converted_text(number, foreign))
    return case.misread("misspelt-unit", _carelessness(word, unit), meant)


def _carelessness(word: str, unit: str) -> str:
    folded = fold(word)
    if folded == fold(unit):
        return "capitals" if word.casefold() == unit.casefold() else "punctuation"
    if len(folded) > 2 and folded.endswith(("dc", "ac")):
        return "glued"
    return "plural" if folded.endswith("s") else "word"


def _converted(case: Case, number: str, word: str) -> Misread | None:
    foreign = foreign_unit(word)
    if foreign is None or foreign.dimension is not case.dimension:
        return None
    reason = "foreign-unit" if foreign.dimension in (Dimension.RATE, Dimension.TEMPERATURE) else "foreign-prefix"
    return case.misread("wrong-unit", reason, [_converted_text(number, foreign)], foreign.name)


def _converted_text(number: str, foreign: Foreign) -> str:
    value = foreign.convert(_decimal(number))
    if foreign.dimension is Dimension.TEMPERATURE:
        return say(float(value), foreign.dimension)
    return say_exactly(value, foreign.dimension)


def _decimal(number: str) -> Decimal:
    return Decimal(str(FRACTIONS.get(number, number)))


def _of_another_kind(case: Case, word: str) -> Misread | None:
    kind = kind_of(word) or kind_of(word.split(maxsplit=1)[0])
    if kind is None or kind is case.dimension:
        return None
    return case.misread("wrong-unit", "wrong-dimension", found=kind.word)


def _with_words_behind(case: Case, number: str, word: str) -> Misread | None:
    first, *others = word.split()
    if not others or kind_of(first) is not case.dimension:
        return None
    harmless = all(re.fullmatch(_HARMLESS, fold(other)) for other in others)
    unit = first if first in UNITS else intended(first, case.dimension)
    return case.unreadable("extra-words", [f"{number} {unit}"] if harmless else [])


def _nearly(case: Case, number: str, word: str) -> Misread | None:
    folded, table = fold(word), MISSPELLINGS[case.dimension]
    if len(folded) <= 2:
        return None
    # Every right resistor passes this module, and only a word that no table holds needs this import.
    from difflib import get_close_matches

    known = [spelling for spelling in table if len(spelling) > 2 and spelling[0] == folded[:1]]
    near = get_close_matches(folded, known, n=1, cutoff=0.65)
    return case.misread("misspelt-unit", "word", [f"{number} {table[near[0]]}"]) if near else None


def _unknown(case: Case, word: str) -> Misread:
    if re.search(r"[*/^+=()\N{MULTIPLICATION SIGN}\N{DIVISION SIGN}]", word):
        return case.unreadable("arithmetic")
    name = name_of(word)
    return case.misread("wrong-unit", "foreign-unit", found=name) if name else case.unreadable("unknown-unit")
