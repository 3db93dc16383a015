"""Effects, brightness and rates in the registers of an output: what all of their bytes can say."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from random import Random
from typing import Any

from effects import Asked, Lights, Look, document_of, shows
from trials import Case, Maker, alone, searched


@dataclass(frozen=True)
class Field:
    """A part of a byte: a decimal digit's place, or the first and the last bit."""

    place: str | tuple[int, int]

    def read(self, byte: int) -> int:
        """The number in it."""
        if isinstance(self.place, str):
            return int(f"{byte:03}"[("hundreds", "tens", "ones").index(self.place)])
        low, high = self.place
        return (byte >> low) % 2 ** (high - low + 1)

    def holds(self) -> frozenset[int]:
        """All numbers that it can hold."""
        return frozenset(map(self.read, range(256)))

    def said(self) -> dict[str, str]:
        """As a sheet says it."""
        if isinstance(self.place, str):
            return {"digit": self.place}
        low, high = self.place
        return {"bits": f"{low}" if low == high else f"{low} to {high}"}


CODES = {"steady": 0, "flicker": 3, "strobe": 6, "glow": 11}


def _sayable(look: Mapping[str, Any], fields: Mapping[str, tuple[Field, dict[str, int]]]) -> bool:
    """Whether some byte of each register says what is asked for, or nothing but what is so without one."""
    if "effect" not in fields:
        effect = look["effect"] in (None, "steady")
    else:
        effect = CODES[look["effect"] or "steady"] in fields["effect"][0].holds()
    wanted = 100 if look["brightness"] is None else look["brightness"]
    if "brightness" not in fields:
        brightness = wanted == 100
    else:
        field, more = fields["brightness"]
        brightness = any(
            abs(number - wanted / 100 * more["full"]) <= 0.5 for number in field.holds() if 0 < number <= more["full"]
        )
    if look["rate"] is None or look["effect"] in (None, "steady"):
        rate = True
    elif "rate" not in fields:
        rate = False
    else:
        field, more = fields["rate"]
        rate = any(more["offset"] + number * more["step"] == look["rate"] for number in field.holds())
    return effect and brightness and rate


def _registered(random: Random) -> Iterator[tuple[Case, bool]]:
    """One output with some registers, and another one whose effect register holds all codes."""
    while True:
        fields = {what: each for what, each in _fields(random).items() if random.random() < 0.7}
        lights = Lights(
            {"white": _some_look(random), "yellow": {}},
            tuple(
                Asked(0, "white", when, _some_look(random) if random.random() < 0.4 else {})
                for when in random.choice([("",), ("forward",), ("forward", "reverse")])
            ),
        )
        shown = [each and each.get("white") for each in shows(lights)]
        looks = {tuple(look.items()) for look in shown if look}
        wanted = {
            (look["effect"] or "steady", 100 if look["brightness"] is None else look["brightness"], _rate(look))
            for look in map(dict, looks)
        }
        registers = [
            {"cv": {"white": 120 + number}, "holds": [{"what": what, **field.said(), **_more(what, more)}]}
            for number, (what, (field, more)) in enumerate(fields.items())
        ]
        registers.append({"cv": {"yellow": 140}, "holds": [{"what": "effect", "bits": "0 to 3"}]})
        sheet = {name: {"code": code} for name, code in CODES.items()}
        is_wrong = len(wanted) > 1 or not all(_sayable(dict(look), fields) for look in looks)
        yield alone(document_of(lights, sheet, registers)), is_wrong


def _rate(look: Mapping[str, Any]) -> int | None:
    return look["rate"] if look["effect"] not in (None, "steady") else None


def _fields(random: Random) -> dict[str, tuple[Field, dict[str, int]]]:
    low, wide = random.randint(0, 2), random.randint(4, 5)
    return {
        "effect": (Field(random.choice(["ones", "hundreds", (0, 1), (2, 4), (4, 7)])), {}),
        "brightness": (Field((low, low + wide)), {"full": 2 ** (wide + 1) - 1 - random.randint(0, 5)}),
        "rate": (
            Field((0, random.randint(3, 6))),
            {"step": random.choice([1, 2, 5]), "offset": random.choice([0, 20])},
        ),
    }


def _more(what: str, more: Mapping[str, int]) -> dict[str, Any]:
    if what == "brightness":
        return {"full": more["full"]}
    return (
        {"per-step": f"{more['step']} per minute", "offset": f"{more['offset']} per minute"} if what == "rate" else {}
    )


def _some_look(random: Random) -> Look:
    look: dict[str, Any] = {}
    if random.random() < 0.6:
        look["effect"] = random.choice(list(CODES))
    if random.random() < 0.4:
        look["brightness"] = random.choice([1, 2, 3, 40, 80, 100])
    if random.random() < 0.4:
        look["rate"] = random.choice([30, 45, 60, 77])
    return look


MAKERS: dict[str, tuple[str, Maker]] = {"inexpressible-look": ("registers, by all their bytes", searched(_registered))}
