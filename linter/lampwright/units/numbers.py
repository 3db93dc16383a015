"""The looks for mistakes in a single figure: signs, exponents, commas, grouping, arithmetic, words in the way."""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal

from lampwright.units.dimensions import FRACTIONS, NUMBER, SPACE, Dimension
from lampwright.units.misread import Case, Mend, Misread
from lampwright.units.saying import digits
from lampwright.units.words import judge_unit, kind_of


def foreign_digits(case: Case, mend: Mend) -> Misread | None:
    """Digits of another script before the unit, full-width ones for example, or a fraction in one character."""
    head = re.match(r"[0-9]*(\w)", case.text)
    if head is None or head[1].isascii() or not head[1].isnumeric():
        return None
    plain = "".join(_plain_digit(letter) for letter in case.text)
    return case.unreadable("foreign-digits", mend(plain) if plain != case.text else ())


def _plain_digit(letter: str) -> str:
    if letter.isascii() or not letter.isnumeric():
        return letter
    digit = unicodedata.decimal(letter, None)
    return (
        str(digit)
        if digit is not None
        else " " + unicodedata.normalize("NFKC", letter).replace("\N{FRACTION SLASH}", "/")
    )


def no_digits(case: Case, _: Mend) -> Misread | None:
    """A text without a number, also one that some programs take for one: "nan V", "infinity", "off"."""
    if re.match(r"[+-]?\s*(nan|inf|infinity|infinite|∞)(?![^\W\d_])", case.text, re.IGNORECASE):
        return case.unreadable("not-finite")
    return None if re.search("[0-9]", case.text) else case.unreadable("no-number")


# Patterns of mistakes stay text: they are compiled when the first mistake of their kind turns up.
_NUMBER_AND_WORD = f"({'|'.join(FRACTIONS)}|{NUMBER})([^0-9]*)"


def unit_after_number(case: Case, _: Mend) -> Misread | None:
    """A number as it should be, so that the mistake is in the unit, or the unit is missing."""
    match = re.fullmatch(_NUMBER_AND_WORD, case.text)
    if match is None or match[2][:1] in (".", ","):
        return None
    return judge_unit(case, match[1], match[2].strip())


def letter_code(case: Case, _: Mend) -> Misread | None:
    """The letter code of IEC 60062 for another quantity, with small letters, a leading R, or an ohm too many."""
    match = re.fullmatch(r"([0-9]*)([rRkKmM])([0-9]+)\s*([^0-9]*)", case.text)
    if match is None or (not match[1] and match[2] not in "rR"):
        return None
    whole, letter, rest, word = match.groups()
    if case.dimension is not Dimension.RESISTANCE:
        return case.misread("wrong-unit", "wrong-dimension", found="resistance") if whole and not word else None
    code = f"{whole or 0}{letter if letter == 'k' else letter.upper()}{rest}"
    if word:
        return case.misread("misspelt-unit", "glued", [code]) if kind_of(word) is case.dimension else None
    return case.misread("misspelt-unit", "capitals", [code]) if whole else case.unreadable("leading-point", [code])


def exponent(case: Case, mend: Mend) -> Misread | None:
    """A number with an exponent, "1e3 ohm"."""
    match = re.fullmatch(rf"({NUMBER})[eE]([+-]?[0-9]+)([^0-9]*)", case.text)
    if match is None:
        return None
    # Nothing that is meant needs more than twelve places; "1e999 V" must not be written out.
    is_small = len(match[2]) <= 3 and abs(int(match[2])) <= 12
    return case.unreadable(
        "exponent", mend(digits(Decimal(match[1]).scaleb(int(match[2]))) + match[3]) if is_small else ()
    )


def sign(case: Case, mend: Mend) -> Misread | None:
    """A sign before the number, "+5 V", "-5 V"; a plus-minus sign before a tolerance is one too."""
    match = re.fullmatch(r"(\+/-|\+-|[+\-\N{MINUS SIGN}±])\s*([0-9.,].*)", case.text, re.DOTALL)
    if match is None:
        return None
    changes_meaning = match[1] != "+" and (case.dimension is Dimension.TEMPERATURE or match[1] not in "-\N{MINUS SIGN}")
    is_tolerance = len(match[1]) > 1 or match[1] == "±"
    keeps = case.dimension is Dimension.SHARE if is_tolerance else not changes_meaning
    return case.unreadable("sign", mend(match[2]) if keeps else ())


def fraction(case: Case, mend: Mend) -> Misread | None:
    """A fraction, "1/16 W", "1 1/2 W", "1/2 V": only three of them are numbers here, and only of watts."""
    match = re.fullmatch(
        r"(?:([0-9]{1,3})\s+)?([1-9])\s*[/\N{FRACTION SLASH}\N{DIVISION SLASH}]\s*([1-9][0-9]?)([^0-9]*)", case.text
    )
    if match is None or int(match[2]) >= int(match[3]):
        return None
    whole, above, below, word = match.groups()
    if not whole and f"{above}/{below}" in FRACTIONS and f"{above}/{below}{word}" != case.text:
        return case.unreadable("spaces", mend(f"{above}/{below}{word}"))
    value = Decimal(whole or 0) + Decimal(f"{int(above) / int(below):.4g}")
    return case.unreadable("fraction", mend(digits(value) + word))


def comma(case: Case, mend: Mend) -> Misread | None:
    """A decimal comma, "1,5 V". Before three digits it may also group thousands; the likelier meaning comes first."""
    match = re.fullmatch(r"([0-9]*),([0-9]+)([^0-9]*)", case.text)
    if match is None:
        return None
    whole, parts, word = match.groups()
    readings = [f"{whole or 0}.{parts}{word}"]
    if len(parts) == 3 and re.fullmatch("[1-9][0-9]{0,2}", whole):
        is_rather_thousands = case.dimension is Dimension.RESISTANCE or word.strip().startswith("m")
        readings.insert(0 if is_rather_thousands else 1, f"{whole}{parts}{word}")
    return case.misread("decimal-comma", "comma", [meant for reading in readings for meant in mend(reading)])


_MARKS = " ,._'\N{RIGHT SINGLE QUOTATION MARK}\N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}\N{THIN SPACE}"
_GROUPS = (
    rf"([0-9]{{1,3}}(?P<mark>[{_MARKS}])[0-9]{{3}}(?:(?P=mark)[0-9]{{3}})*)"  # the thousands
    r"(?:[.,]([0-9]+))?([^0-9]*)"
)


def grouping(case: Case, mend: Mend) -> Misread | None:
    """Thousands set apart, "1'000 ohm", "1 000 ohm", "1,000,000 ohm", "1.000,5 V"."""
    match = re.fullmatch(_GROUPS, case.text)
    if match is None:
        return None
    number = re.sub("[^0-9]", "", match[1]) + (f".{match[3]}" if match[3] else "")
    return case.unreadable("grouping", mend(number + match[4]))


def stray_point(case: Case, mend: Mend) -> Misread | None:
    """A point with nothing before or behind it, ".5 V", "5. V", or a raised one."""
    match = re.fullmatch(r"([0-9]*)([.\N{MIDDLE DOT}\N{DOT OPERATOR}])([0-9]*)([^0-9]*)", case.text)
    if match is None:
        return None
    whole, point, parts, word = match.groups()
    if whole and parts and point == ".":
        return None  # The number is right, and something is wrong with the point behind it.
    reason = "raised-point" if whole and parts else "trailing-point" if whole else "leading-point"
    return case.unreadable(reason, mend(f"{whole or 0}.{parts}{word}" if parts else f"{whole}{word}"))


def arithmetic(case: Case, _: Mend) -> Misread | None:
    """Something to be worked out, "9**9**9 V", "12 V / 20 mA", "2 x 10 mA"."""
    is_sum = re.search(
        r"[*/^\N{MULTIPLICATION SIGN}\N{MIDDLE DOT}\N{DIVISION SIGN}+=()]|[0-9]\s?[xX]\s?[0-9]", case.text
    )
    return case.unreadable("arithmetic") if is_sum else None


def unit_before_number(case: Case, mend: Mend) -> Misread | None:
    """The unit first, "V 5"."""
    match = re.fullmatch(rf"([^0-9.,+-]+?){SPACE}?([0-9][0-9.,]*)", case.text)
    if match is None or kind_of(match[1]) is not case.dimension:
        return None
    return case.unreadable("order", mend(f"{match[2]} {match[1]}"))


_APPROXIMATELY = (
    r"(?is)(?:about|approx\.?|approximately|around|ca\.?|circa|some|~|≈"
    r"|max\.?|maximum|min\.?|minimum|up to|at most|at least|[<>≤≥])\s*([0-9.,].*)"
)


def words_before_number(case: Case, mend: Mend) -> Misread | None:
    """A word or sign before the number, "about 5 V", "< 5 V"."""
    match = re.fullmatch(_APPROXIMATELY, case.text)
    return case.unreadable("extra-words", mend(match[1])) if match else None


def two_numbers(case: Case, _: Mend) -> Misread | None:
    """More than one figure, "5 V 20 mA", "1.5.2 V"."""
    numbers = re.findall(r"[0-9]+(?:\.[0-9]+)?", case.text)
    return case.unreadable("two-numbers") if len(numbers) > 1 else None
