"""Which outputs burn when, by looking at every state that there is."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import product

from flows import hottest
from specimens import Entry, Plan

State = tuple[frozenset[int], bool, bool]
"""The keys that are on, whether forward, whether moving."""


def states(plan: Plan) -> Iterable[State]:
    """All of them, one by one: each key that turns on something or is asked for."""
    asked = {int(word.split("F")[-1]) for entry in _entries(plan) for word in entry.when if "F" in word}
    numbers = sorted({*plan.keys, *asked})
    for on in product((False, True), repeat=len(numbers)):
        keys = frozenset(number for number, is_on in zip(numbers, on, strict=True) if is_on)
        for forward, moving in product((True, False), repeat=2):
            yield keys, forward, moving


def _entries(plan: Plan) -> list[Entry]:
    return [*plan.always, *(entry for entries in plan.keys.values() for entry in entries)]


def holds(entry: Entry, key: int | None, state: State) -> bool:
    """Whether `entry` under `key` (None: of `always`) turns on its output."""
    on, forward, moving = state
    meaning = {"forward": forward, "reverse": not forward, "moving": moving, "stopped": not moving}

    def is_met(word: str) -> bool:
        if word.startswith("not F"):
            return int(word[5:]) not in on
        return int(word[1:]) in on if word.startswith("F") else meaning[word]

    return (key is None or key in on) and all(map(is_met, entry.when))


def keyed(plan: Plan) -> list[tuple[int | None, Entry]]:
    """Each entry with its key."""
    return [(None, each) for each in plan.always] + [(key, each) for key, some in plan.keys.items() for each in some]


def lit(plan: Plan, state: State) -> frozenset[str]:
    """The outputs that are on."""
    return frozenset(entry.output for key, entry in keyed(plan) if holds(entry, key, state))


def worst(plan: Plan) -> float:
    """Amperes that the decoder carries at most, with the motor."""
    each = {name: hottest(plan, output) for name, output in plan.outputs.items()}
    return plan.motor + max(sum(each[name] for name in lit(plan, state)) for state in states(plan))
