"""Two resistors in the place of one: in series or side by side, where one cannot carry the heat or is not at hand.

Plain ohms: what they are needed for, and whether they carry it, is proved elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import combinations_with_replacement

from lampwright.analysis.resistors.preferred import next_up
from lampwright.records import dataclass

MOST_ABOVE = 1.25
"""How many times the resistance wished for a pair may have: beyond that, another value does better."""


@dataclass(frozen=True, slots=True)
class Pair:
    """Two resistances in ohms, in series or else in parallel."""

    is_series: bool
    resistances: tuple[float, float]

    @property
    def total(self) -> float:
        """Ohms of both together."""
        one, other = self.resistances
        return one + other if self.is_series else one * other / (one + other)


def pairs_of(values: Iterable[float], least: float) -> Iterator[Pair]:
    """The pairs of `values` with `least` ohms together or little more; the closest first, of these the evenest."""
    twos = list(combinations_with_replacement(sorted({value for value in values if value > 0}), 2))
    found = [Pair(is_series, two) for two in twos for is_series in (True, False)]
    fitting = [pair for pair in found if least * (1 - 1e-9) <= pair.total <= MOST_ABOVE * least]
    yield from sorted(fitting, key=lambda pair: (round(pair.total / least, 6), _imbalance(pair), not pair.is_series))


def equal_pairs(series: str, least: float) -> tuple[Pair, Pair]:
    """Two equal preferred values with at least `least` ohms together: in series, and in parallel."""
    half, double = next_up(series, least / 2), next_up(series, 2 * least)
    return Pair(True, (half, half)), Pair(False, (double, double))  # noqa: FBT003  # in series, side by side


def _imbalance(pair: Pair) -> float:
    """How unevenly the heat is shared; 1 is even."""
    one, other = pair.resistances
    return other / one
