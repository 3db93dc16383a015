"""The other way round: from values that were read out of a decoder to the entries of a plan that say the same.

Only what is known is described: an output of which a CV is missing, or holds what the sheet does not name, is left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from lampwright.analysis.programming.by_function import ByFunction
from lampwright.analysis.programming.claims import PageNumber
from lampwright.analysis.programming.fields import Fields, Located, fields_of, rates
from lampwright.analysis.programming.matrix import FunctionMatrix
from lampwright.analysis.programming.methods import Fixed, Method
from lampwright.analysis.programming.rcn_pages import FIRST, ByOutputMatrix
from lampwright.analysis.programming.space import turned_round
from lampwright.analysis.programming.terms import Term
from lampwright.analysis.programming.vehicle import CONFIGURATION, IS_REVERSED
from lampwright.model.decoder import Decoder, EffectSheet
from lampwright.model.keys import ALWAYS, AllOf, Condition, Literal
from lampwright.model.registers import BrightnessField, ConditionField, EffectField, RateField
from lampwright.records import dataclass

Values = Mapping[tuple[PageNumber | None, int], int]


@dataclass(frozen=True, slots=True)
class DescribedLook:
    """The look that an output has; None for what no register of it holds. A share of full brightness; hertz."""

    effect: str | None = None
    brightness: float | None = None
    rate: float | None = None


@dataclass(frozen=True, slots=True)
class DescribedEntry:
    """That a key turns on an output under a condition, by the vehicle's directions."""

    key: int
    output: str
    condition: Condition


@dataclass(frozen=True, slots=True)
class Description:
    """All that the values say: entries by key and output, a look for each output that is lit, names left out."""

    entries: tuple[DescribedEntry, ...]
    looks: Mapping[str, DescribedLook]
    unknown: tuple[str, ...]


class _UnknownError(Exception):
    """A CV is missing, or holds what the sheet does not name."""


def described(decoder: Decoder, method: Method, values: Values) -> Description:
    """What a decoder of that sheet does with these values in its CVs."""
    page = getattr(method, "page", None)
    of_page = {cv: value for (each, cv), value in values.items() if each == page}
    terms, fields = method.read(of_page), fields_of(decoder)
    is_reversed = IS_REVERSED.read(values.get((None, CONFIGURATION), 0)) == 1
    entries: list[DescribedEntry] = []
    looks: dict[str, DescribedLook] = {}
    unknown: list[str] = []
    for name, output in decoder.outputs.items():
        number = output.number.value if output.number is not None else 0
        try:
            if not isinstance(method, Fixed):
                _require(method, number, of_page)
            said = terms.get(number, [])
            lit = list(_own(said)) if not isinstance(method, Fixed) else list(_fixed(decoder, name))
            if lit:
                more = _condition(fields, name, values)
                looks[name] = _look(decoder, fields, name, values)
                both = ((key, _all_of([part for part in (own, more) if part != ALWAYS])) for key, own in lit)
                entries += (
                    DescribedEntry(key, name, turned_round(condition) if is_reversed else condition)
                    for key, condition in both
                )
        except _UnknownError:
            unknown.append(name)
    entries.sort(key=lambda entry: entry.key)
    return Description(tuple(entries), looks, tuple(unknown))


def _require(method: Method, output: int, values: Mapping[int, int]) -> None:
    """That all CVs are there that say when an output is lit."""
    needed: Sequence[int]
    if isinstance(method, FunctionMatrix):
        needed = [row.cv for row in method.rows if 0 <= output - method.first_output(row) < 8]
    elif isinstance(method, ByFunction):
        rows = [FIRST + 4 * row for row in range(2 * method.last_key + 2)]
        needed = [row + (output - 1) // 8 for row in rows]
        bit = 1 << (output - 1) % 8
        needed += [row + 3 for row in rows if values.get(row + (output - 1) // 8, 0) & bit]
    elif isinstance(method, ByOutputMatrix):
        first = FIRST + 8 * (output - 1)
        needed = [first + at + byte for at in (0, 4) for byte in range(method.last_key // 8 + 1)]
    else:
        needed = range(FIRST + 8 * (output - 1), FIRST + 8 * output)
    if output < 1 or any(cv not in values for cv in needed):
        raise _UnknownError


def _own(terms: Sequence[Term]) -> Iterator[tuple[int, Condition]]:
    """The keys of the terms with their conditions; both directions are said once."""
    for term in terms:
        parts: list[Condition] = []
        other = Term(term.key, term.forward is False, term.unless)
        if term.forward is not None and other not in terms:
            parts.append(Literal("forward", term.forward))
        elif term.forward is False:
            continue
        parts += (Literal(f"F{key}", positive=False) for key in term.unless)
        yield term.key, _all_of(parts)


def _fixed(decoder: Decoder, output: str) -> Iterator[tuple[int, Condition]]:
    for key in decoder.mapping.fixed if decoder.mapping is not None else ():
        for entry in key.entries:
            if entry.condition is None:
                raise _UnknownError
            if output in {name.text for name in entry.outputs}:
                yield key.number, entry.condition


def _all_of(parts: Sequence[Condition]) -> Condition:
    """All of the parts, those of a list among them laid open."""
    open_parts = [each for part in parts for each in (part.parts if isinstance(part, AllOf) else (part,))]
    return open_parts[0] if len(open_parts) == 1 else AllOf(tuple(open_parts))


def _condition(fields: Fields, output: str, values: Values) -> Condition:
    parts: list[Condition] = []
    for located in fields.of(output):
        if isinstance(located.field, ConditionField):
            held = _held(located, values)
            code = next((each for each in located.field.codes if each.code.value == held), None)
            if code is None:
                raise _UnknownError
            parts.append(code.condition)
    return _all_of(parts)


def _held(located: Located, values: Values) -> int:
    value = values.get((located.page, located.cv.value))
    if value is None:
        raise _UnknownError
    return located.field.place.read(value)


def _look(decoder: Decoder, fields: Fields, output: str, values: Values) -> DescribedLook:
    effect = _effect(decoder, fields, output, values)
    sheet = (decoder.effects or {}).get(effect) if effect is not None else None
    return DescribedLook(effect, _brightness(fields, output, values), _rate(fields, output, sheet, values))


def _effect(decoder: Decoder, fields: Fields, output: str, values: Values) -> str | None:
    located = fields.one(output, EffectField)
    if located is None:
        return None
    held = _held(located, values)
    for effect in (decoder.effects or {}).values():
        if held in (each.value for each in (effect.code, effect.first_code, effect.second_code) if each is not None):
            return effect.name
    raise _UnknownError


def _brightness(fields: Fields, output: str, values: Values) -> float | None:
    located = fields.one(output, BrightnessField)
    if located is None or not isinstance(located.field, BrightnessField):
        return None
    share = _held(located, values) / located.field.full
    if share > 1:
        raise _UnknownError
    return share


def _rate(fields: Fields, output: str, effect: EffectSheet | None, values: Values) -> float | None:
    """The rate, if the effect has one at all."""
    located = fields.one(output, RateField)
    if located is None or effect is None or effect.rate is None or not isinstance(located.field, RateField):
        return None
    rate = dict(rates(located.field)).get(_held(located, values))
    if rate is None:
        raise _UnknownError
    return rate


__all__ = ["DescribedEntry", "DescribedLook", "Description", "described"]
