"""What is wrong with a decoder sheet's own CVs: values that do not fit, read-only CVs, fields that overlap.

Knows no plan: these mistakes are there before any plan uses them.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from lampwright.analysis.programming.claims import HIGHEST_VALUE
from lampwright.analysis.programming.fields import page_of
from lampwright.analysis.programming.matrix import ROWS
from lampwright.analysis.programming.vehicle import ADDRESS, CONFIGURATION, HIGHEST_CV, LONG_HIGH, LONG_LOW, READ_ONLY
from lampwright.model.decoder import Decoder
from lampwright.model.registers import BrightnessField, ConditionField, EffectField, FieldPlace, RateField
from lampwright.model.values import Number
from lampwright.records import dataclass
from lampwright.text import Span


@dataclass(frozen=True, slots=True)
class Misfit:
    """A number of the sheet that does not fit: what it is, the most that there is room for, and where that is said.

    `what` is "CV", "value", "page", "code" or "full".
    """

    span: Span
    what: str
    number: int
    most: int
    place: FieldPlace | None = None


@dataclass(frozen=True, slots=True)
class SharedBits:
    """A field that overlaps another one of the same CV, or a CV that a standard has given another meaning.

    `earlier` is the other field's place, or None in the second case.
    """

    cv: int
    later: Span
    earlier: Span | None


def misfits(decoder: Decoder) -> Iterator[Misfit]:
    """All numbers of the sheet that do not fit."""
    for register in decoder.registers or ():
        for cv in register.cvs.values():
            if not 1 <= cv.value <= HIGHEST_CV:
                yield Misfit(cv.span, "CV", cv.value, HIGHEST_CV)
        if register.default is not None and register.default.value > HIGHEST_VALUE:
            yield Misfit(register.default.span, "value", register.default.value, HIGHEST_VALUE)
        for page in (register.page.cv31, register.page.cv32) if register.page is not None else ():
            if page.value > HIGHEST_VALUE:
                yield Misfit(page.span, "page", page.value, HIGHEST_VALUE)
        for field in register.fields:
            yield from _misfits_of_field(field)
    yield from _misfits_of_effects(decoder)


def _misfits_of_field(field: object) -> Iterator[Misfit]:
    if isinstance(field, ConditionField | RateField):
        for each in field.codes or ():
            if each.code.value > field.place.most:
                yield Misfit(each.code.span, "code", each.code.value, field.place.most, field.place)
    if isinstance(field, BrightnessField) and field.full > field.place.most and field.full_span is not None:
        yield Misfit(field.full_span, "full", field.full, field.place.most, field.place)


def _misfits_of_effects(decoder: Decoder) -> Iterator[Misfit]:
    """Codes of effects that no effect field can hold: another one may be larger."""
    places = [
        field.place
        for register in decoder.registers or ()
        for field in register.fields
        if isinstance(field, EffectField)
    ]
    if not places:
        return
    largest = max(places, key=lambda place: place.most)
    for effect in (decoder.effects or {}).values():
        for code in (effect.code, effect.first_code, effect.second_code):
            if code is not None and code.value > largest.most:
                yield Misfit(code.span, "code", code.value, largest.most, largest)


def read_only(decoder: Decoder) -> Iterator[Number]:
    """The places where the sheet would have CV7 or CV8 written."""
    for register in decoder.registers or ():
        yield from (cv for cv in register.cvs.values() if cv.value in READ_ONLY)


# A sheet is shared by many plans.
@lru_cache(maxsize=64)
def shared_bits(decoder: Decoder) -> tuple[SharedBits, ...]:
    """Fields of one CV that overlap, each later one once; then registers in a CV with a meaning of its own."""
    return (*_overlaps(decoder), *_taken(decoder))


def _overlaps(decoder: Decoder) -> Iterator[SharedBits]:
    # A field that several outputs share is one field; of a place and a purpose the first is enough to be overlapped.
    seen: dict[tuple[object, int], dict[tuple[object, ...], FieldPlace]] = {}
    for register in decoder.registers or ():
        reported: set[int] = set()
        for cv in dict.fromkeys(cv.value for cv in register.cvs.values()):
            mine = seen.setdefault((page_of(register), cv), {})
            for index, field in enumerate(register.fields):
                identity = (type(field), field.place.digit, field.place.lowest, field.place.highest)
                rival = next(
                    (place for other, place in mine.items() if _is_rival(other, identity, place, field.place)), None
                )
                mine.setdefault(identity, field.place)
                if rival is not None and index not in reported and field.place.span is not None:
                    reported.add(index)
                    yield SharedBits(cv, field.place.span, rival.span)


def _is_rival(other: tuple[object, ...], identity: tuple[object, ...], place: FieldPlace, own: FieldPlace) -> bool:
    return other != identity and place.overlaps(own)


def _taken(decoder: Decoder) -> Iterator[SharedBits]:
    taken = {ADDRESS, LONG_HIGH, LONG_LOW, CONFIGURATION}
    if decoder.mapping is not None and decoder.mapping.method == "function-matrix":
        highest = decoder.highest_key.value if decoder.highest_key is not None else None
        taken |= {row.cv for row in ROWS if highest is None or row.term.key <= highest}
    for register in decoder.registers or ():
        if register.page is None:
            for cv in register.cvs.values():
                if cv.value in taken:
                    yield SharedBits(cv.value, cv.span, None)
