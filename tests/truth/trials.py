"""Pairs of cases: one of which a rule must speak, and one, nearly the same, of which it must not; and how to find them."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from random import Random
from typing import Any


@dataclass(frozen=True)
class Case:
    """Texts of plans that are checked together, of the files that they name, and of the settings that govern them."""

    plans: tuple[str, ...]
    files: Mapping[str, str] = field(default_factory=dict)
    settings: str | None = None


@dataclass(frozen=True)
class Pair:
    """What is wrong, and what is nearly so."""

    wrong: Case
    near: Case


Maker = Callable[[Random], Pair | None]
"""Makes a pair out of chance; None where it leads to none."""


def made(maker: Maker, rule: str, many: int, seed: int = 0) -> Iterator[Pair]:
    """So many pairs for `rule`, always the same."""
    number, found = seed * 1_000_000, 0
    while found < many:
        number += 1
        pair = maker(Random(f"{rule} {number}"))
        if pair is not None:
            found += 1
            yield pair


def written(document: Mapping[str, Any]) -> str:
    """JSON, which is YAML in flow style, and so shares nothing with a writer of ours."""
    return json.dumps(document, indent=1) + "\n"


def alone(document: Mapping[str, Any], settings: str | None = None) -> Case:
    """A plan by itself."""
    return Case((written(document),), settings=settings)


def searched(draw: Callable[[Random], Iterable[tuple[Case, bool]]]) -> Maker:
    """Takes variants, each with whether it is wrong, until there is one of either kind."""

    def maker(random: Random) -> Pair | None:
        found: dict[bool, Case] = {}
        for number, (case, is_wrong) in enumerate(draw(random)):
            found[is_wrong] = case
            if len(found) == 2:
                return Pair(found[True], found[False])
            if number > 200:
                break
        return None

    return maker


def bisected(
    is_wrong: Callable[[float], bool], random: Random, *, away: tuple[float, float] = (1e-4, 0.02)
) -> tuple[float, float] | None:
    """How far to turn a knob from 1.0 upwards: just beyond where the verdict changes, and just before.

    `away` is how far from there, as shares. None where nothing changes, or where beyond it changes back.
    """
    if is_wrong(1.0):
        return None
    low, high = 1.0, 1.0
    while not is_wrong(high):
        low, high = high, high * 1.3
        if high > 200:
            return None
    for _ in range(30):
        middle = (low + high) / 2
        low, high = (low, middle) if is_wrong(middle) else (middle, high)
    wrong, near = high * (1 + random.uniform(*away)), low * (1 - random.uniform(*away))
    return (wrong, near) if is_wrong(wrong) and not is_wrong(near) else None
