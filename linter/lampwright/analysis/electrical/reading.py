"""What a meter showed, beside what the plan comes to there: whether the two have anything in common."""

from __future__ import annotations

from typing import Literal

from lampwright.analysis.electrical.facts import Basis, Range
from lampwright.analysis.electrical.weakness import LawfulElement, WeakFact
from lampwright.model.values import Figure
from lampwright.records import dataclass

_NOISE, _NOTHING = 1e-6, 1e-9


@dataclass(frozen=True, slots=True)
class Reading:
    """What was measured: the voltage at the output, the current through it, or the volts across `element`.

    `expected` is what the plan comes to there; `basis` the measured voltage that this was computed with, if any.
    """

    what: Literal["voltage", "current", "across"]
    element: LawfulElement | None
    figure: Figure
    expected: Range
    weak: tuple[WeakFact, ...]
    basis: Basis | None = None

    @property
    def fits(self) -> bool:
        """Whether both ranges have anything in common."""
        return fits(self.figure, self.expected)


def fits(figure: Figure, expected: Range) -> bool:
    """Whether a reading and what the plan comes to have anything in common."""
    least, most = figure.lowest - _NOTHING, figure.highest + _NOTHING
    return least <= expected.highest * (1 + _NOISE) and most >= expected.lowest * (1 - _NOISE)
