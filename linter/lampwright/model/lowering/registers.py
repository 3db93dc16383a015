"""The registers of a decoder sheet, with the outputs that they belong to looked up."""

from __future__ import annotations

from lampwright.model.lowering.entries import condition
from lampwright.model.lowering.names import Notes
from lampwright.model.lowering.values import figure, number
from lampwright.model.registers import (
    BrightnessField,
    ConditionCode,
    ConditionField,
    EffectField,
    FieldPlace,
    Page,
    RateCode,
    RateField,
    Register,
    RegisterField,
)
from lampwright.model.values import Number
from lampwright.plan import sheet as written
from lampwright.plan.numbers import Whole
from lampwright.plan.words import Word


class RegisterLowering:
    """Lowers the registers of one sheet; `is_whole` turns false when something of them was dropped with a problem."""

    def __init__(self, outputs: frozenset[str] | None, notes: Notes) -> None:
        self._outputs = outputs
        self._notes = notes
        self.is_whole = True

    def registers(self, shape: written.DecoderSheet) -> tuple[Register, ...] | None:
        """What could be read of them; None where the sheet has none, so that nobody can tell which there are."""
        if shape.may_lack("registers"):
            self.is_whole = False
        if shape.registers is None:
            return None
        lowered = [self._register(each) for each in shape.registers]
        return tuple(each for each in lowered if each is not None)

    def _register(self, shape: written.Register | None) -> Register | None:
        if shape is None:
            self.is_whole = False
            return None
        if any(map(shape.lost, ("cv", "holds", "default", "page"))):
            self.is_whole = False
        fields = [self._field(each) for each in shape.holds or []]
        return Register(
            shape.span,
            self._cvs(shape),
            tuple(each for each in fields if each is not None),
            self._page(shape.page),
            number(shape.default),
        )

    def _cvs(self, shape: written.Register) -> dict[str | None, Number]:
        if isinstance(shape.cv, Whole):
            return {None: Number(shape.cv.value, shape.cv.span)}
        cvs: dict[str | None, Number] = {}
        for word, whole in (shape.cv or {}).items():
            self._look_up(word)
            lowered = number(whole)
            if lowered is None:
                self.is_whole = False
            else:
                cvs[word.text] = lowered
        return cvs

    def _look_up(self, word: Word) -> None:
        if self._outputs is not None and word.text not in self._outputs:
            self._notes.unknown("output", word, self._outputs)
            self.is_whole = False

    def _page(self, shape: written.Page | None) -> Page | None:
        if shape is None:
            return None
        high, low = number(shape.CV31), number(shape.CV32)
        if high is None or low is None:
            self.is_whole = False
            return None
        return Page(high, low)

    def _field(self, shape: written.RegisterField | None) -> RegisterField | None:
        if isinstance(shape, written.ConditionField | written.RateField):
            self._check_codes([code.code for code in shape.codes or [] if code is not None])
        place = _place(shape)
        if shape is None or place is None:
            self.is_whole = False
            return None
        match shape:
            case written.EffectField():
                return EffectField(place)
            case written.ConditionField():
                return ConditionField(place, tuple(self._conditions(shape)))
            case written.RateField():
                return self._rate(shape, place)
            case written.BrightnessField():
                return self._brightness(shape, place)

    def _conditions(self, shape: written.ConditionField) -> list[ConditionCode]:
        codes: list[ConditionCode] = []
        if shape.codes is None:
            self.is_whole = False
        for each in shape.codes or []:
            code = number(each.code) if each is not None else None
            meant = condition(each.when) if each is not None else None
            if each is None or code is None or meant is None:
                self.is_whole = False
            else:
                codes.append(ConditionCode(code, meant, each.value_span("when")))
        return codes

    def _rate(self, shape: written.RateField, place: FieldPlace) -> RateField | None:
        is_missing = shape.codes is None and shape.per_step is None
        if is_missing or any(map(shape.lost, ("codes", "per_step", "offset"))):
            self.is_whole = False
            return None
        return RateField(place, self._rates(shape), figure(shape.per_step), figure(shape.offset))

    def _rates(self, shape: written.RateField) -> tuple[RateCode, ...] | None:
        if shape.codes is None:
            return None
        codes: list[RateCode] = []
        for each in shape.codes:
            code, rate = (number(each.code), figure(each.rate)) if each is not None else (None, None)
            if code is None or rate is None:
                self.is_whole = False
            else:
                codes.append(RateCode(code, rate))
        return tuple(codes)

    def _brightness(self, shape: written.BrightnessField, place: FieldPlace) -> BrightnessField | None:
        if shape.lost("full"):
            self.is_whole = False
            return None
        if shape.full is None:
            return BrightnessField(place, place.most)
        return BrightnessField(place, shape.full.value, shape.full.span)

    def _check_codes(self, codes: list[Whole | None]) -> None:
        """Finds a code that has two meanings."""
        first: dict[int, Whole] = {}
        for code in codes:
            if code is not None and first.setdefault(code.value, code) is not code:
                self._notes.report("duplicate-key", code.span, first=first[code.value].span, equal=False)
                self.is_whole = False


def _place(shape: written.RegisterField | None) -> FieldPlace | None:
    if shape is None:
        return None
    if shape.digit is not None:
        return FieldPlace.of_digit(shape.digit.text, shape.digit.span)
    if shape.bits is not None:
        return FieldPlace(None, shape.bits.lowest, shape.bits.highest, shape.bits.span)
    return None
