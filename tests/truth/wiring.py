"""Circuits that are wired at random: what their node potentials say of them, and how often each lamp stands in them."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator
from random import Random
from typing import Any

from nodal import COMMON, OUTPUT, RAIL, Part, Placed, Row, amperes, placed, potentials
from node_plans import DROP, LED, TRACK, case_of, document_of
from trials import Case, Maker, alone, searched, written


def _on(circuit: Row, rail: float = 0.0) -> tuple[list[Placed], dict[int, float]]:
    """While the output is on; the rail is the negative one, or has the whole track voltage."""
    parts = placed(circuit)
    volts = {COMMON: TRACK - DROP / 2, RAIL: rail, OUTPUT: DROP / 2}
    return parts, potentials(parts, volts)


def has_led_backwards(circuit: Row) -> bool:
    """Whether an LED bars the current that its output would draw."""
    parts, at = _on(circuit, TRACK if circuit.rail else 0.0)
    return any(at[each.start] - at[each.end] < -1.0 for each in parts if each.part.forward == LED)


def has_bulb_for_half_the_time(circuit: Row) -> bool:
    """Whether a bulb gets much while one rail is the positive one, and nothing while the other one is."""
    halves = [_on(circuit, rail) for rail in (0.0, TRACK)]
    bulbs = [[amperes(each, at) for each in parts if each.part.name.startswith("bulb")] for parts, at in halves]
    return any(max(pair) > 1e-3 and min(pair) < max(pair) / 10 for pair in zip(*bulbs, strict=True))


def has_unlimited_led(circuit: Row) -> bool:
    """Whether more flows through an LED than any resistor here lets through: what its own few ohms leave."""
    parts, at = _on(circuit, TRACK if circuit.rail else 0.0)
    return any(amperes(each, at) > 0.1 for each in parts if each.part.forward == LED)


# --- Circuits ---------------------------------------------------------------------------------------------------------


def _chain(random: Random, name: str, *, turned: float = 0.0, bare: float = 0.0, rail: float = 0.0) -> Row:
    """Up to two LEDs, or a bulb; the shares say how often one is turned, unprotected, or returned to a rail."""
    is_bulb = random.random() < 0.3
    lamps = (
        [Part(f"bulb {name}", ohms=470.0)]
        if is_bulb
        else [
            Part(f"led {name}{number}", forward=LED, turned=random.random() < turned)
            for number in range(random.randint(1, 2))
        ]
    )
    if not is_bulb and random.random() >= bare:
        lamps.insert(random.randint(0, len(lamps)), Part("", ohms=1500.0))
    if random.random() < 0.2:
        lamps.insert(0, Part("", forward=0.7, is_diode=True))
    return Row(tuple(lamps), rail=random.random() < rail)


def _drawn(is_wrong: Callable[[Row], bool], **shares: float) -> Callable[[Random], Iterator[tuple[Case, bool]]]:
    """One chain, or two side by side, with or without ohms that both share."""

    def draw(random: Random) -> Iterator[tuple[Case, bool]]:
        while True:
            if random.random() < 0.5:
                circuit = _chain(random, "a", **shares)
            else:
                sides = tuple(_chain(random, name, **shares) for name in "ab")
                ahead = (Part("", ohms=680.0),) if random.random() < 0.3 else ()
                circuit = Row((*ahead, sides))
            yield case_of(circuit), is_wrong(circuit)

    return draw


# --- Names ------------------------------------------------------------------------------------------------------------


def _named(rule: str) -> Callable[[Random], Iterator[tuple[Case, bool]]]:
    """Three lamps that are put here and there, and keys that turn on this and that: names are counted in the text."""

    def draw(random: Random) -> Iterator[tuple[Case, bool]]:
        lamps = ["led one", "led other", "bulb"]
        while True:
            many = random.choice([2, 3, 3, 3, 4])
            put = random.sample([*lamps, random.choice(lamps)], many) if many > 3 else random.sample(lamps, many)
            outputs: dict[str, Any] = {}
            for lamp in put:
                rows = outputs.setdefault(random.choice(["white", "yellow", "green"]), [])
                rows.append([lamp] if lamp == "bulb" else ["1.5 kohm 1 W", lamp])
            circuits = {name: {"circuit": [{"parallel": rows}]} for name, rows in outputs.items()}
            keys = {
                f"F{key}": {"turns-on": [{"output": random.choice(["white", "yellow", "green"])}]} for key in (1, 2)
            }
            text = written(circuits)
            found = Counter(re.findall("led one|led other|bulb", text))
            on = set(re.findall("white|yellow|green", written(keys)))
            wrong = {
                "unwired-lamp": any(found[lamp] == 0 for lamp in lamps),
                "twice-wired-lamp": any(found[lamp] > 1 for lamp in lamps),
                "empty-output": any(f'"{name}": {{' not in text for name in on),
            }
            yield alone({**document_of(circuits, lamps), "keys": keys}), wrong[rule]

    return draw


MAKERS: dict[str, tuple[str, Maker]] = {
    "reversed-led": ("volts, by SciPy", searched(_drawn(has_led_backwards, turned=0.3))),
    "half-wave-bulb": ("currents, by SciPy", searched(_drawn(has_bulb_for_half_the_time, rail=0.4))),
    "unprotected-led": ("currents, by SciPy", searched(_drawn(has_unlimited_led, bare=0.4))),
    **{
        rule: ("names, by counting", searched(_named(rule)))
        for rule in ("unwired-lamp", "twice-wired-lamp", "empty-output")
    },
}
