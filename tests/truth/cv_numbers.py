"""Numbers that packets and CVs must hold: addresses, CV numbers, values, codes, and the bits that fields share."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random
from typing import Any

from bytes_of_looks import Field
from plans import right_plan
from published import CV_BITS, MATRIX, READ_ONLY, VALUE_BITS, address_bytes
from trials import Case, Maker, alone, searched

# --- Addresses --------------------------------------------------------------------------------------------------------


def _addressed(random: Random) -> Iterator[tuple[Case, bool]]:
    document = right_plan(random.randrange(10**9)).document()
    while True:
        edge = random.choice([0, 1, 127, 128, 256, 10239, 10240, 16383, 20000])
        number, is_forced = max(edge + random.choice([-1, 0, 0, 1]), 0), random.random() < 0.3
        vehicle = {**document["vehicle"], "address": {"long": number} if is_forced else number}
        # One that no short address can be is a long one.
        found = address_bytes(number, is_long=True) or (None if is_forced else address_bytes(number, is_long=False))
        yield alone({**document, "vehicle": vehicle}), found is None


# --- What a sheet says ------------------------------------------------------------------------------------------------


def _sheet(registers: list[Any], effects: dict[str, Any], *, is_matrix: bool = False) -> dict[str, Any]:
    outputs = {name: {"number": number, "limit": "100 mA"} for number, name in enumerate(("white", "yellow"), 1)}
    decoder: dict[str, Any] = {
        "common": {"drop": "1.4 V"},
        "outputs": outputs,
        "effects": effects,
        "registers": registers,
    }
    if is_matrix:
        decoder["keys"] = {"mapping": "function-matrix", "highest": 28}
    led = {"led": {"forward-voltage": "3 V", "maximum-current": "20 mA"}}
    return {
        "vehicle": {"name": "Tipper 9"},
        "supply": {"track": "14.5 V"},
        "decoder": decoder,
        "lamps": {f"lamp {name}": led for name in outputs},
        "outputs": {name: {"circuit": ["2.2 kohm 1 W", f"lamp {name}"]} for name in outputs},
        "keys": {"F0": {"turns-on": [{"output": ["white", "yellow"]}]}},
    }


def _place(random: Random) -> Field:
    low = random.randint(0, 6)
    return Field(random.choice(["ones", "tens", "hundreds", (low, random.randint(low, 7))]))


def _numbered(random: Random) -> Iterator[tuple[Case, bool]]:
    """A CV, a value on delivery, a code and a full brightness, each near the most that there is room for."""
    while True:
        field, wide = _place(random), random.randint(2, 6)
        cv = 2**CV_BITS + random.choice([0, 0, 0, -1, 1, 400])
        default = 2**VALUE_BITS - 1 + random.choice([0, 0, 0, -1, 1, 100])
        code = max(field.holds()) + random.choice([0, 0, 0, -1, 1, 3])
        full = max(Field((0, wide)).holds()) + random.choice([0, 0, 0, -1, 1])
        registers: list[Any] = [
            {"cv": {"white": cv}, "holds": [{"what": "effect", **field.said()}], "default": default},
            {"cv": {"white": 140}, "holds": [{"what": "brightness", "full": full, **Field((0, wide)).said()}]},
        ]
        is_wrong = (
            cv - 1 >= 2**CV_BITS
            or default >= 2**VALUE_BITS
            or code > max(field.holds())
            or full > max(Field((0, wide)).holds())
        )
        yield alone(_sheet(registers, {"steady": {"code": 0}, "strobe": {"code": max(code, 1)}})), is_wrong


def _read_only(random: Random) -> Iterator[tuple[Case, bool]]:
    while True:
        cvs = {name: random.randint(2, 14) for name in ("white", "yellow")}
        registers = [{"cv": cvs, "holds": [{"what": "effect", "digit": "ones"}]}]
        yield alone(_sheet(registers, {"steady": {"code": 0}})), bool(READ_ONLY & set(cvs.values()))


# --- Bits that two want -----------------------------------------------------------------------------------------------


def are_apart(one: Field, other: Field) -> bool:
    """Whether each may hold what it likes, whatever the other one holds: by all bytes."""
    both = {(one.read(byte), other.read(byte)) for byte in range(256)}
    return len(both) == len(one.holds()) * len(other.holds())


def _claimed(random: Random) -> Iterator[tuple[Case, bool]]:
    """Two fields of one CV, a register where the standard has the matrix, or two outputs that share a register."""
    while True:
        bits = [Field((low, random.randint(low, 7))) for low in (random.randint(0, 5), random.randint(0, 7))]
        cvs = [random.choice([60, 61]) for _ in bits]
        at, is_matrix = random.choice([60, 60, *MATRIX]), random.random() < 0.5
        shared, codes = random.choice([120, 121]), [random.choice([1, 2]) for _ in range(2)]
        registers: list[Any] = [
            {"cv": {"white": cv}, "holds": [{"what": what, **field.said()}]}
            for cv, what, field in zip(cvs, ("brightness", "rate"), bits, strict=True)
        ]
        registers[1]["holds"][0]["per-step"] = "1 per minute"
        registers.append({"cv": {"white": 120, "yellow": shared}, "holds": [{"what": "effect", "bits": "0 to 3"}]})
        registers.append(
            {"cv": {"yellow": at + 2 if at == 60 else at}, "holds": [{"what": "brightness", "bits": "0 to 7"}]}
        )
        document = _sheet(registers, {"glow": {"code": 1}, "flicker": {"code": 2}}, is_matrix=is_matrix)
        for (name, output), code in zip(document["outputs"].items(), codes, strict=True):
            assert name in ("white", "yellow")
            output["effect"] = ("glow", "flicker")[code - 1]
        is_overlapping = cvs[0] == cvs[1] and not are_apart(*bits)
        is_at_odds = shared == 120 and codes[0] != codes[1]
        yield alone(document), is_overlapping or is_at_odds or (is_matrix and at in MATRIX)


MAKERS: dict[str, tuple[str, Maker]] = {
    "address-out-of-range": ("packets, by their bytes", searched(_addressed)),
    "cv-out-of-range": ("packets and registers, by their bits", searched(_numbered)),
    "read-only-cv": ("CV, by the standard's table", searched(_read_only)),
    "cv-claimed-twice": ("registers, by all their bytes", searched(_claimed)),
}
