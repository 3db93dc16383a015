"""The most and the least that each element of a network can carry, over the spreads of all figures and of the supply.

Exact: the extremes of current and voltage are at ends of the spreads, those of power may lie between. Knows
characteristics only.

What is in series on an element's own way lowers what it gets; what is in a branch beside that way raises it by letting
less through. In a nest of series and parallels of elements whose voltage rises with their current no influence changes
its sign, so the most is found with the least in the way and the most beside it, the least the other way round.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import exp, log
from typing import NamedTuple

from lampwright.analysis.characteristics import Characteristic, Limiter, ohmic
from lampwright.analysis.facts import Range
from lampwright.analysis.law import Spread
from lampwright.analysis.nests import Network, Part, Solution
from lampwright.analysis.solving import resistance_around, solve

Choice = Mapping[Spread, Characteristic]
Corner = tuple[Spread, Spread, float]
"""What is in an element's way, what is beside it, and the volts across all."""

SAMPLES = 24
"""Points at which a power is looked at where it may have several summits, before the best one is climbed."""


class Point(NamedTuple):
    """Volts and amperes at which an element works."""

    voltage: float
    current: float

    @property
    def power(self) -> float:
        """Watts."""
        return self.voltage * self.current

    @property
    def resistance(self) -> float | None:
        """Ohms, if a current flows."""
        return self.voltage / self.current if self.current > 0 else None


@dataclass(frozen=True, slots=True)
class Extremes:
    """What one element carries at its least, usually, and at its most. `hottest` is a point of the highest power."""

    current: Range
    voltage: Range
    power: Range
    hottest: Point


class CornerSearch:
    """The corners of one network; `choices` are the characteristics of its elements, by the spread of their figures.

    Keeps each corner that has been solved: the elements of a chain share most of them.
    """

    def __init__(self, network: Network, choices: Sequence[Choice], supply: Range) -> None:
        self._network = network
        self._choices = choices
        self._supply = supply
        self._usual = solve(network, [choice[Spread.USUAL] for choice in choices], supply.usual)
        self._known: dict[tuple[object, ...], Solution] = {}

    def total(self) -> Range:
        """Amperes through the whole network."""
        least = self._whole(Spread.HIGHEST, self._supply.lowest)
        most = self._whole(Spread.LOWEST, self._supply.highest)
        return _in_order(least, _through(self._network.nest, self._usual), most)

    def _whole(self, spread: Spread, voltage: float) -> float:
        if self._network.is_chain:
            return self._solution(0, self._choices[0][spread], (spread, spread, voltage)).currents[0]
        characteristics = [choice[spread] for choice in self._choices]
        solution = solve(self._network, characteristics, voltage, self._usual.currents)
        return _through(self._network.nest, solution)

    def extremes(self, element: int) -> Extremes:
        """What one element carries."""
        volts, amperes, supply = self._usual.voltages[element], self._usual.currents[element], self._supply
        hot, cold = (Spread.LOWEST, Spread.HIGHEST, supply.highest), (Spread.HIGHEST, Spread.LOWEST, supply.lowest)
        most, least = self._ends(element, hot), self._ends(element, cold)
        hottest = self._hottest(element, most, hot)
        coolest = self._coolest(element, least, cold)
        return Extremes(
            _in_order(least[1].current, amperes, most[0].current),
            _in_order(least[0].voltage, volts, most[1].voltage),
            _in_order(coolest, volts * amperes, hottest.power),
            hottest,
        )

    def _ends(self, element: int, corner: Corner) -> tuple[Point, Point]:
        """Where `element` works with its figures at their lowest, and at their highest."""
        own = self._choices[element]
        lowest, highest = (self._solution(element, own[spread], corner) for spread in (Spread.LOWEST, Spread.HIGHEST))
        return _point(lowest, element), _point(highest, element)

    def _solution(self, element: int, own: Characteristic, corner: Corner) -> Solution:
        in_way, _, voltage = corner
        beside = self._network.positions[element].beside
        is_own = own is self._choices[element][in_way]
        # Where nothing is beside it and it is itself like what is in its way, the corner is that of many others.
        key = (in_way, voltage, beside, -1 if is_own else element, None if is_own else own)
        if key not in self._known:
            self._known[key] = self._solved(element, own, corner)
        return self._known[key]

    def _solved(self, element: int, own: Characteristic, corner: Corner) -> Solution:
        in_way, beside, voltage = corner
        numbers = self._network.positions[element].beside
        picked = [choice[beside if number in numbers else in_way] for number, choice in enumerate(self._choices)]
        picked[element] = own
        return solve(self._network, picked, voltage, self._usual.currents)

    def _hottest(self, element: int, ends: tuple[Point, Point], corner: Corner) -> Point:
        """Between its ends an element may get more than at either: the most where it equals what is around it."""
        eager, reluctant = ends
        best = max(ends, key=lambda point: point.power)
        if eager == reluctant or not eager.resistance or not reluctant.resistance:
            return best
        if self._may_have_several_summits(element):
            return max(best, self._sampled(element, ends, corner, 1.0), key=lambda point: point.power)
        if self._excess_over_rest(element, Spread.LOWEST, eager, corner) >= 0:
            return best
        if self._excess_over_rest(element, Spread.HIGHEST, reluctant, corner) <= 0:
            return best
        return self._summit(element, ends, corner)

    def _coolest(self, element: int, ends: tuple[Point, Point], corner: Corner) -> float:
        power = min(point.power for point in ends)
        if ends[0] == ends[1] or not self._may_have_several_summits(element):
            return power
        return min(power, self._sampled(element, ends, corner, -1.0).power)

    def _may_have_several_summits(self, element: int) -> bool:
        """A regulator beside that begins to hold its current bends what is left for `element` the wrong way."""
        beside = self._network.positions[element].beside
        return any(isinstance(self._choices[number][Spread.USUAL], Limiter) for number in beside)

    def _excess_over_rest(self, element: int, own: Spread, point: Point, corner: Corner) -> float:
        """By how many ohms the element's voltage over its current exceeds the slope of the rest, at one of its ends."""
        slopes = self._solution(element, self._choices[element][own], corner).slopes
        return (point.resistance or 0.0) - resistance_around(self._network, slopes, element)

    def _summit(self, element: int, ends: tuple[Point, Point], corner: Corner) -> Point:
        """Bisects for the resistance, put in the place of the element, that equals the slope of the rest."""
        low, high = ((point.resistance or 0.0) for point in ends)
        for _ in range(60):
            middle = (low * high) ** 0.5
            solution = self._tried(element, middle, corner)
            if middle > resistance_around(self._network, solution.slopes, element):
                high = middle
            else:
                low = middle
            if high - low <= 1e-10 * high:
                break
        return _point(solution, element)

    def _sampled(self, element: int, ends: tuple[Point, Point], corner: Corner, sign: float) -> Point:
        """The best of a row of resistances in the place of the element, then of ever finer rows around it."""
        low, high = (log(point.resistance or 1.0) for point in ends)
        for _ in range(8):
            step = (high - low) / SAMPLES
            row = [low + step * number for number in range(SAMPLES + 1)]
            points = [(_point(self._tried(element, exp(at), corner), element), at) for at in row]
            best, at = max(points, key=lambda pair: sign * pair[0].power)
            low, high = max(low, at - step), min(high, at + step)
        return best

    def _tried(self, element: int, resistance: float, corner: Corner) -> Solution:
        return self._solved(element, ohmic(resistance), corner)


def _point(solution: Solution, element: int) -> Point:
    return Point(solution.voltages[element], solution.currents[element])


def _in_order(low: float, usual: float, high: float) -> Range:
    """Without spread the three are one value, computed on three paths: the last bits may differ, the order must not."""
    return Range(min(low, usual), usual, max(high, usual))


def _through(part: Part, solution: Solution) -> float:
    if isinstance(part, int):
        return solution.currents[part]
    return _through(part.parts[0], solution) if part.is_series else sum(_through(each, solution) for each in part.parts)
