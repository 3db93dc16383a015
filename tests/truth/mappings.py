"""The function matrix of S-9.2.2 by its table: which key can light which output, and which conditions its bits can say."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import chain, combinations
from random import Random
from typing import Any

from every_state import State, holds, states
from published import MATRIX
from specimens import Branch, Entry, Led, Output, Plan
from trials import Case, Maker, alone, searched

WIDTH = 8


def reaches(key: int, output: int) -> bool:
    """Whether a CV of that key has a bit for that output."""
    return any(key == own and first <= output < first + WIDTH for own, _, first in MATRIX.values())


def _lights(cv: int, state: State) -> bool:
    """Whether a bit of that CV lights its output in that state."""
    key, direction, _ = MATRIX[cv]
    return key in state[0] and direction in (None, state[1])


def is_sayable(plan: Plan, name: str, number: int) -> bool:
    """Whether some choice of bits lights the output exactly when the plan does: all choices in all states."""
    every = list(states(plan))
    entries = [(key, each) for key, some in plan.keys.items() for each in some if each.output == name]
    wanted = [any(holds(each, key, state) for key, each in entries) for state in every]
    cvs = [cv for cv, (key, _, first) in MATRIX.items() if key in plan.keys and first <= number < first + WIDTH]
    return any([any(_lights(cv, state) for cv in chosen) for state in every] == wanted for chosen in _choices(cvs))


def _choices(cvs: list[int]) -> Iterable[tuple[int, ...]]:
    return chain.from_iterable(combinations(cvs, many) for many in range(len(cvs) + 1))


# --- What is tried ----------------------------------------------------------------------------------------------------


def _mapped(plan: Plan, numbers: dict[str, int], highest: int = 28) -> dict[str, Any]:
    document = plan.document()
    document["decoder"]["keys"] = {"highest": highest, "mapping": "function-matrix"}
    document["decoder"]["registers"] = []
    for name, number in numbers.items():
        document["decoder"]["outputs"][name]["number"] = number
    return document


def _plan(keys: dict[int, tuple[Entry, ...]], names: Iterable[str]) -> Plan:
    outputs = {name: Output((Branch((f"lamp {name}",), (Led((3.0, 3.0)),), 2200.0),)) for name in names}
    return Plan((14.5, 14.5), 1.4, outputs, keys)


def _reaching(random: Random) -> Iterator[tuple[Case, bool]]:
    while True:
        number, other = random.sample(range(1, 15), 2)
        numbers = {"brown": number, "green": other}
        keys = {key: (Entry(random.choice(sorted(numbers))),) for key in random.sample(range(13), 2)}
        is_wrong = not all(reaches(key, numbers[entry.output]) for key, (entry,) in keys.items())
        yield alone(_mapped(_plan(keys, numbers), numbers)), is_wrong


def _said(random: Random) -> Iterator[tuple[Case, bool]]:
    """Keys that all reach the one output, under conditions that are plain often enough."""
    while True:
        number = random.randint(1, 8)
        possible = [key for key in range(13) if reaches(key, number)]
        numbers = random.sample(possible, min(random.randint(1, 2), len(possible)))
        keys = {key: tuple(Entry("brown", when) for when in _whens(random, key, numbers)) for key in numbers}
        plan = _plan(keys, ["brown"])
        yield alone(_mapped(plan, {"brown": number})), not is_sayable(plan, "brown", number)


def _whens(random: Random, key: int, keys: list[int]) -> list[tuple[str, ...]]:
    words = ["forward", "reverse", "moving", *(f"F{each}" for each in keys if each != key)]
    return random.choice(
        [[()], [()], [("forward",)], [("reverse",)], [("forward",), ("reverse",)], [(random.choice(words),)]]
    )


def _highest(random: Random) -> Iterator[tuple[Case, bool]]:
    """Keys by themselves, in conditions that they be on, and in conditions that they be off."""
    while True:
        highest = random.randint(2, 28)
        key, asked, denied = (max(highest + random.choice([-2, -1, 0, 0, 1]), 0) for _ in range(3))
        words = random.choice([(), (f"F{asked}",), (f"not F{denied}",)])
        plan = _plan({key: (Entry("brown", words),)}, ["brown"])
        document = plan.document()
        document["decoder"]["keys"] = {"highest": highest}
        # That a key which cannot be on is off is true.
        yield alone(document), max(key, asked if f"F{asked}" in words else 0) > highest


MAKERS: dict[str, tuple[str, Maker]] = {
    "unreachable-output": ("matrix, by the standard's table", searched(_reaching)),
    "inexpressible-condition": ("matrix, by all bits and states", searched(_said)),
    "key-out-of-reach": ("number, by the sheet", searched(_highest)),
}
