"""Shares out what there is among those who want it, as much as can be in all: by augmenting paths.

Knows no parts and no plans. Loads nothing, since every run over a club asks it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Hashable
    from typing import TypeVar

    Key = TypeVar("Key", bound=Hashable)
    """Which pile it is."""

    Wish = tuple[int, Sequence[Key]]
    """How many are wanted, and the piles that they may come from, the best first."""


def allot(wishes: Sequence[Wish[Key]], counts: Mapping[Key, int]) -> list[dict[Key, int]]:
    """How many of each pile each wish gets, where `counts` are there; as many as can be in all.

    A wish gets no less for those behind it, and keeps what it names first as long as nobody else needs just that.
    """
    left = dict(counts)
    given: list[dict[Key, int]] = [{} for _ in wishes]
    takers: dict[Key, set[int]] = {pile: set() for pile in left}
    stuck: set[int] = set()
    for number, (quantity, _) in enumerate(wishes):
        still = quantity
        while still > 0 and (way := _way(number, wishes, left, takers, stuck)):
            last = way[-1][1]
            still -= (amount := min([still, left[last], *(given[who][pile] for (who, _), (_, pile) in _passed(way))]))
            left[last] -= amount
            for (who, _), (_, pile) in _passed(way):
                given[who][pile] -= amount
                if not given[who][pile]:
                    del given[who][pile]
                    takers[pile].discard(who)
            for who, pile in way:
                given[who][pile] = given[who].get(pile, 0) + amount
                takers[pile].add(who)
    return given


def _passed(way: list[tuple[int, Key]]) -> Sequence[tuple[tuple[int, Key], tuple[int, Key]]]:
    """Each step after the first with the one before it: the later wish gives up what the earlier one takes."""
    return [(later, before) for before, later in pairwise(way)]


def _way(
    start: int,
    wishes: Sequence[Wish[Key]],
    left: Mapping[Key, int],
    takers: Mapping[Key, set[int]],
    stuck: set[int],
) -> list[tuple[int, Key]]:
    """The shortest way by which wish `start` gets more: wishes, each with the pile that it takes more of.

    Where there is none, all that were asked are `stuck`, and need not be asked again: nothing that others do leads them
    to more.
    """
    came: dict[int, tuple[int, Key] | None] = {start: None}
    waiting = [start]
    for number in waiting:
        for pile in wishes[number][1]:
            if left[pile]:
                way = [(number, pile)]
                while (before := came[way[0][0]]) is not None:
                    way.insert(0, before)
                return way
            # In their order, so that the order of taking has no say in what comes of it.
            for other in sorted(takers[pile]):
                if other not in came and other not in stuck:
                    came[other] = number, pile
                    waiting.append(other)
    stuck.update(came)
    return []
