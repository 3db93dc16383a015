"""Which state draws most when each of several formulas adds its own weight while it holds.

Exact: splits on one variable at a time, and apart what shares no variable. Knows neither keys nor lamps.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from lampwright.analysis.logic.decision import FALSE, TRUE, Diagram, Formula

_Loads = dict[Formula, int]
_Best = tuple[int, int, tuple[int, ...]]
"""The weight with a minus sign, the price, the variables paid for: the least of several is the one that is wanted."""


Weighed = dict[frozenset[tuple[Formula, int]], tuple[_Best, int]]
"""What was found of formulas that share variables with each other and with no others, and the steps that it took."""

_MOST_WEIGHED = 512


def heaviest(diagram: Diagram, loads: Iterable[tuple[Formula, int]], weighed: Weighed | None = None) -> tuple[int, ...]:
    """The assignment with the largest sum of the weights of the formulas that hold. Raises OutOfStepsError.

    It is given by the variables that are not at their free value: of equal sums the cheapest assignment, of equally
    cheap ones the first in order. Weights are integers, so that the order of adding cannot break a tie. What of it was
    `weighed` in this diagram before takes the steps that it took, so that nothing is decided that was not.
    """
    weighed = {} if weighed is None else weighed
    if len(weighed) > _MOST_WEIGHED:
        weighed.clear()
    return _Search(diagram, weighed).all_together(_merged(loads))


def _merged(loads: Iterable[tuple[Formula, int]]) -> _Loads:
    merged: _Loads = {}
    for formula, weight in loads:
        merged[formula] = merged.get(formula, 0) + weight
    return merged


class _Search:
    def __init__(self, diagram: Diagram, weighed: Weighed) -> None:
        self._diagram = diagram
        self._weighed = weighed
        self._known: dict[frozenset[tuple[Formula, int]], _Best] = {}

    def all_together(self, loads: _Loads) -> tuple[int, ...]:
        """The variables to be paid for."""
        loads.pop(TRUE, None)
        loads.pop(FALSE, None)
        parts = [self._weighed_part(part) for part in self._parts(loads)]
        return tuple(sorted(variable for part in parts for variable in part[2]))

    def _weighed_part(self, loads: _Loads) -> _Best:
        key = frozenset(loads.items())
        known = self._weighed.get(key)
        if known is not None:
            self._diagram.step(known[1])
            return known[0]
        steps = self._diagram.steps_left
        best = self._best_of_part(loads)
        self._weighed[key] = best, steps - self._diagram.steps_left
        return best

    def best(self, loads: _Loads) -> _Best:
        certain = loads.pop(TRUE, 0)
        loads.pop(FALSE, None)
        parts = [self._best_of_part(part) for part in self._parts(loads)]
        paid = sorted(variable for part in parts for variable in part[2])
        return sum(part[0] for part in parts) - certain, sum(part[1] for part in parts), tuple(paid)

    def _parts(self, loads: _Loads) -> list[_Loads]:
        """The loads in groups of which no two depend on a common variable."""
        parts: list[tuple[int, _Loads]] = []
        used = 0
        for formula, weight in loads.items():
            support, part = self._diagram.support(formula), {formula: weight}
            if used & support:
                apart = []
                for other in parts:
                    if other[0] & support:
                        support, part = support | other[0], other[1] | part
                    else:
                        apart.append(other)
                parts = apart
            used |= support
            parts.append((support, part))
        return [part for _, part in parts]

    def _best_of_part(self, loads: _Loads) -> _Best:
        if len(loads) == 1:
            ((formula, weight),) = loads.items()
            if weight > 0:
                # What nothing else hangs on simply holds, as cheaply as it can.
                self._diagram.step()
                return -weight, *self._diagram.way(formula)
        key = frozenset(loads.items())
        if key in self._known:
            return self._known[key]
        self._diagram.step(sum(self._diagram.support(formula).bit_count() for formula in loads))
        variable = self._most_shared(loads)
        outcomes = []
        for value, price in enumerate(self._diagram.prices[variable]):
            left = _merged((self._diagram.given(formula, variable, value), loads[formula]) for formula in loads)
            weight, paid_price, paid = self.best(left)
            outcomes.append((weight, paid_price + price, tuple(sorted((variable, *paid))) if price else paid))
        best = self._known[key] = min(outcomes)
        return best

    def _most_shared(self, loads: Mapping[Formula, int]) -> int:
        """The variable on which most of the formulas depend: with it decided, they fall apart soonest."""
        counts: dict[int, int] = {}
        for formula in loads:
            support = self._diagram.support(formula)
            while support:
                variable = support & -support
                counts[variable] = counts.get(variable, 0) + 1
                support ^= variable
        return min(counts, key=lambda variable: (-counts[variable], variable)).bit_length() - 1
