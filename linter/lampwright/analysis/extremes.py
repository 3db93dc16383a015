"""The most and the least that one element can carry, from its own curves and what is around it.

Exact: the current and the voltage are found at the ends of the element's own spread, the power also between them. Knows
curves only.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from lampwright.analysis.curves import Curve, Interval, series


class Point(NamedTuple):
    """Volts and amperes at which an element works."""

    voltage: float
    current: float

    @property
    def power(self) -> float:
        """Watts; unlimited where the current is."""
        return self.voltage * self.current if math.isfinite(self.current) else math.inf

    @property
    def resistance(self) -> float | None:
        """Ohms, if a current flows and something limits it."""
        return self.voltage / self.current if 0.0 < self.current < math.inf else None


@dataclass(frozen=True, slots=True)
class Extreme:
    """The highest or the lowest values of each; they need not come together. `power` is a point that has it."""

    current: float
    voltage: float
    power: Point


def highest(eager: Curve, reluctant: Curve, around: Curve, supply: float) -> Extreme:
    """The most; `eager` and `reluctant` are the element's curve with its figures at their lowest and highest."""
    currents = _currents(eager, around, supply), _currents(reluctant, around, supply)
    voltage = _voltages(reluctant, around, supply, currents[1].low).high
    section = _section(around, supply, currents[1].low, currents[0].high)
    return Extreme(currents[0].high, voltage, max(section, key=lambda point: point.power))


def lowest(eager: Curve, reluctant: Curve, around: Curve, supply: float) -> Extreme:
    """The least, with what is around at its worst for the element."""
    currents = _currents(eager, around, supply), _currents(reluctant, around, supply)
    voltage = _voltages(eager, around, supply, currents[0].high).low
    section = _section(around, supply, currents[1].low, currents[0].high)
    return Extreme(currents[1].low, voltage, min(section, key=lambda point: point.power))


def working_point(own: Curve, around: Curve, supply: float) -> Point:
    """Where an element without spread works; the lower end where there is no one point."""
    current = _currents(own, around, supply).low
    return Point(_voltages(own, around, supply, current).low, current)


def _currents(own: Curve, around: Curve, supply: float) -> Interval:
    """More than one only where two straight-up pieces meet: LEDs of equal voltage side by side."""
    low, high = series(own, around).currents_at(supply)
    return Interval(max(low, 0.0), max(high, 0.0))


def _voltages(own: Curve, around: Curve, supply: float, current: float) -> Interval:
    """More than one only where two level pieces meet: LEDs in a string that stays dark."""
    voltages = own.voltages_at(current)
    if voltages.low == voltages.high:
        return voltages
    taken = around.voltages_at(current)
    high = max(min(voltages.high, supply - taken.low, supply), 0.0)
    return Interval(min(max(voltages.low, supply - taken.high, 0.0), high), high)


def _section(around: Curve, supply: float, low: float, high: float) -> Iterator[Point]:
    """Where on the line of what is around the power of an element can be extreme, between two of its currents.

    That line is made of straight pieces; on each, power has its least at an end and its most at an end or where the
    element takes half of what the piece would give without current.
    """
    currents = sorted({low, high, *(at for at in around.currents if low < at < high)})
    for current in currents:
        taken = around.voltages_at(current)
        yield Point(min(max(supply - taken.high, 0.0), supply), current)
        yield Point(min(max(supply - taken.low, 0.0), supply), current)
    for start, end in pairwise(currents):
        if math.isfinite(end):
            yield from _summit(around, supply, start, end)


def _summit(around: Curve, supply: float, start: float, end: float) -> Iterator[Point]:
    before = supply - around.voltages_at(start).high
    slope = (before - (supply - around.voltages_at(end).low)) / (end - start)
    current = (before + slope * start) / (2 * slope) if slope > 0 else start
    if start < current < end:
        yield Point(before - slope * (current - start), current)
