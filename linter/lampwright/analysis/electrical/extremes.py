"""The most and the least that each element of a network can carry, over the spreads of all figures and of the supply.

Exact: the extremes of current and voltage are at ends of the spreads, those of power may lie between. Knows
characteristics only.

What is in series on an element's own way lowers what it gets; what is in a branch beside that way raises it by letting
less through. In a nest of series and parallels of elements whose voltage rises with their current no influence changes
its sign, so the most is found with the least in the way and the most beside it, the least the other way round.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import pairwise
from math import sqrt
from typing import Literal, NamedTuple

from lampwright.analysis.electrical.characteristics import Characteristic, Limiter, ohmic
from lampwright.analysis.electrical.facts import Range
from lampwright.analysis.electrical.law import Spread
from lampwright.analysis.electrical.nests import Network, Part, Solution
from lampwright.analysis.electrical.solving import resistance_around, solve
from lampwright.records import dataclass

Choice = tuple[Characteristic, Characteristic, Characteristic]
"""The characteristics of an element, by the spread of its figures."""

Corner = tuple[Spread, Spread, float]
"""What is in an element's way, what is beside it, and the volts across all."""

Quantity = Literal["current", "voltage", "power"]
End = Literal["lowest", "usual", "highest"]

_ASIDE = 1e-9
"""Of a resistance, to stand on one side of a knee."""

_NARROW = 1e-10
"""Of a resistance, how closely that of a summit is looked for."""


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


@dataclass(frozen=True, slots=True)
class Carried:
    """Amperes through a whole network, and what the elements that were asked for carry, by their numbers."""

    total: Range
    elements: Mapping[int, Extremes]


@lru_cache(maxsize=512)
def carried(network: Network, choices: tuple[Choice, ...], supply: Range, wanted: tuple[int, ...]) -> Carried:
    """What flows in `network`, over all spreads of the characteristics `choices` and of the supply.

    Kept by value: front and rear, left and right are alike in most plans, and a club uses few lamps and resistors.
    """
    search = CornerSearch(network, choices, supply)
    return Carried(search.total(), {element: search.extremes(element) for element in wanted})


class CornerSearch:
    """The corners of one network; `choices` are the characteristics of its elements, by the spread of their figures.

    Keeps each corner that has been solved: the elements of a chain share most of them.
    """

    def __init__(self, network: Network, choices: Sequence[Choice], supply: Range) -> None:
        self._network = network
        self._choices = choices
        self._supply = supply
        self._hot = (Spread.LOWEST, Spread.HIGHEST, supply.highest)
        self._cold = (Spread.HIGHEST, Spread.LOWEST, supply.lowest)
        self._usual = solve(network, [choice[Spread.USUAL] for choice in choices], supply.usual)
        self._known: dict[tuple[object, ...], Solution] = {}

    def total(self) -> Range:
        """Amperes through the whole network."""
        return Range(self.total_at("lowest"), self.total_at("usual"), self.total_at("highest"))

    def total_at(self, end: End) -> float:
        """One end of that."""
        usual = _through(self._network.nest, self._usual)
        if end == "usual":
            return usual
        if end == "lowest":
            return min(self._whole(Spread.HIGHEST, self._supply.lowest), usual)
        return max(self._whole(Spread.LOWEST, self._supply.highest), usual)

    def _whole(self, spread: Spread, voltage: float) -> float:
        if self._network.is_chain:
            return self._solution(0, self._choices[0][spread], (spread, spread, voltage)).currents[0]
        characteristics = [choice[spread] for choice in self._choices]
        solution = solve(self._network, characteristics, voltage, self._usual.currents)
        return _through(self._network.nest, solution)

    def extremes(self, element: int) -> Extremes:
        """What one element carries."""
        volts, amperes = self._usual.voltages[element], self._usual.currents[element]
        most, least = self._ends(element, self._hot), self._ends(element, self._cold)
        hottest = self._hottest(element, most, self._hot)
        coolest = self._coolest(element, least, self._cold)
        return Extremes(
            _in_order(least[1].current, amperes, most[0].current),
            _in_order(least[0].voltage, volts, most[1].voltage),
            _in_order(coolest, volts * amperes, hottest.power),
            hottest,
        )

    def figure(self, element: int, quantity: Quantity, end: End) -> float:
        """One end of one of the ranges in `extremes`, without what takes the time of the others."""
        usual: float = getattr(_point(self._usual, element), quantity)
        if end == "usual":
            return usual
        is_most, corner = end == "highest", self._hot if end == "highest" else self._cold
        found: float
        if quantity == "power":
            ends = self._ends(element, corner)
            found = self._hottest(element, ends, corner).power if is_most else self._coolest(element, ends, corner)
        else:
            # An element gets most current where it resists least itself, and most voltage where it resists most.
            own = Spread.LOWEST if is_most == (quantity == "current") else Spread.HIGHEST
            at = self._solution(element, self._choices[element][own], corner)
            found = getattr(_point(at, element), quantity)
        return max(found, usual) if is_most else min(found, usual)

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
        best = max(ends, key=lambda point: point.power)
        eager, reluctant = (point.resistance for point in ends)
        if ends[0] == ends[1] or not eager or not reluctant:
            return best
        knees = self._knees(element, eager, reluctant, corner)
        if not knees and not self._rises_and_falls(element, corner):
            return best
        for low, high in pairwise([eager, *knees, reluctant]):
            ends_of_slope = low * (1 + _ASIDE), high * (1 - _ASIDE)
            below, above = (self._excess(element, end, corner) for end in ends_of_slope)
            if below < 0 < above:
                summit = self._summit(element, ends_of_slope, (below, above), corner)
                best = max(best, summit, key=lambda point: point.power)
        return best

    def _rises_and_falls(self, element: int, corner: Corner) -> bool:
        """Whether the element resists less than what is around it at its lowest, and more at its highest."""
        own = self._choices[element]
        at_ends = []
        for spread in (Spread.LOWEST, Spread.HIGHEST):
            solution = self._solution(element, own[spread], corner)
            resistance = _point(solution, element).resistance or 0.0
            at_ends.append(resistance - resistance_around(self._network, solution.slopes, element))
            if at_ends[0] >= 0:
                return False
        return at_ends[1] > 0

    def _coolest(self, element: int, ends: tuple[Point, Point], corner: Corner) -> float:
        """On each side of a knee the power has its least at an end."""
        power = min(point.power for point in ends)
        eager, reluctant = (point.resistance for point in ends)
        if ends[0] == ends[1] or not eager or not reluctant:
            return power
        knees = self._knees(element, eager, reluctant, corner)
        return min([power, *(_point(self._tried(element, knee, corner), element).power for knee in knees)])

    def _knees(self, element: int, low: float, high: float, corner: Corner) -> list[float]:
        """The resistances, put in the place of `element`, with which a regulator beside it just holds its current.

        There what is left for the element bends the wrong way, so that its power may have a summit on either side.
        """
        beside = self._network.positions[element].beside
        limiters = [(number, self._choices[number][corner[1]]) for number in beside]
        needs = {number: limiter.needs for number, limiter in limiters if isinstance(limiter, Limiter)}
        if not needs:
            return []
        # The more an element resists, the more is left for what is beside it.
        starved, held = (self._tried(element, end, corner).voltages for end in (low, high))
        crossed = [number for number in needs if starved[number] <= needs[number] < held[number]]
        return sorted(self._knee(element, (low, high), (number, needs[number]), corner) for number in crossed)

    def _knee(self, element: int, between: tuple[float, float], limiter: tuple[int, float], corner: Corner) -> float:
        (low, high), (number, needs) = between, limiter
        while high - low > 1e-12 * high:
            middle = sqrt(low * high)
            if not low < middle < high:
                break
            holds = self._tried(element, middle, corner).voltages[number] > needs
            low, high = (low, middle) if holds else (middle, high)
        return high

    def _excess(self, element: int, resistance: float, corner: Corner) -> float:
        """By how many ohms `resistance`, put in the place of `element`, exceeds the slope of what is around it."""
        slopes = self._tried(element, resistance, corner).slopes
        return resistance - resistance_around(self._network, slopes, element)

    def _summit(
        self, element: int, between: tuple[float, float], excesses: tuple[float, float], corner: Corner
    ) -> Point:
        """Looks for the resistance, put in the place of the element, that equals the slope of the rest.

        By false position over its logarithm; an end that has stayed counts half (the Illinois method), so that both
        close in. A nest is solved each time, and bisection would take four times as many.
        """
        (low, high), (below, above) = between, excesses
        middle, has_risen = high, None
        while high - low > _NARROW * high:
            last, share = middle, below / (below - above)
            middle = low ** (1 - share) * high**share
            if not low < middle < high:
                break
            excess = self._excess(element, middle, corner)
            if excess > 0:
                high, above = middle, excess
                below = below / 2 if has_risen is False else below
            else:
                low, below = middle, excess
                above = above / 2 if has_risen is True else above
            has_risen = excess <= 0
            if excess == 0 or abs(middle - last) <= _NARROW * high:
                break
        return _point(self._tried(element, middle, corner), element)

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
