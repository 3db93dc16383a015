"""What registers must hold so that an output burns as the plan says, and which looks no register can hold.

A decoder knows one look of an output, whatever turned it on, unless its fixed entries name others.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from lampwright.analysis.logic.entries import EntryFact
from lampwright.analysis.programming.claims import Claim
from lampwright.analysis.programming.faults import Unjudged, UnsayableLook
from lampwright.analysis.programming.fields import Fields, Located, code_of_brightness, code_of_rate, rates
from lampwright.analysis.programming.space import FALSE, Space
from lampwright.analysis.programming.wishes import STEADY, Region, Wish, are_at_odds, regions
from lampwright.model.decoder import Decoder, EffectSheet
from lampwright.model.keys import LookProperty
from lampwright.model.registers import BrightnessField, EffectField, FieldPlace, RateField
from lampwright.model.values import Figure, Name
from lampwright.records import dataclass, replace

RULE = "inexpressible-look"

Outcome = Claim | UnsayableLook | Unjudged

_NEAREST = 2
_REGISTERS = "registers on the decoder sheet"
_CURE_OF_SHEET = "a cure for the sheet's cv-out-of-range first"


@dataclass(frozen=True, slots=True)
class Looks:
    """All outputs of a plan that are lit at some time, by name, for one decoder; `fixed` are its fixed entries."""

    decoder: Decoder
    fields: Fields
    wishes: Mapping[str, Wish]
    fixed: Sequence[EntryFact]
    space: Space

    def outcomes(self) -> Iterator[Outcome]:
        """What registers must hold, and what cannot be."""
        # What of a look could not be read has its finding already, and nothing else is said of that look.
        wishes = {name: wish for name, wish in self.wishes.items() if _is_readable(wish)}
        found = {name: self._one(wish, "effect") for name, wish in wishes.items()}
        effects = {name: region for name, region in found.items() if isinstance(region, Region)}
        for name, wish in wishes.items():
            effect = found[name]
            if isinstance(effect, Region):
                yield from self._effect(wish, effect, effects)
                yield from self._brightness(wish)
                yield from self._rate(wish, effect)
            else:
                yield from [effect] if effect is not None else []
                yield from self._brightness(wish)

    @property
    def _registers_are_known(self) -> bool:
        return self.decoder.registers is not None and "registers" not in self.decoder.unreadable

    def _one(self, wish: Wish, what: LookProperty) -> Region | UnsayableLook | Unjudged | None:
        """The one value that a property is to have, None where the decoder's fixed entries say it already."""
        found = regions(wish, what, self.space)
        if are_at_odds(found, self.space):
            return Unjudged((RULE,), wish.span, "a cure for its conflict first")
        found, fault = self._left_open(wish, what, found)
        if fault is not None:
            return fault
        if len(found) < 2:
            return found[0] if found else None
        one, other = sorted(found, key=lambda region: region.span.start if region.span is not None else -1)[:2]
        span = other.span or one.span or wish.span
        if not self._registers_are_known:
            return Unjudged((RULE,), span, _REGISTERS)
        return UnsayableLook(wish.name, span, what, other.value, other_value=one.value, other=one.span, are_two=True)

    def _left_open(
        self, wish: Wish, what: LookProperty, found: list[Region]
    ) -> tuple[list[Region], UnsayableLook | None]:
        """What is left of the regions where no fixed entry names a value, and whether one names another value."""
        for fact in self.fixed:
            named = getattr(fact.entry.look, what)
            if named is None or fact.formula is None or wish.name not in fact.outputs:
                continue
            value = named.text if isinstance(named, Name) else named.usual
            for region in found:
                if region.value != value and self.space.both(region.formula, fact.formula) != FALSE:
                    span = region.span or wish.span
                    return [], UnsayableLook(wish.name, span, what, region.value, other_value=value, other=named.span)
            rest = self.space.opposite(fact.formula)
            found = [replace(region, formula=self.space.both(region.formula, rest)) for region in found]
            found = [region for region in found if region.formula != FALSE]
        return found, None

    # --- Effects ------------------------------------------------------------------------------------------------------

    def _effect(self, wish: Wish, region: Region, effects: Mapping[str, Region]) -> Iterator[Outcome]:
        located = self.fields.one(wish.name, EffectField)
        value, span = str(region.value), region.span or wish.span
        if located is None:
            yield from self._without_register(wish, "effect", region, is_usual=value == STEADY)
            return
        sheet = (self.decoder.effects or {}).get(value)
        if sheet is None or not sheet.is_readable:
            # Steady without a code of its own is what the register holds on delivery.
            yield from [] if value == STEADY else [Unjudged((RULE,), span, f'the code of "{value}" on the sheet')]
            return
        partners = {name for name, other in effects.items() if other.value == value and name != wish.name}
        code = self._code(sheet, wish.name, partners)
        if code is None:
            lacks = (
                "a cure for its unpaired-effect first" if sheet.first_code else f'the code of "{value}" on the sheet'
            )
            yield from [] if value == STEADY else [Unjudged((RULE,), span, lacks)]
        elif code <= located.field.place.most:
            yield located.claim(code, wish.name, span)
        elif code <= max(place.most for place in _effect_places(self.decoder)):
            yield UnsayableLook(wish.name, span, "effect", value, has_register=True)
        else:
            yield Unjudged((RULE,), span, _CURE_OF_SHEET)

    def _code(self, effect: EffectSheet, output: str, partners: set[str]) -> int | None:
        """The code of an effect for an output; one made for a pair has two."""
        if effect.code is not None:
            return effect.code.value
        if effect.first_code is None or effect.second_code is None:
            return None
        names = [(one.text, other.text) for one, other in effect.pairs] if effect.pairs is not None else []
        if effect.pairs is None and len(partners) == 1:
            names = [self._in_order(output, *partners)]
        mine = [pair for pair in names if output in pair]
        pair = next((pair for pair in mine if partners.intersection(pair)), mine[0] if mine else None)
        if pair is None:
            return None
        return effect.first_code.value if output == pair[0] else effect.second_code.value

    def _in_order(self, one: str, other: str) -> tuple[str, str]:
        order = list(self.decoder.outputs)
        known = [name for name in order if name in (one, other)]
        return (known[0], known[1]) if len(known) == 2 else (one, other)

    # --- Brightness and rate ------------------------------------------------------------------------------------------

    def _brightness(self, wish: Wish) -> Iterator[Outcome]:
        region = self._one(wish, "brightness")
        if not isinstance(region, Region):
            yield from [region] if region is not None else []
            return
        located = self.fields.one(wish.name, BrightnessField)
        assert isinstance(region.value, float)
        if located is None:
            yield from self._without_register(wish, "brightness", region, is_usual=region.value == 1.0)
            return
        assert isinstance(located.field, BrightnessField)
        code = code_of_brightness(located.field, region.value)
        if code is not None:
            yield located.claim(code, wish.name, region.span or wish.span)
        elif located.field.full > located.field.place.most:
            yield Unjudged((RULE,), region.span or wish.span, _CURE_OF_SHEET)
        else:
            could = (1 / located.field.full,)
            yield UnsayableLook(
                wish.name, region.span or wish.span, "brightness", region.value, could, has_register=True
            )

    def _rate(self, wish: Wish, effect: Region) -> Iterator[Outcome]:
        if effect.value == STEADY:
            return
        region = self._one(wish, "rate")
        if not isinstance(region, Region):
            yield from [region] if region is not None else []
            return
        located = self.fields.one(wish.name, RateField)
        sheet = (self.decoder.effects or {}).get(str(effect.value))
        span = region.span or effect.span or wish.span
        if located is None:
            yield from self._without_register(wish, "rate", region, is_usual=region.value is None)
        elif region.value is None:
            code = _slowest(located, sheet)
            yield from [] if code is None else [located.claim(code, wish.name, span)]
        elif sheet is not None and sheet.rate is not None and not _is_within(float(region.value), sheet.rate):
            yield Unjudged((RULE,), span, "a cure for its rate-out-of-range first")
        else:
            yield self._stated_rate(wish, located, float(region.value), replace(region, span=span))

    def _stated_rate(self, wish: Wish, located: Located, rate: float, region: Region) -> Outcome:
        assert isinstance(located.field, RateField)
        assert region.span is not None
        code = code_of_rate(located.field, rate)
        if code is not None:
            return located.claim(code, wish.name, region.span)
        could = sorted({said for _, said in rates(located.field) if said > 0}, key=lambda said: abs(said - rate))
        nearest = tuple(sorted(could[:_NEAREST]))
        return UnsayableLook(wish.name, region.span, "rate", rate, nearest, has_register=True)

    def _without_register(
        self, wish: Wish, what: LookProperty, region: Region, *, is_usual: bool
    ) -> Iterator[UnsayableLook | Unjudged]:
        if is_usual:
            return
        span = region.span or wish.span
        if not self._registers_are_known:
            yield Unjudged((RULE,), span, _REGISTERS)
        else:
            yield UnsayableLook(wish.name, span, what, region.value)


def _is_readable(wish: Wish) -> bool:
    return wish.look.is_readable and all(fact.entry.look.is_readable for fact in wish.facts)


def _effect_places(decoder: Decoder) -> list[FieldPlace]:
    fields = (field for register in decoder.registers or () for field in register.fields)
    return [field.place for field in fields if isinstance(field, EffectField)]


def _slowest(located: Located, effect: EffectSheet | None) -> int | None:
    """The number for the slowest rate of an effect that the register can hold, None where the sheet names no rates."""
    if effect is None or effect.rate is None:
        return None
    assert isinstance(located.field, RateField)
    return next((code for code, rate in rates(located.field) if _is_within(rate, effect.rate)), None)


def _is_within(rate: float, limits: Figure) -> bool:
    return limits.lowest * (1 - 1e-9) <= rate <= limits.highest * (1 + 1e-9)
