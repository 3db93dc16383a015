"""Effects and their rates: how each output burns in every state."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import product
from random import Random
from typing import Any

from published import FLASHES
from trials import Case, Maker, alone, searched

Look = Mapping[str, Any]
"""What is asked for of `effect`, `brightness` (per cent) and `rate` (per minute)."""

CONDITIONS: Mapping[str, Callable[[bool, bool], bool]] = {
    "": lambda *_: True,
    "forward": lambda forward, _: forward,
    "reverse": lambda forward, _: not forward,
    "moving": lambda _, moving: moving,
    "stopped": lambda _, moving: not moving,
}


@dataclass(frozen=True)
class Asked:
    """An entry: the key, the output, one condition or none, and what it asks for."""

    key: int
    output: str
    when: str
    look: Look


@dataclass(frozen=True)
class Lights:
    """Outputs with their usual looks, and entries."""

    outputs: Mapping[str, Look]
    entries: tuple[Asked, ...]


def shows(lights: Lights) -> Iterator[dict[str, dict[str, Any]] | None]:
    """In every state what each lit output is to show; None where two entries ask for different things."""
    keys = sorted({each.key for each in lights.entries})
    for state in product((False, True), repeat=len(keys) + 2):
        on = {key for key, is_on in zip(keys, state[2:], strict=True) if is_on}
        holding = [each for each in lights.entries if each.key in on and CONDITIONS[each.when](*state[:2])]
        found: dict[str, dict[str, Any]] = {}
        for name, usual in lights.outputs.items():
            named = [each.look for each in holding if each.output == name]
            wishes = {what: {look[what] for look in named if what in look} for what in ("effect", "brightness", "rate")}
            if any(len(values) > 1 for values in wishes.values()):
                yield None
                return
            if named:
                found[name] = {what: next(iter(values), usual.get(what)) for what, values in wishes.items()}
        yield found


def document_of(lights: Lights, sheet: dict[str, Any], registers: list[Any] | None = None) -> dict[str, Any]:
    """The plan, with the effects of its decoder and, where it has any, registers beside the function matrix."""
    pairs = [name for effect in sheet.values() for pair in effect.get("pairs", ()) for name in pair]
    names = dict.fromkeys([*lights.outputs, *pairs])
    numbers = {name: {"number": number, "limit": "100 mA"} for number, name in enumerate(names, 1)}
    decoder: dict[str, Any] = {"common": {"drop": "1.4 V"}, "outputs": numbers, "effects": sheet}
    if registers is not None:
        decoder |= {"keys": {"mapping": "function-matrix", "highest": 28}, "registers": registers}
    keys: dict[str, Any] = {}
    for each in lights.entries:
        entry = {"output": each.output, **said_look(each.look)} | ({"when": each.when} if each.when else {})
        keys.setdefault(f"F{each.key}", {"turns-on": []})["turns-on"].append(entry)
    led = {"led": {"forward-voltage": "3 V", "maximum-current": "20 mA"}}
    return {
        "vehicle": {"name": "Tipper 9"},
        "supply": {"track": "14.5 V"},
        "decoder": decoder,
        "lamps": {f"lamp {name}": led for name in lights.outputs},
        "outputs": {
            name: {"circuit": ["2.2 kohm 1 W", f"lamp {name}"], **said_look(look)}
            for name, look in lights.outputs.items()
        },
        "keys": keys,
    }


def said_look(look: Look) -> dict[str, str]:
    units = {"effect": "", "brightness": " %", "rate": " per minute"}
    return {what: f"{value}{units[what]}" for what, value in look.items()}


# --- Pairs ------------------------------------------------------------------------------------------------------------

FLASH, SLOWEST = "alternating flash", 30


def is_unpaired(lights: Lights, pairs: Iterable[tuple[str, str]]) -> bool | None:
    """Whether in some state an output flashes without its partner at the same rate; None where looks are at odds."""
    partner = {one: other for pair in pairs for one, other in (pair, pair[::-1])}
    for shown in shows(lights):
        if shown is None:
            return None
        rates = {name: look["rate"] or SLOWEST for name, look in shown.items() if look["effect"] == FLASH}
        if any(rates.get(partner.get(name, "")) != rate for name, rate in rates.items()):
            return True
    return False


def _paired(random: Random) -> Iterator[tuple[Case, bool]]:
    names = ["green", "violet", "brown", "aux4"]
    while True:
        pairs = random.choice([[("green", "violet")], [("green", "violet"), ("brown", "aux4")]])
        outputs = {name: _flashing(random) if random.random() < 0.5 else {} for name in names[: random.randint(2, 4)]}
        conditions = random.choice([("",), ("", "forward"), ("forward", "moving")])
        entries = tuple(
            Asked(random.choice([3, 3, 3, 5]), name, random.choice(conditions), _flashing(random) if is_own else {})
            for name in outputs
            for is_own in random.choice([[False], [True], [True, False]])
        )
        lights = Lights(outputs, entries)
        is_wrong = is_unpaired(lights, pairs)
        if is_wrong is None or not any(FLASH in str(each) for each in (outputs, entries)):
            continue
        sheet = {FLASH: {"codes": {"first": 8, "second": 9}, "pairs": pairs, "rate": f"{SLOWEST} to 120 per minute"}}
        yield alone(document_of(lights, sheet)), is_wrong


def _flashing(random: Random) -> Look:
    return {"effect": FLASH} | random.choice([{}, {}, {"rate": 60}, {"rate": SLOWEST}])


# --- Rates ------------------------------------------------------------------------------------------------------------


def _rated(most_off: Callable[[int, tuple[int, int]], bool]) -> Callable[[Random], Iterator[tuple[Case, bool]]]:
    def draw(random: Random) -> Iterator[tuple[Case, bool]]:
        while True:
            span = random.randint(5, 60), random.randint(100, 300)
            edge = random.choice([*span, *FLASHES])
            rate = max(edge + random.choice([-20, -1, 0, 0, 1, 20]), 1)
            lights = Lights({"white": {}}, (Asked(5, "white", "", {"effect": "strobe", "rate": rate}),))
            sheet = {"strobe": {"code": 3, "rate": f"{span[0]} to {span[1]} per minute"}}
            yield alone(document_of(lights, sheet)), most_off(rate, span)

    return draw


MAKERS: dict[str, tuple[str, Maker]] = {
    "unpaired-effect": ("looks, by all states", searched(_paired)),
    "rate-out-of-range": ("range, by the sheet", searched(_rated(lambda rate, span: not span[0] <= rate <= span[1]))),
    "flash-rate-off-practice": (
        "range, as published",
        searched(_rated(lambda rate, _: not FLASHES[0] <= rate <= FLASHES[1])),
    ),
}
