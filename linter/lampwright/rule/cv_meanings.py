"""What a value of a CV means, in words, by a plan's decoder sheet and the standards."""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.programming import Programming
from lampwright.analysis.programming.claims import PageNumber, Setting
from lampwright.analysis.programming.fields import Fields, Located, fields_of, rates
from lampwright.analysis.programming.listing import POINTERS, RESET
from lampwright.analysis.programming.methods import Method
from lampwright.analysis.programming.rcn_pages import UNUSED
from lampwright.analysis.programming.slots import Holds, Slot, slot_of
from lampwright.analysis.programming.vehicle import (
    ADDRESS,
    CONFIGURATION,
    CONSIST,
    CONSIST_HUNDREDS,
    CONSIST_KEYS,
    CONSIST_MORE_KEYS,
    LONG_HIGH,
    LONG_LOW,
    MAKER,
    VERSION,
)
from lampwright.model.decoder import Decoder
from lampwright.model.lighting import LightingPlan
from lampwright.model.registers import BrightnessField, ConditionField, EffectField, RateField
from lampwright.model.vehicle import Address
from lampwright.records import dataclass, field
from lampwright.rule.phrases import listed
from lampwright.rule.programming import said_condition, said_keys
from lampwright.units import Dimension, say

_METHODS = {2: "by function", 3: "by output, a bit a key", 4: "by output, by key numbers", 5: "by output and direction"}
_WAYS = ("turns it on", "turns it on forward", "turns it on in reverse", "forbids it")
_HIGHEST_KEY = 68
_RESET = (
    "reset to what it was on delivery, only if the decoder's manual says so and only on the programming track; its"
    " address is 3 then (RCN-226, read second-hand)"
)


@dataclass(frozen=True, slots=True)
class Words:
    """Says what values mean for one decoder, whose mapping is `method`; None for either if it is not known.

    `address` is the one that the plan wants, since half of an address says little to people.
    """

    decoder: Decoder | None
    method: Method | None
    address: Address | None = None
    fields: Fields = field(default_factory=Fields)

    def of(self, setting: Setting, value: int | None = None) -> str:
        """What `value`, or the value of the setting itself, means in its CV, as far as the plan decides it."""
        if setting == RESET:
            return _RESET
        number = setting.value if value is None else value
        return self.meaning(setting.cv, setting.page, number, setting.mask)

    def meaning(self, cv: int, page: PageNumber | None, value: int, mask: int = 255) -> str:
        """What `value` means in a CV, in the bits of `mask`; nothing where that is not known."""
        slot = slot_of(self.method, cv, page)
        said = [self._slot(slot, value, mask)] if slot is not None else []
        said += self._registers(cv, page, value, mask)
        if not said and page is None:
            said += self._of_standard(cv, value, mask)
        return "; ".join(said)

    # --- Mappings -----------------------------------------------------------------------------------------------------

    def _slot(self, slot: Slot, value: int, mask: int) -> str:
        way = {True: " forward", False: " reverse", None: ""}[slot.forward]
        if slot.holds is Holds.METHOD:
            return f"keys are mapped {_METHODS.get(value, 'by another method')}"
        owner = f"F{slot.key}{way}" if slot.key is not None else f"{self._output(slot.output or 0)}{way}"
        bits = [slot.first + bit for bit in range(8) if (value & mask) >> bit & 1]
        match slot.holds:
            case Holds.OUTPUTS:
                return f"{owner} turns on {self._outputs(bits) or 'nothing'}"
            case Holds.KEYS:
                first = f"F{slot.first} to F{slot.first + 7}"
                return f"{owner}: {f'{said_keys(bits)} turns it on' if bits else f'none of {first}'}"
            case Holds.KEY:
                return f"{owner}: {_key(value, 'turns it on', 'no further key')}"
            case Holds.FORBIDDING:
                return f"{owner}: {_key(value, 'forbids it', 'no key forbids it')}"
            case Holds.STATE:
                known = f"F{value & 63} {_WAYS[value >> 6]}"
                return f"{owner}: {'unused' if value == UNUSED else known}"
        half = "high" if slot.holds is Holds.HIGH else "low"
        return f"{owner}: {half} byte of a further key, {'unused' if value == UNUSED else value}"

    def _outputs(self, numbers: list[int]) -> str:
        """`white`, `white and output 3`, `outputs 3 and 4`."""
        names = [self._name(number) for number in numbers]
        nameless = [str(number) for number, name in zip(numbers, names, strict=True) if name is None]
        rest = [f"output{'s' if len(nameless) > 1 else ''} {listed(nameless)}"] if nameless else []
        return listed([*(name for name in names if name is not None), *rest])

    def _output(self, number: int) -> str:
        return self._name(number) or f"output {number}"

    def _name(self, number: int) -> str | None:
        outputs = self.decoder.outputs.values() if self.decoder is not None else ()
        named = (output.name for output in outputs if output.number is not None and output.number.value == number)
        return next(named, None)

    # --- Registers ----------------------------------------------------------------------------------------------------

    def _registers(self, cv: int, page: PageNumber | None, value: int, mask: int) -> Iterator[str]:
        if self.decoder is None:
            return
        of_outputs: dict[str | None, list[str]] = {}
        for output, located in self.fields.at(page, cv):
            if located.field.place.is_decimal or located.field.place.mask & mask:
                of_outputs.setdefault(output, []).append(self._field(located, value))
        shared: dict[str, list[str]] = {}
        for output, said in of_outputs.items():
            shared.setdefault(", ".join(said), []).append("all outputs" if output is None else output)
        yield from (f"{listed(names)}: {said_together}" for said_together, names in shared.items())

    def _field(self, located: Located, value: int) -> str:
        held_by, held = located.field, located.field.place.read(value)
        match held_by:
            case EffectField():
                return self._effect(held)
            case ConditionField():
                code = next((each for each in held_by.codes if each.code.value == held), None)
                when = said_condition(code.condition) if code is not None else ""
                return "no condition that is known" if code is None else f"only when {when}" if when else "no condition"
            case RateField():
                rate = dict(rates(held_by)).get(held)
                return say(rate, Dimension.RATE) if rate is not None else "no rate that is known"
            case BrightnessField():
                return say(min(held / held_by.full, 1.0), Dimension.SHARE)

    def _effect(self, code: int) -> str:
        assert self.decoder is not None
        for effect in (self.decoder.effects or {}).values():
            if effect.code is not None and effect.code.value == code:
                return effect.name
            for place, each in (("first", effect.first_code), ("second", effect.second_code)):
                if each is not None and each.value == code:
                    return f"{effect.name}, {place} of its pair"
        return f"an effect of code {code}, which the sheet does not name"

    # --- CVs of the standard ------------------------------------------------------------------------------------------

    def _of_standard(self, cv: int, value: int, mask: int) -> Iterator[str]:
        if cv == ADDRESS:
            yield f"short address {value}"
        elif cv in (LONG_HIGH, LONG_LOW):
            yield self._half_of_address(cv, value)
        elif cv == CONSIST:
            yield _consist(value)
        elif cv == CONSIST_HUNDREDS:
            yield f"consist address: {value} hundreds more (RCN-225, read second-hand)"
        elif cv in (CONSIST_KEYS, CONSIST_MORE_KEYS):
            yield f"the consist works {listed(list(_consist_keys(cv, value & mask))) or 'none of these keys'}"
        elif cv == CONFIGURATION:
            yield "; ".join(_configuration(value, mask))
        elif cv == VERSION:
            yield f"the maker's version {value}"
        elif cv == MAKER:
            yield f"the maker's number {value}"
        elif cv in POINTERS:
            yield f"page register: {value} for the CVs that follow"

    def _half_of_address(self, cv: int, value: int) -> str:
        half = "high byte" if cv == LONG_HIGH else "low byte"
        number = self.address.number if self.address is not None and self.address.is_long else None
        if number is not None and value == (192 + number // 256 if cv == LONG_HIGH else number % 256):
            return f"{half} of the long address {number}"
        return f"{half} of a long address: {max(value - 192, 0) * 256 if cv == LONG_HIGH else value} of it"


def words_of(plan: LightingPlan, programming: Programming) -> Words:
    """The words for the CVs of one plan's decoder."""
    return Words(plan.decoder, programming.method, plan.vehicle.address, fields_of(plan.decoder))


def _key(value: int, does: str, unused: str) -> str:
    if value == UNUSED:
        return unused
    return f"F{value} {does}" if value <= _HIGHEST_KEY else f"binary state {value} {does}"


def _consist(value: int) -> str:
    if value & 127 == 0:
        return "in no consist"
    return f"consist address {value & 127}, {'the other way round' if value & 128 else 'the same way round'}"


def _consist_keys(cv: int, value: int) -> Iterator[str]:
    names = [f"F{key}" for key in range(1, 9)]
    if cv == CONSIST_MORE_KEYS:
        names = ["F0 forward", "F0 reverse", "F9", "F10", "F11", "F12", "F13 to F20", "F21 to F28"]
    yield from (name for bit, name in enumerate(names) if value >> bit & 1)


_CONFIGURATION = (
    (0, "direction as built", "direction reversed, the lights with it"),
    # By S-9.2.1 and S-9.2.2; that the headlamp flickers follows: what it reads as F0 changes with every second step.
    (
        1,
        "F0 does not travel in the function group but in the speed step, so the headlamp flickers as the speed changes",
        "F0 travels in the function group, with F1 to F4, so the headlamp does not flicker with the speed step",
    ),
    (5, "the short address of CV1", "the long address of CV17 and CV18"),
)


def _configuration(value: int, mask: int) -> Iterator[str]:
    for bit, clear, is_set in _CONFIGURATION:
        if mask >> bit & 1:
            yield is_set if value >> bit & 1 else clear
