"""What the maker's own registers say of an output: under which further condition it is lit, and how it looks.

It reads the fields of a sheet's `registers` out of the CVs, and knows no function mapping. The fields and their meaning
are those of the plan language, "A decoder sheet"; where that is silent:

- the register of an output goes before one of the whole decoder, but the conditions of both must hold;
- two registers of one kind that hold the same thing for an output contradict each other, except conditions;
- a rate is looked up only for an effect that the sheet gives a rate, and must be within it;
- without `full`, the highest value that fits is full brightness;
- an effect with pairs has no meaning on an output that is in none of them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeVar

from programming.conditions import Sheet, State, holds
from programming.cv_memory import Memory
from programming.knowledge import InterpreterError, Truth, Unknown, both
from programming.register_fields import Field, field_of, fields_of, highest, meaning_of, reading, surely

Value = TypeVar("Value", str, float)


@dataclass(frozen=True, slots=True)
class Look:
    """How an output is lit: the effect's name, the share of full brightness, and the rate in per minute.

    The rate is None where the sheet gives the effect none, or neither a register nor a single value of it. `part` tells
    which half of a pair's effect the output does, "first" or "second"; it does not count when looks are compared.
    """

    effect: str
    brightness: float
    rate: float | None
    part: str | None = field(default=None, compare=False)


# --- What they mean ---------------------------------------------------------------------------------------------------


def condition_holds(sheet: Sheet, memory: Memory, state: State, output: str) -> Truth:
    """The condition that the registers add; true if no register holds one for this output."""
    fields = fields_of(sheet, "condition", output) + fields_of(sheet, "condition", None)
    return both([_condition_holds(memory, state, place) for place in fields])


def _condition_holds(memory: Memory, state: State, place: Field) -> Truth:
    number = reading(memory, place)
    if isinstance(number, Unknown):
        return number
    return holds(meaning_of(place.given["codes"], number, place, "when"), state)


def look(sheet: Sheet, memory: Memory, output: str, entries: Sequence[Mapping[str, Any]]) -> Look | None:
    """The look of a lit output, or None if its brightness is nothing.

    `entries` are those of a fixed table that hold: what they name goes before the registers. Raises InterpreterError if
    two name different values, if a register that counts is unknown, or if the sheet lists no meaning of what it holds.
    """
    brightness = _named(entries, "brightness", _share)
    brightness = _brightness(sheet, memory, output) if brightness is None else brightness
    if brightness == 0:
        return None
    named = _named(entries, "effect", str)
    effect, part = _effect(sheet, memory, output) if named is None else (named, None)
    rate = _named(entries, "rate", _per_minute)
    return Look(effect, brightness, _rate(sheet, memory, output, effect) if rate is None else rate, part)


def _named(entries: Sequence[Mapping[str, Any]], what: str, read: Callable[[str], Value]) -> Value | None:
    values = {read(entry[what]) for entry in entries if what in entry}
    if len(values) > 1:
        raise InterpreterError(f"entries that hold at once name {len(values)} values of {what}")
    return values.pop() if values else None


def _brightness(sheet: Sheet, memory: Memory, output: str) -> float:
    place = field_of(sheet, "brightness", output)
    if place is None:
        return 1.0
    number, full = surely(memory, place), int(place.given.get("full", highest(place.given)))
    if number > full:
        raise InterpreterError(f"the brightness {number} in {place.place} is above the full {full}")
    return number / full


def _effect(sheet: Sheet, memory: Memory, output: str) -> tuple[str, str | None]:
    place = field_of(sheet, "effect", output)
    if place is None:
        return "steady", None
    name, part = meaning_of(list(_effect_codes(sheet)), surely(memory, place), place, "effect")
    pairs = sheet["effects"][name].get("pairs", [])
    if pairs and not any(output in pair for pair in pairs):
        raise InterpreterError(f"the effect {name!r} is made for pairs, and {output!r} is in none of them")
    return name, part


def _effect_codes(sheet: Sheet) -> Iterator[Mapping[str, Any]]:
    for name, effect in sheet.get("effects", {}).items():
        if "code" in effect:
            yield {"code": effect["code"], "effect": (name, None)}
        for part, code in effect.get("codes", {}).items():
            yield {"code": code, "effect": (name, part)}


def _rate(sheet: Sheet, memory: Memory, output: str, effect: str) -> float | None:
    stated = sheet.get("effects", {}).get(effect, {}).get("rate")
    if stated is None:
        return None
    slowest, fastest = _rates(stated)
    place = field_of(sheet, "rate", output)
    if place is None:
        return slowest if slowest == fastest else None
    rate = _rate_in(memory, place)
    if not slowest - 1e-9 <= rate <= fastest + 1e-9:
        raise InterpreterError(f"{place.place} sets {rate} per minute, but {effect!r} can have {stated}")
    return rate


def _rate_in(memory: Memory, place: Field) -> float:
    number = surely(memory, place)
    if "codes" in place.given:
        return _per_minute(meaning_of(place.given["codes"], number, place, "rate"))
    offset = _per_minute(place.given["offset"]) if "offset" in place.given else 0.0
    return offset + number * _per_minute(place.given["per-step"])


# --- Quantities -------------------------------------------------------------------------------------------------------


def _rates(written: str) -> tuple[float, float]:
    lowest, _, highest = written.rpartition(" to ")
    fastest = _per_minute(highest)
    return (float(lowest.removesuffix("per minute").strip()) if lowest else fastest), fastest


def _per_minute(written: str) -> float:
    return _figure(written, "per minute")


def _share(written: str) -> float:
    return _figure(written, "%") / 100


def _figure(written: str, unit: str) -> float:
    found = re.fullmatch(r"([0-9]+(?:\.[0-9]+)?)\s?" + unit, written.strip())
    if not found:
        raise InterpreterError(f"{written!r} is no quantity in {unit}")
    return float(found[1])
