"""What is to be said of a CV of a maker's own: what it holds, and what plans write to it. In lines, a title first.

Knows no places in a text and no request.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lampwright.analysis.programming.fields import fields_of, page_of
from lampwright.model.decoder import Decoder
from lampwright.model.registers import BrightnessField, ConditionField, EffectField, RateField, Register, RegisterField
from lampwright.rule import Context
from lampwright.rule.cv_meanings import Words, words_of
from lampwright.rule.programming import said_condition, said_place
from lampwright.units import Dimension, say
from lampwright_lsp.accounts import of_setting

_MOST_PLANS = 8
"""More than that nobody reads beside a pointer."""


def of_register(
    decoder: Decoder, register: Register, output: str | None, cv: int, plans: Iterable[Context] = ()
) -> Iterator[str]:
    """The CV `cv` of `register`, which is that of `output`, or of the whole decoder; and what `plans` write to it."""
    yield f"CV{cv} of {f'output {output}' if output is not None else 'the whole decoder'}"
    page = page_of(register)
    if page is not None:
        yield f"behind CV31 = {page[0]}, CV32 = {page[1]}"
    yield from (f"{said_place(field.place)}: {_field(field, decoder)}" for field in register.fields)
    if register.default is not None:
        meaning = Words(decoder, None, None, fields_of(decoder)).meaning(cv, page, register.default.value)
        yield f"on delivery {register.default.value}: {meaning}"
    named = [context for context in plans if context.lighting_plan is not None]
    for context in named[:_MOST_PLANS]:
        yield _written(context, page, cv)
    if len(named) > _MOST_PLANS:
        yield f"and {len(named) - _MOST_PLANS} more plans"


def _written(context: Context, page: tuple[int, int] | None, cv: int) -> str:
    vehicle = context.plan.vehicle
    name = vehicle.name.text if vehicle.name is not None else context.tree.source.name
    programming = context.programming
    setting = next((each for each in programming.settings if each.cv == cv and each.page == page), None)
    said = of_setting(setting, words_of(context.plan, programming)) if setting is not None else "leaves it as it is"
    return f"{name}: {said}"


def _field(field: RegisterField, decoder: Decoder) -> str:
    match field:
        case EffectField():
            return "the effect" + _codes(_effects(decoder))
        case ConditionField(codes=codes):
            said = ((each.code.value, said_condition(each.condition) or "none") for each in codes)
            return "the condition" + _codes(said)
        case RateField(codes=codes) if codes is not None:
            return "the rate" + _codes((each.code.value, say(each.rate.usual, Dimension.RATE)) for each in codes)
        case RateField(per_step=step, offset=offset):
            above = f" above {say(offset.usual, Dimension.RATE)}" if offset is not None else ""
            return f"the rate, {say(step.usual, Dimension.RATE)} a step{above}" if step is not None else "the rate"
        case BrightnessField(full=full):
            return f"the brightness, {full} for all of it"


def _effects(decoder: Decoder) -> Iterator[tuple[int, str]]:
    for effect in (decoder.effects or {}).values():
        codes = (effect.code, ""), (effect.first_code, " (first)"), (effect.second_code, " (second)")
        yield from ((code.value, f"{effect.name}{which}") for code, which in codes if code is not None)


def _codes(meanings: Iterable[tuple[int, str]]) -> str:
    said = [f"{code} {meaning}" for code, meaning in sorted(meanings)]
    return f", {', '.join(said)}" if said else ""
