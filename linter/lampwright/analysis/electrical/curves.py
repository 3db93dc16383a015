"""Current-voltage characteristics as exact piecewise-linear curves, put in series and in parallel without iteration.

Knows corner points and slopes, nothing of lamps. Straight-up pieces (a wire, an LED alone) and level ones (an LED below
its forward voltage) are pieces like any other, so an unlimited current is a value, `math.inf`, and no exception.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from lampwright.records import dataclass


class Interval(NamedTuple):
    """From `low` to `high`, which are equal where a curve has one value and infinite where it has no bound."""

    low: float
    high: float


class Direction(NamedTuple):
    """Where a curve comes from before its first corner point, or goes to after its last one; neither is negative."""

    volts: float
    amperes: float


LEVEL = Direction(1.0, 0.0)


@dataclass(frozen=True, slots=True)
class Curve:
    """A line through the plane of voltage and current that never falls, in either coordinate.

    Its corner points in volts and amperes, in order, at least one, and its direction before and after them.
    """

    voltages: tuple[float, ...]
    currents: tuple[float, ...]
    before: Direction
    after: Direction

    def voltages_at(self, current: float) -> Interval:
        """The voltages at `current`; infinite ones of a sign where the curve does not reach that far."""
        return _spans(self, (current,))[0]

    def currents_at(self, voltage: float) -> Interval:
        """The currents at `voltage`; infinite where nothing limits them."""
        return _heights(self.voltages, self.currents, self.before, self.after, voltage)

    @property
    def reach(self) -> Interval:
        """The lowest and the highest current that the curve comes to."""
        low = -math.inf if self.before.amperes else self.currents[0]
        return Interval(low, math.inf if self.after.amperes else self.currents[-1])

    @property
    def is_straight(self) -> bool:
        """Whether this is one straight line, without a corner."""
        return len(self.voltages) == 1 and self.before == self.after

    @property
    def turned(self) -> Curve:
        """The same with voltage and current exchanged: what is in parallel becomes in series."""
        return Curve(self.currents, self.voltages, _turn(self.before), _turn(self.after))

    def seen_from(self, supply: float) -> Curve:
        """What this draws away, over what is missing to `supply`: the current turns negative, the order round."""
        voltages = tuple(supply - voltage for voltage in reversed(self.voltages))
        return Curve(voltages, tuple(-current for current in reversed(self.currents)), self.after, self.before)


def ohmic(resistance: float) -> Curve:
    """A resistance in ohms; zero is a wire, infinity a gap."""
    return junction(0.0, resistance, blocks=False)


def junction(forward_voltage: float, resistance: float, *, blocks: bool = True) -> Curve:
    """Lets nothing through below `forward_voltage` and nothing backwards; above it stands `resistance` alone."""
    onward = Direction(resistance, 1.0) if math.isfinite(resistance) else LEVEL
    return Curve((forward_voltage,), (0.0,), LEVEL if blocks else onward, onward)


WIRE = ohmic(0.0)


def series(*curves: Curve) -> Curve:
    """Voltages add up at equal current. Nothing in series is a wire.

    Where two ideal sources of current contradict each other, which has no solution, the first one has its way.
    """
    curves = tuple(curve for curve in curves if curve is not WIRE)
    if len(curves) < 2:
        return curves[0] if curves else WIRE
    least = max(curve.reach.low for curve in curves)
    most = min(curve.reach.high for curve in curves)
    if least > most:
        end = curves[0].reach.high if curves[0].reach.high < least else curves[0].reach.low
        return Curve((0.0,), (end,), LEVEL, LEVEL)
    voltages, currents = _sums(curves, least, most)
    before = LEVEL if math.isfinite(least) else _sum_of_slopes([curve.before for curve in curves])
    after = LEVEL if math.isfinite(most) else _sum_of_slopes([curve.after for curve in curves])
    return Curve(tuple(voltages), tuple(currents), before, after)


def parallel(*curves: Curve) -> Curve:
    """Currents add up at equal voltage. Where ideal sources of voltage contradict, the first one has its way."""
    return series(*(curve.turned for curve in curves)).turned


def _sums(curves: Sequence[Curve], least: float, most: float) -> tuple[list[float], list[float]]:
    # A straight line has no corner; its one point says only where it lies.
    bent = [curve for curve in curves if not curve.is_straight] or curves[:1]
    places = sorted({at for curve in bent for at in curve.currents if least <= at <= most})
    voltages: list[float] = []
    currents: list[float] = []
    for current, spans in zip(places, zip(*(_spans(curve, places) for curve in curves), strict=True), strict=True):
        low, high = sum(span[0] for span in spans), sum(span[1] for span in spans)
        for voltage in (low,) if low == high else (low, high):
            if math.isfinite(voltage):
                # Two sums of floats may come out in the wrong order by their last bit; the curve must not.
                voltages.append(max(voltage, voltages[-1]) if voltages else voltage)
                currents.append(current)
    # Level from end to end: an infinite straight piece needs some point of its own.
    return (voltages, currents) if voltages else ([0.0], [least])


def _spans(curve: Curve, currents: Sequence[float]) -> list[Interval]:
    before, after = _turn(curve.before), _turn(curve.after)
    return [_heights(curve.currents, curve.voltages, before, after, current) for current in currents]


def _sum_of_slopes(directions: Sequence[Direction]) -> Direction:
    return Direction(sum(direction.volts / direction.amperes for direction in directions), 1.0)


def _turn(direction: Direction) -> Direction:
    return Direction(direction.amperes, direction.volts)


def _heights(
    along: Sequence[float], up: Sequence[float], before: Direction, after: Direction, place: float
) -> Interval:
    """What the curve has `up` at `place` `along`; of the directions, the first part is along and the second up."""
    first, last = bisect_left(along, place), bisect_right(along, place)
    if first < last:
        low = up[first] if first > 0 or before[0] else -math.inf
        return Interval(low, up[last - 1] if last < len(along) or after[0] else math.inf)
    if first == 0:
        height = up[0] - _rise(before, along[0] - place)
    elif first == len(along):
        height = up[-1] + _rise(after, place - along[-1])
    else:
        share = (place - along[first - 1]) / (along[first] - along[first - 1])
        height = up[first - 1] + share * (up[first] - up[first - 1])
    return Interval(height, height)


def _rise(direction: Direction, distance: float) -> float:
    run, rise = direction
    if not rise:
        return 0.0
    return distance * (rise / run) if run else math.inf
