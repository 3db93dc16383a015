"""Terms, the words in which a mapping speaks of an output: a key, a direction, keys that forbid it.

Finds the fewest terms that say what a plan says of an output, exactly or not at all.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import combinations

from lampwright.analysis.programming.space import FALSE, Formula, Space
from lampwright.records import dataclass


@dataclass(frozen=True, slots=True)
class Term:
    """An output is lit while `key` is on and none of `unless` is. `forward` is by the decoder's own directions.

    None for `forward` means both ways.
    """

    key: int
    forward: bool | None = None
    unless: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Task:
    """What the plan wants of an output, and the condition that its register puts on all that the mapping says.

    `keys` are those under which the plan has it: where there is a choice, they are to turn it on.
    """

    number: int
    lit: Formula
    within: Formula
    keys: frozenset[int]

    def where(self, space: Space, formula: Formula) -> Task:
        """The same task in the states of `formula` only."""
        lit, within = space.both(self.lit, formula), space.both(self.within, formula)
        return Task(self.number, lit, within, self.keys)


def formula_of(term: Term, space: Space) -> Formula:
    """When `term` lights its output."""
    parts = [space.key(term.key), *(space.opposite(space.key(key)) for key in term.unless)]
    if term.forward is not None:
        parts.append(space.direction(forward=term.forward))
    return space.both(*parts)


Fits = Callable[[Sequence[Term]], bool]
"""Whether there is room for these terms."""


def always_fits(_: Sequence[Term]) -> bool:
    """A bit for each term: there is always room."""
    return True


def cover(
    task: Task, candidates: Iterable[Term], space: Space, fits: Fits = always_fits, most: int = 0
) -> tuple[Term, ...] | None:
    """Of `candidates` some that light the output just as the plan says, none of them superfluous, for which is room.

    There is room for `most` at most. None if there are none such.
    """
    ordered = sorted(candidates, key=lambda term: (term.key not in task.keys, term.forward is not None, _order(term)))
    allowed = {term: formula for term in ordered if (formula := _allowed(term, task, space)) is not None}
    if space.any_of(allowed.values()) != task.lit:
        return None
    kept = list(allowed)
    for term in reversed(list(allowed)):
        rest = [other for other in kept if other is not term]
        if space.any_of(allowed[other] for other in rest) == task.lit:
            kept = rest
    return tuple(kept) if fits(kept) else _smallest(task, allowed, space, fits, most)


def _order(term: Term) -> tuple[int, bool, tuple[int, ...]]:
    return term.key, term.forward is False, term.unless


def _allowed(term: Term, task: Task, space: Space) -> Formula | None:
    """What `term` lights within the condition, if that is something and nothing that the plan does not light."""
    lights = space.both(formula_of(term, space), task.within)
    return lights if lights != FALSE and space.implies(lights, task.lit) else None


def _smallest(task: Task, allowed: dict[Term, Formula], space: Space, fits: Fits, most: int) -> tuple[Term, ...] | None:
    for size in range(1, most + 1):
        for some in combinations(allowed, size):
            space.step()
            if fits(some) and space.any_of(allowed[term] for term in some) == task.lit:
                return some
    return None


def both_ways(keys: Sequence[int]) -> list[Term]:
    """A term for each key and direction."""
    return [Term(key, forward) for key in keys for forward in (True, False)]
