"""Turns "820 ohm 1/2 W 5 %" into ohms, watts and a share, or into what is wrong with each of the three."""

from __future__ import annotations

import re
from functools import lru_cache

from lampwright.patterns import pattern
from lampwright.records import dataclass
from lampwright.units.dimensions import LONGEST, NUMBER, UNITS, Dimension, strictly
from lampwright.units.misread import Case, Misread
from lampwright.units.quantities import read


@dataclass(frozen=True, slots=True)
class ResistorText:
    """A resistor as written: ohms, and where stated the rating in watts and the tolerance as a share (5 % is 0.05)."""

    resistance: float
    rating: float | None = None
    tolerance: float | None = None


# What stands where in the text of a resistor.
_ORDER = (Dimension.RESISTANCE, Dimension.POWER, Dimension.SHARE)


def read_resistor(text: str) -> ResistorText | tuple[Misread, ...]:
    """The resistor in `text`: resistance, then rating, then tolerance, the last two optional. Never raises."""
    return _read(str(text)) if len(text) <= 3 * LONGEST else _as_one_quantity(text)


# A club has few resistors and many plans, and of a plan that is being typed all others stay as they are.
@lru_cache(maxsize=2048)
def _read(text: str) -> ResistorText | tuple[Misread, ...]:
    pieces = pieces_of(text)
    kinds = [_kind(index, piece) for index, (_, piece) in enumerate(pieces)]
    if len(pieces) < 2 or Dimension.RESISTANCE not in kinds or len(set(kinds)) < len(kinds):
        return _as_one_quantity(text)
    if kinds != sorted(kinds, key=_ORDER.index):
        return (_disordered(text, kinds, pieces),)
    values = {kind: _read_piece(piece, kind) for kind, (_, piece) in zip(kinds, pieces, strict=True)}
    mistakes = zip(values.values(), pieces, strict=True)
    if wrong := tuple(value.moved(start) for value, (start, _) in mistakes if isinstance(value, Misread)):
        return wrong
    resistance, rating, tolerance = (_figure(values.get(kind)) for kind in _ORDER)
    return ResistorText(resistance or 0.0, rating, tolerance)


def _figure(value: float | Misread | None) -> float | None:
    return None if isinstance(value, Misread) else value


def _as_one_quantity(text: str) -> ResistorText | tuple[Misread, ...]:
    value = read(text, Dimension.RESISTANCE)
    return (value,) if isinstance(value, Misread) else ResistorText(value)


# A piece begins with a number behind a space, but "1 000 ohm" and "1 1/2 W" are one piece each: mistaken, not two.
_GAP = pattern(
    r"(?<![-+±\N{MINUS SIGN}])\s+(?=[0-9.,±+\-\N{MINUS SIGN}¼½⅛])"
    r"(?!(?<=[0-9]\s)[0-9]{3}(?:\s[0-9]{3})*\s?[kM]?(?:ohm|\N{GREEK CAPITAL LETTER OMEGA}))"
    r"(?!(?<=\s[0-9]\s)[0-9]\s?/)",
    re.IGNORECASE,
)


def pieces_of(text: str) -> list[tuple[int, str]]:
    """The parts of `text` that begin with a number, and where they begin."""
    end = len(text.rstrip())
    gaps = [match.span() for match in _GAP.finditer(text.rstrip())]
    starts = [len(text) - len(text.lstrip()), *(after for before, after in gaps if before)]
    ends = [*(before for before, _ in gaps if before), end]
    return [(start, text[start:stop]) for start, stop in zip(starts, ends, strict=True)]


_WORD_BEHIND = pattern(r"[^\w%°]*[0-9][0-9.,/\s]*([^0-9]*)")


def _kind(index: int, piece: str) -> Dimension:
    """Which of the three a piece is: by its unit if it is one of theirs, by a bare number's size, else by its place."""
    if index == 0 or strictly(piece, Dimension.RESISTANCE) is not None:
        return _by_unit(piece) or Dimension.RESISTANCE
    if match := re.fullmatch(NUMBER, piece):
        return Dimension.POWER if _is_like_a_rating(float(match[0])) else Dimension.SHARE
    return _by_unit(piece) or _ORDER[min(index, 2)]


def _by_unit(piece: str) -> Dimension | None:
    match = _WORD_BEHIND.fullmatch(piece)
    words = match[1].split() if match else []
    if not words:
        return None
    unit = UNITS.get(" ".join(words))
    if unit is not None:
        return unit.dimension if unit.dimension in _ORDER else None
    # Only a unit that is no plan's needs the tables of misspellings.
    from lampwright.units.words import kind_of

    kind = kind_of(" ".join(words)) or kind_of(words[0])
    return kind if kind in _ORDER else None


def _is_like_a_rating(number: float) -> bool:
    # As watts or as milliwatts; every other bare number behind a resistance is rather a tolerance in per cent.
    return number in (0.0625, 0.1, 0.125, 0.25, 0.5) or number >= 100


# The chip sizes of the trade's rating tables; they have a key of their own.
_SIZE = "0201|0402|0603|0805|1206|1210|1812|2010|2512"


def _read_piece(piece: str, kind: Dimension) -> float | Misread:
    if kind is not Dimension.RESISTANCE and re.fullmatch(_SIZE, piece):
        return Case(piece, kind, ()).unreadable("size")
    return read(piece, kind, ("%",) if kind is Dimension.SHARE else ())


def _disordered(text: str, kinds: list[Dimension], pieces: list[tuple[int, str]]) -> Misread:
    meant: dict[Dimension, str] = {}
    for kind, (_, piece) in zip(kinds, pieces, strict=True):
        value = _read_piece(piece, kind)
        meant[kind] = next(iter(value.meant), "") if isinstance(value, Misread) else piece
    start, (last, piece) = pieces[0][0], pieces[-1]
    case = Case(text[start : last + len(piece)], Dimension.RESISTANCE, ())
    proposals = [" ".join(meant[kind] for kind in _ORDER if kind in meant)] if all(meant.values()) else []
    return case.misread_range("unreadable-quantity", "order", proposals).moved(start)
