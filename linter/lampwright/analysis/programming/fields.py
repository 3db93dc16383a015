"""The fields of a sheet's registers that belong to one output, and which number in a field stands for what."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import product

from lampwright.analysis.programming.claims import HIGHEST_VALUE, Claim, PageNumber
from lampwright.analysis.programming.space import FALSE, TRUE, Formula, Space
from lampwright.model.decoder import Decoder
from lampwright.model.registers import (
    BrightnessField,
    ConditionCode,
    ConditionField,
    RateField,
    Register,
    RegisterField,
)
from lampwright.model.values import Number
from lampwright.records import dataclass
from lampwright.text import Span

_CLOSE = 1e-6


FieldIdentity = tuple[PageNumber | None, int, str | None, int, int]


@dataclass(frozen=True, slots=True)
class Located:
    """A field with the CV that it stands in for one output, or for the whole decoder."""

    field: RegisterField
    register: Register
    cv: Number

    @property
    def page(self) -> PageNumber | None:
        """What CV31 and CV32 must be."""
        return page_of(self.register)

    @property
    def identity(self) -> FieldIdentity:
        """Two outputs that share this share the field."""
        place = self.field.place
        return self.page, self.cv.value, place.digit, place.lowest, place.highest

    def claim(self, value: int, output: str, span: Span | None) -> Claim:
        """That it is to hold `value`."""
        default = self.register.default
        # One that no CV can hold has its finding, and tells nothing.
        known = default.value if default is not None and default.value <= HIGHEST_VALUE else None
        return Claim(self.cv.value, value, self.field.place, self.page, known, span, output)


def page_of(register: Register) -> PageNumber | None:
    """The page of a register."""
    return None if register.page is None else (register.page.cv31.value, register.page.cv32.value)


class Fields:
    """All fields of a decoder's registers, found by the output that they belong to or by the CV that they stand in.

    `decimal` are the pages and CVs in which one is a decimal digit.
    """

    def __init__(self, registers: Iterable[Register] = ()) -> None:
        self._own: dict[str, list[Located]] = {}
        self._whole: list[Located] = []
        self._conditions: dict[str, list[Located]] = {}
        self._at: dict[tuple[PageNumber | None, int], list[tuple[str | None, Located]]] = {}
        self.decimal: set[tuple[PageNumber | None, int]] = set()
        for register in registers:
            for output, cv in register.cvs.items():
                self._add(output, [Located(field, register, cv) for field in register.fields])

    def _add(self, output: str | None, located: list[Located]) -> None:
        (self._whole if output is None else self._own.setdefault(output, [])).extend(located)
        for each in located:
            place = each.page, each.cv.value
            self._at.setdefault(place, []).append((output, each))
            if each.field.place.is_decimal:
                self.decimal.add(place)

    def of(self, output: str) -> Sequence[Located]:
        """Those that belong to an output, its own before those of the whole decoder."""
        own = self._own.get(output)
        return [*own, *self._whole] if own else self._whole

    def conditions(self, output: str) -> Sequence[Located]:
        """Those in which codes stand for conditions."""
        found = self._conditions.get(output)
        if found is None:
            found = [located for located in self.of(output) if isinstance(located.field, ConditionField)]
            self._conditions[output] = found
        return found

    def one(self, output: str, kind: type[RegisterField]) -> Located | None:
        """The one that holds an output's effect, rate or brightness."""
        return next((located for located in self.of(output) if isinstance(located.field, kind)), None)

    def at(self, page: PageNumber | None, cv: int) -> list[tuple[str | None, Located]]:
        """Those of one CV, with the output that each belongs to, None for the whole decoder."""
        return self._at.get((page, cv), [])


# A sheet is shared by many plans.
@lru_cache(maxsize=64)
def fields_of(decoder: Decoder | None) -> Fields:
    """All fields of a decoder's registers; none without one."""
    return Fields(decoder.registers or () if decoder is not None else ())


# --- Conditions -------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Option:
    """One code for each of an output's condition fields, and what they say together."""

    codes: tuple[tuple[Located, ConditionCode], ...]
    formula: Formula


def options(fields: Fields, output: str, space: Space) -> list[Option]:
    """All that the registers can say besides the mapping; what asks for nothing more first, what never holds last.

    Raises OutOfStepsError.
    """
    codes_of = [(located, _codes(located.field)) for located in fields.conditions(output)]
    choices = [[(located, code, space.own(code.condition)) for code in codes] for located, codes in codes_of]
    found: list[Option] = []
    for chosen in product(*choices):
        space.step()
        codes = tuple((located, code) for located, code, _ in chosen)
        found.append(Option(codes, space.both(*(formula for _, _, formula in chosen))))
    return sorted(found, key=lambda option: (option.formula == FALSE, option.formula != TRUE))


def _codes(field: RegisterField) -> list[ConditionCode]:
    codes = field.codes if isinstance(field, ConditionField) else ()
    return [code for code in codes if code.code.value <= field.place.most]


# --- Rates and brightness ---------------------------------------------------------------------------------------------


def code_of_rate(field: RateField, rate: float) -> int | None:
    """The number that stands for a rate, hertz; None where none does."""
    return next((code for code, said in rates(field) if abs(said - rate) <= _CLOSE * max(rate, 1)), None)


def rates(field: RateField) -> list[tuple[int, float]]:
    """All numbers that the field can hold with the rates that they stand for, hertz, slowest first."""
    most = field.place.most
    if field.codes is not None:
        said = [(each.code.value, each.rate.usual) for each in field.codes if each.code.value <= most]
        return sorted(said, key=lambda pair: pair[1])
    step = field.per_step.usual if field.per_step is not None else 0.0
    offset = field.offset.usual if field.offset is not None else 0.0
    return [(code, offset + code * step) for code in range(most + 1)]


def code_of_brightness(field: BrightnessField, share: float) -> int | None:
    """The number nearest to a share of full brightness; None where only darkness is near, or the field is too small."""
    code = int(share * field.full + 0.5 + _CLOSE)
    return None if (code == 0 and share > 0) or code > field.place.most else code
