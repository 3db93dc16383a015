"""How all outputs of one plan are said to one decoder: a way for each that can be had, and why not for the others."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

from lampwright.analysis.programming.claims import Claim
from lampwright.analysis.programming.faults import Fault, Unjudged
from lampwright.analysis.programming.fields import FieldIdentity, Fields, Option, options
from lampwright.analysis.programming.methods import Fixed, Known, Method, Wanted, Way, all_ways
from lampwright.analysis.programming.refusals import Refusals, number_of
from lampwright.analysis.programming.space import FALSE, Space
from lampwright.analysis.programming.wishes import Wish
from lampwright.model.decoder import Decoder
from lampwright.records import dataclass, field


@dataclass(slots=True)
class Solution:
    """What was found of all outputs: ways by name, the method as it is settled, faults and what is not judged."""

    method: Method
    ways: dict[str, Way] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    unjudged: list[Unjudged] = field(default_factory=list)


@dataclass(slots=True)
class Solver:
    """Says the outputs of a plan to a decoder."""

    decoder: Decoder
    fields: Fields
    space: Space
    keys_are_complete: bool
    options: dict[str, list[Option]] = field(default_factory=dict)

    def solve(self, method: Method, wishes: Mapping[str, Wish]) -> Solution:
        """`wishes` are all outputs whose number is known, dark ones included."""
        solution = Solution(method)
        # Only fixed keys can light what the plan leaves dark, and where keys are unreadable nobody knows what that is.
        dark = isinstance(method, Fixed) and self.keys_are_complete
        asked = {name: wish for name, wish in wishes.items() if wish.lit != FALSE or dark}
        for name in asked:
            self.options[name] = options(self.fields, name, self.space)
        groups = self._groups(asked)
        solution.method, found = self._ways(method, groups)
        if any(ways is None and len(group) > 1 for group, ways in zip(groups, found, strict=True)):
            # Where outputs cannot share their codes each takes its own, and the codes will clash.
            groups = [part for group, ways in zip(groups, found, strict=True) for part in _parted(group, ways)]
            solution.method, found = self._ways(method, groups)
        failed = [wish for group, ways in zip(groups, found, strict=True) if ways is None for wish in group]
        for group, ways in zip(groups, found, strict=True):
            solution.ways.update(zip((wish.name for wish in group), ways or (), strict=False))
        refusals = Refusals(self.decoder, self.fields, self.space, method, self.options)
        for reason in (reason for wish in failed for reason in refusals.reasons(wish, wishes)):
            if isinstance(reason, Unjudged):
                solution.unjudged.append(reason)
            else:
                solution.faults.append(reason)
        return solution

    def _groups(self, wishes: Mapping[str, Wish]) -> list[tuple[Wish, ...]]:
        """Outputs that share a condition field stand together, and so do those that share one with either."""
        groups: dict[int, list[Wish]] = {}
        owners: dict[FieldIdentity, int] = {}
        for index, wish in enumerate(wishes.values()):
            fields = {located.identity for option in self.options[wish.name] for located, _ in option.codes}
            joined = {owners[field] for field in fields if field in owners}
            groups[index] = [*(each for other in sorted(joined) for each in groups.pop(other)), wish]
            owners = (
                {field: index if owner in joined else owner for field, owner in owners.items()} if joined else owners
            )
            owners.update(dict.fromkeys(fields, index))
        return [tuple(group) for group in groups.values()]

    def _ways(self, method: Method, groups: Sequence[tuple[Wish, ...]]) -> tuple[Method, list[tuple[Way, ...] | None]]:
        wanted = [tuple(self._of(wish) for wish in group) for group in groups]
        return all_ways(method, wanted, self.space, _known(self.decoder))

    def _of(self, wish: Wish) -> Wanted:
        return Wanted(wish.name, number_of(wish), wish.lit, self.options[wish.name], wish.keys, wish.said)


# A sheet is shared by many plans, and most of them say the same of the same outputs.
@lru_cache(maxsize=64)
def _known(_: Decoder) -> Known:
    return {}


def _parted(group: tuple[Wish, ...], ways: tuple[Way, ...] | None) -> list[tuple[Wish, ...]]:
    return [group] if ways is not None else [(wish,) for wish in group]


def condition_claims(ways: Mapping[str, Way], wishes: Mapping[str, Wish]) -> Iterator[Claim]:
    """The codes of conditions that the ways need."""
    for name, way in ways.items():
        facts = wishes[name].facts
        span = facts[0].entry.span if facts else wishes[name].span
        yield from (located.claim(code.code.value, name, span) for located, code in way.option.codes)
