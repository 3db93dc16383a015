"""Nests of numbered elements in series and in parallel: how they lie to each other, and what each carries in one.

Knows numbers only: no lamps, no laws.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import NamedTuple

from lampwright.lazily import cached_property
from lampwright.records import dataclass


@dataclass(frozen=True, slots=True)
class Joint:
    """Parts in series, else in parallel; no parts in parallel are a gap. A part is an element or another joint."""

    is_series: bool
    parts: tuple[Part, ...]


Part = int | Joint


def elements_of(part: Part) -> Iterator[int]:
    """The numbers of the elements below `part`, in order."""
    if isinstance(part, int):
        yield part
    else:
        for each in part.parts:
            yield from elements_of(each)


def closed(part: Part) -> Part | None:
    """`part` without joints of one part, series in series, parallels in parallel, and branches with a gap.

    None if no current can flow through it at all. What is left out carries nothing.
    """
    if isinstance(part, int):
        return part
    parts: list[Part] = []
    for each in map(closed, part.parts):
        if isinstance(each, Joint) and each.is_series == part.is_series:
            parts.extend(each.parts)
        elif each is not None:
            parts.append(each)
        elif part.is_series:
            return None
    if len(parts) == 1:
        return parts[0]
    return Joint(part.is_series, tuple(parts)) if parts or part.is_series else None


def apart(part: Part) -> tuple[Part, ...]:
    """What lies straight across the supply, side by side, and so does not feel each other."""
    return (part,) if isinstance(part, int) or part.is_series else part.parts


class Solution(NamedTuple):
    """Volts and amperes of each element by its number, and the ohms by which its voltage rises there."""

    voltages: list[float]
    currents: list[float]
    slopes: list[float]


class Position(NamedTuple):
    """What is in series with an element by itself, itself included, and what is in branches beside it."""

    in_series: tuple[int, ...]
    beside: frozenset[int]


@dataclass(frozen=True)
class Network:
    """Elements number 0 to `size` - 1 in a nest; its joints from the inside out, each with a number above these."""

    size: int
    nest: Joint
    joints: tuple[tuple[int, bool, tuple[int, ...]], ...]

    @property
    def is_chain(self) -> bool:
        """Whether all elements are in one series."""
        return len(self.joints) == 1 and self.nest.is_series

    @cached_property
    def positions(self) -> Mapping[int, Position]:
        """Of each element."""
        return dict(_positions(self.nest, (), frozenset()))


@lru_cache(maxsize=4096)
def network_of(part: Part) -> tuple[Network, tuple[int, ...]]:
    """The network of `part`, a closed one, and by its own numbers the numbers that its elements had."""
    before = tuple(elements_of(part))
    own = {number: place for place, number in enumerate(before)}
    joints: list[tuple[int, bool, tuple[int, ...]]] = []

    def renumbered(part: Part) -> Part:
        return own[part] if isinstance(part, int) else Joint(part.is_series, tuple(map(renumbered, part.parts)))

    def number(part: Part) -> int:
        if isinstance(part, int):
            return part
        parts = tuple(map(number, part.parts))
        joints.append((len(before) + len(joints), part.is_series, parts))
        return joints[-1][0]

    nest = renumbered(part if isinstance(part, Joint) else Joint(is_series=True, parts=(part,)))
    assert isinstance(nest, Joint)
    number(nest)
    return Network(len(before), nest, tuple(joints)), before


def _positions(joint: Joint, in_series: tuple[int, ...], beside: frozenset[int]) -> Iterator[tuple[int, Position]]:
    if joint.is_series:
        in_series += tuple(part for part in joint.parts if isinstance(part, int))
        here = Position(in_series, beside)
    for part in joint.parts:
        near = beside
        if not joint.is_series:
            near = beside.union(*(elements_of(other) for other in joint.parts if other is not part))
        if isinstance(part, Joint):
            yield from _positions(part, in_series, near)
        else:
            yield part, here if joint.is_series else Position((*in_series, part), near)
