"""The CVs of a maker's own: which one holds what of which output, in which digits or bits, under which codes."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from lampwright.model.keys import Condition
from lampwright.model.values import Figure, Number
from lampwright.records import dataclass
from lampwright.text import Span

_DECIMAL = {"ones": 1, "tens": 10, "hundreds": 100}
_HEXADECIMAL = {"low": (0, 3), "high": (4, 7)}


@dataclass(frozen=True, slots=True)
class FieldPlace:
    """Where in its CV a field stands: a decimal digit, a hex digit, or bits.

    `span` is the name of the digit or the bits; None for a place that a standard defines.
    """

    digit: str | None = None
    lowest: int = 0
    highest: int = 7
    span: Span | None = None

    @classmethod
    def of_digit(cls, digit: str, span: Span | None = None) -> FieldPlace:
        """The digit called `ones`, `tens` or `hundreds` (decimal), `low` or `high` (hexadecimal)."""
        return cls(digit, *_HEXADECIMAL.get(digit, (0, 7)), span)

    @property
    def is_decimal(self) -> bool:
        """Whether it is a digit of the value as people write it, and no group of bits."""
        return self.digit in _DECIMAL

    @property
    def most(self) -> int:
        """The largest number that it can hold, if nothing else stands in the CV: there is no 300."""
        if self.is_decimal:
            return 2 if self.digit == "hundreds" else 9
        return (1 << (self.highest - self.lowest + 1)) - 1

    @property
    def mask(self) -> int:
        """The bits that it stands in; a decimal digit may change any of them."""
        return 255 if self.is_decimal else self.most << self.lowest

    def read(self, value: int) -> int:
        """What it holds where its CV is `value`."""
        return self.readings[value] if 0 <= value < 256 else _read(self.digit, self.lowest, self.highest, value)

    @property
    def readings(self) -> tuple[int, ...]:
        """What it holds for each value of its CV from 0 to 255."""
        return _readings(self.digit, self.lowest, self.highest)

    def overlaps(self, other: FieldPlace) -> bool:
        """Whether both cannot be set apart from each other."""
        if self.is_decimal and other.is_decimal:
            return self.digit == other.digit
        return bool(self.mask & other.mask)


def _read(digit: str | None, lowest: int, highest: int, value: int) -> int:
    if digit in _DECIMAL:
        return value // _DECIMAL[digit] % 10
    return (value >> lowest) & ((1 << (highest - lowest + 1)) - 1)


@cache
def _readings(digit: str | None, lowest: int, highest: int) -> tuple[int, ...]:
    """There are few kinds of places, and each is asked for every value of a CV."""
    return tuple(_read(digit, lowest, highest, value) for value in range(256))


@dataclass(frozen=True, slots=True)
class EffectField:
    """A field that holds the code of an effect."""

    place: FieldPlace


@dataclass(frozen=True, slots=True)
class ConditionCode:
    """A code, and the condition that it puts on its output. `span` is the condition's."""

    code: Number
    condition: Condition
    span: Span


@dataclass(frozen=True, slots=True)
class ConditionField:
    """A field that holds the code of a condition."""

    place: FieldPlace
    codes: tuple[ConditionCode, ...]


@dataclass(frozen=True, slots=True)
class RateCode:
    """A code, and the rate that it stands for, hertz."""

    code: Number
    rate: Figure


@dataclass(frozen=True, slots=True)
class RateField:
    """A field that holds a rate: by codes, or as a number of steps above `offset`, both hertz."""

    place: FieldPlace
    codes: tuple[RateCode, ...] | None = None
    per_step: Figure | None = None
    offset: Figure | None = None


@dataclass(frozen=True, slots=True)
class BrightnessField:
    """A field that holds a brightness, as a number of which `full` is all of it."""

    place: FieldPlace
    full: int
    full_span: Span | None = None


RegisterField = EffectField | ConditionField | RateField | BrightnessField


@dataclass(frozen=True, slots=True)
class Page:
    """The page of an indexed CV: what CV31 and CV32 must be before it is written."""

    cv31: Number
    cv32: Number


@dataclass(frozen=True, slots=True)
class Register:
    """A CV of the maker's own, one for each output, or a single one for the whole decoder under the name None.

    `default` is its value on delivery, None where the sheet does not say.
    """

    span: Span
    cvs: Mapping[str | None, Number]
    fields: tuple[RegisterField, ...]
    page: Page | None = None
    default: Number | None = None
