"""Current regulators and what is left for them behind LEDs in the cold corner: by hand."""

from __future__ import annotations

from random import Random
from typing import Any

from flows import led_volts
from trials import Case, Maker, Pair, alone, bisected


def _starved(random: Random) -> Pair | None:
    """The volts that a regulator needs, or the spread of its LEDs, are turned up until too little is left."""
    amperes, many = random.choice([0.005, 0.01, 0.015]), random.randint(1, 3)
    forward, spread = random.choice([2.0, 3.0]), random.choice([0.1, 0.2])
    track, needs, drop = random.randint(120, 180) / 10, random.choice([1.0, 1.5, 2.0]), 1.4
    turned = random.choice(["needs", "forward"])

    def at(turn: float) -> tuple[float, float]:
        return (needs * turn, forward) if turned == "needs" else (needs, forward * turn)

    def is_wrong(turn: float) -> bool:
        # All that it needs it gets as long as so much is left while all of its current flows.
        wanted, volts = at(turn)
        return track - drop - many * led_volts(volts + spread, amperes) < wanted

    def case(turn: float) -> Case:
        wanted, volts = at(turn)
        lamps = [f"led {number}" for number in range(many)]
        regulator = {"current-regulator": f"{amperes * 1e3:.9g} mA", "needs": f"{wanted:.9g} V"}
        led: dict[str, Any] = {
            "forward-voltage": f"{volts - spread:.9g} V to {volts + spread:.9g} V",
            "maximum-current": "30 mA",
        }
        return alone(
            {
                "vehicle": {"name": "Tipper 9"},
                "supply": {"track": f"{track} V"},
                "decoder": {"common": {"drop": f"{drop} V"}, "outputs": {"white": {"number": 1, "limit": "99 mA"}}},
                "lamps": {lamp: {"led": led} for lamp in lamps},
                "outputs": {"white": {"circuit": [regulator, *lamps]}},
                "keys": {},
            }
        )

    turns = bisected(is_wrong, random)
    return Pair(*map(case, turns)) if turns is not None else None


MAKERS: dict[str, tuple[str, Maker]] = {"starved-regulator": ("figure, by hand", _starved)}
