"""Which allowances reach a place, found without going through all of them: a file may hold thousands."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator

from lampwright.engine.allowances import Allowance
from lampwright.records import dataclass
from lampwright.text import Span


@dataclass(slots=True)
class Reach:
    """Where allowances of one rule reach, the first reason given, and whether a verdict of the rule stood there."""

    start: int
    end: int
    reason: str = ""
    is_met: bool = False


class Reaches:
    """Where the allowances of one rule reach: whole lines by number, and entries, which lie in one another or apart."""

    def __init__(self, given: Iterable[Allowance]) -> None:
        self._lines: dict[int, Reach] = {}
        self._entries: dict[tuple[int, int], Reach] = {}
        for allowance in given:
            if allowance.scope is not None:
                reach = self._made(allowance, allowance.scope)
                reach.reason = reach.reason or allowance.reason
        self._nested = sorted(self._entries.values(), key=lambda reach: (reach.start, -reach.end))
        self._starts = [reach.start for reach in self._nested]
        self._outer = list(_outer(self._nested))

    def of(self, allowance: Allowance) -> Reach:
        """Where `allowance`, one of those given with a scope, reaches."""
        assert allowance.scope is not None
        return self._made(allowance, allowance.scope)

    def around(self, place: Span) -> Iterator[Reach]:
        """What reaches to the start of `place`."""
        if self._lines:
            line = self._lines.get(place.source.position(place.start).line)
            if line is not None:
                yield line
        index = bisect_right(self._starts, place.start) - 1
        while index >= 0:
            if place.start < self._nested[index].end:
                yield self._nested[index]
            index = self._outer[index]

    def _made(self, allowance: Allowance, scope: Span) -> Reach:
        # What is empty holds the place where it stands.
        reach = Reach(scope.start, max(scope.end, scope.start + 1))
        if allowance.comment.own_line:
            return self._entries.setdefault((reach.start, reach.end), reach)
        return self._lines.setdefault(scope.source.position(scope.start).line, reach)


def _outer(nested: list[Reach]) -> Iterator[int]:
    """For each of `nested`, in order of their starts, the number of the innermost one around it, else -1."""
    around: list[int] = []
    for index, reach in enumerate(nested):
        while around and nested[around[-1]].end <= reach.start:
            around.pop()
        yield around[-1] if around else -1
        around.append(index)
