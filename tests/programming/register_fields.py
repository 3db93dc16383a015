"""Where the fields of a maker's registers stand, and the numbers in them; what the numbers mean is not its matter."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from programming.conditions import Sheet
from programming.cv_memory import ALL_BITS, INDEXED, Byte, Memory, Page, Place
from programming.knowledge import InterpreterError, Unknown

DECIMAL_DIGITS = {"ones": 1, "tens": 10, "hundreds": 100}
HEX_DIGITS = {"low": (0, 3), "high": (4, 7)}


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a register as the sheet gives it, and the CV that holds it for one output."""

    place: Place
    given: Mapping[str, Any]


# --- Where the fields are ---------------------------------------------------------------------------------------------


def delivered(sheet: Sheet) -> dict[Place, Byte]:
    """The values on delivery of all registers that have a default."""
    values: dict[Place, Byte] = {}
    for register in sheet.get("registers", []):
        if "default" in register:
            places = [_place(register, cv) for cv in _cvs(register).values()]
            values |= dict.fromkeys(places, Byte(int(register["default"]), ALL_BITS))
    return values


def _cvs(register: Mapping[str, Any]) -> dict[str | None, int]:
    """The CV of each output, or under None that of the whole decoder."""
    cv = register["cv"]
    return {name: int(number) for name, number in cv.items()} if isinstance(cv, dict) else {None: int(cv)}


def _place(register: Mapping[str, Any], cv: int) -> Place:
    page = register.get("page")
    if (page is not None) is not (cv in INDEXED):
        raise InterpreterError(f"CV{cv}: a register has a page if, and only if, it is one of CV257 to CV512")
    pair: Page | None = None if page is None else (int(page["CV31"]), int(page["CV32"]))
    return Place(cv, pair)


def fields_of(sheet: Sheet, what: str, owner: str | None) -> list[Field]:
    """All fields for this purpose that belong to an output, or with None to the whole decoder."""
    return [
        Field(_place(register, _cvs(register)[owner]), given)
        for register in sheet.get("registers", [])
        if owner in _cvs(register)
        for given in register["holds"]
        if given["what"] == what
    ]


def field_of(sheet: Sheet, what: str, output: str) -> Field | None:
    """The one field for this purpose that governs the output."""
    found = fields_of(sheet, what, output) or fields_of(sheet, what, None)
    if len(found) > 1:
        raise InterpreterError(f"{len(found)} registers hold the {what} of {output!r}")
    return found[0] if found else None


# --- What they hold ---------------------------------------------------------------------------------------------------


def reading(memory: Memory, place: Field) -> int | Unknown:
    """The number in a field, if all values that the CV may have agree in it."""
    numbers = {_cut(place.given, value) for value in memory.byte(place.place).possible()}
    return numbers.pop() if len(numbers) == 1 else Unknown(f"the {place.given['what']} in {place.place}")


def _cut(given: Mapping[str, Any], value: int) -> int:
    digit = given.get("digit")
    if digit in DECIMAL_DIGITS:
        return value // DECIMAL_DIGITS[digit] % 10
    lowest, highest = _bits(given)
    return (value >> lowest) % (1 << (highest - lowest + 1))


def _bits(given: Mapping[str, Any]) -> tuple[int, int]:
    if given.get("digit") in HEX_DIGITS:
        return HEX_DIGITS[given["digit"]]
    found = re.fullmatch(r"([0-7])(?: to ([0-7]))?", str(given.get("bits")))
    if not found:
        raise InterpreterError(f"no digit and no bits: {dict(given)}")
    lowest, highest = int(found[1]), int(found[2] or found[1])
    if lowest > highest:
        raise InterpreterError(f"the bits run from low to high: {dict(given)}")
    return lowest, highest


def highest(given: Mapping[str, Any]) -> int:
    """The highest number that fits into the field."""
    return max(_cut(given, value) for value in range(256))


def surely(memory: Memory, place: Field) -> int:
    number = reading(memory, place)
    if isinstance(number, Unknown):
        raise InterpreterError(f"not known: {number.lacks}")
    return number


def meaning_of(codes: Sequence[Mapping[str, Any]], number: int, place: Field, meaning: str) -> Any:
    found = [entry[meaning] for entry in codes if int(entry["code"]) == number]
    if len(found) != 1:
        raise InterpreterError(
            f"the sheet lists {len(found)} meanings of the {place.given['what']} {number} in {place.place}"
        )
    return found[0]
