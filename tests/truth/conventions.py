"""Labels of keys beside a club's convention, where capitals and spaces do not count."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random
from typing import Any

from plans import right_plan
from trials import Case, Maker, alone, searched, written

LABELS = ("Headlamps", "Cab", "Ditch lamps", "Firebox", "Number boards", "Step lamps", "Rear lamp", "Cab lamp")


def _labelled(random: Random) -> Iterator[tuple[Case, bool]]:
    document = right_plan(random.randrange(10**9)).document()
    numbers = [*document["keys"], *(f"F{number}" for number in random.sample(range(28), 3))]
    meant = dict(zip(numbers, random.choices(LABELS, k=len(numbers)), strict=True))
    while True:
        keys: dict[str, Any] = {}
        is_wrong = False
        for number, key in document["keys"].items():
            label = meant[number] if random.random() < 0.7 else random.choice(LABELS)
            is_wrong = is_wrong or label != meant[number]
            keys[number] = {**key, "label": _otherwise_spelt(label, random)}
        # What the convention does not name is free.
        free = next(number for number in ("F28", "F26", "F24", "F22", "F20", "F18") if number not in {*meant, *keys})
        keys[free] = {"label": random.choice(LABELS), "momentary": True}
        yield alone({**document, "keys": keys}, written({"lampwright": 1, "keys": meant})), is_wrong


def _otherwise_spelt(label: str, random: Random) -> str:
    spaced = label.replace(" ", random.choice([" ", "  ", ""]))
    return random.choice([spaced, spaced.lower(), spaced.upper(), spaced.swapcase()])


MAKERS: dict[str, tuple[str, Maker]] = {"key-off-convention": ("labels, by how they were drawn", searched(_labelled))}
