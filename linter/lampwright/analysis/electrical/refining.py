"""The way out for a network that Newton's method does not settle: polygons on the characteristics, ever finer.

Each element becomes a polygon through points of its characteristic. A network of such polygons is solved exactly by
`curves`, whatever it looks like; where its elements come to lie the polygons get new corners, on the characteristic,
and so again. A chord errs with the square of its length, and each round makes the chords as short as the last error
was: nothing can run away, and few rounds do.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence

from lampwright.analysis.electrical.characteristics import Characteristic, Ohmic
from lampwright.analysis.electrical.curves import LEVEL, Curve, Direction, ohmic, parallel, series
from lampwright.analysis.electrical.nests import Network, Solution

MOST_ROUNDS = 200
CLOSE = 1e-13
"""Of the supply, by which an element's voltage may miss its characteristic."""


def refined(network: Network, characteristics: Sequence[Characteristic], voltage: float) -> Solution:
    """What each element carries where `voltage` stands across the whole."""
    polygons = [_Polygon(each) for each in characteristics]
    for _ in range(MOST_ROUNDS):
        voltages, currents = _carried(network, [polygon.curve() for polygon in polygons], voltage)
        points = zip(polygons, voltages, currents, strict=True)
        moved = [polygon.refine(volts, amperes, CLOSE * voltage) for polygon, volts, amperes in points]
        if not any(moved):
            break
    slopes = [each.tangent(current)[1] for each, current in zip(characteristics, currents, strict=True)]
    return Solution(voltages, currents, slopes)


class _Polygon:
    """A characteristic as a polygon: amperes and volts of its corners, rising."""

    def __init__(self, characteristic: Characteristic) -> None:
        self._characteristic = characteristic
        start = characteristic.start
        self._currents = [0.0, start] if start else [0.0]
        self._voltages = [characteristic.tangent(current)[0] for current in self._currents]

    def curve(self) -> Curve:
        if isinstance(self._characteristic, Ohmic):
            return ohmic(self._characteristic.resistance)
        onward = Direction(self._characteristic.tangent(self._currents[-1])[1], 1.0)
        return Curve(tuple(self._voltages), tuple(self._currents), LEVEL, onward)

    def refine(self, voltage: float, current: float, close: float) -> bool:
        """Whether a point of the polygon is off the characteristic by more than `close` volts; then it gets corners."""
        if isinstance(self._characteristic, Ohmic):
            return False
        right = self._characteristic.tangent(current)[0]
        if abs(right - voltage) <= close:
            return False
        return self._add(right, current) | self._add(voltage, self._characteristic.current_at(voltage))

    def _add(self, voltage: float, current: float) -> bool:
        place = bisect_left(self._currents, current)
        after = self._voltages[place] if place < len(self._voltages) else float("inf")
        if (
            place == 0
            or not self._voltages[place - 1] < voltage < after
            or current in self._currents[place : place + 1]
        ):
            return False
        self._currents.insert(place, current)
        self._voltages.insert(place, voltage)
        return True


def _carried(network: Network, curves: list[Curve], voltage: float) -> tuple[list[float], list[float]]:
    """Volts and amperes of each polygon."""
    for _, is_series, parts in network.joints:
        curves.append((series if is_series else parallel)(*(curves[part] for part in parts)))
    volts, amperes = [0.0] * len(curves), [0.0] * len(curves)
    root = network.joints[-1][0]
    volts[root], amperes[root] = voltage, curves[root].currents_at(voltage).low
    for number, is_series, parts in reversed(network.joints):
        for part in parts:
            if is_series:
                volts[part], amperes[part] = curves[part].voltages_at(amperes[number]).high, amperes[number]
            else:
                volts[part], amperes[part] = volts[number], curves[part].currents_at(volts[number]).low
    return volts[: network.size], amperes[: network.size]
