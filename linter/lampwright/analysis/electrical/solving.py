"""Voltages and currents in a nest of series and parallels of characteristics: one network at one supply voltage.

Each element is replaced by a straight line through a point of its characteristic, the straight network is solved
exactly by folding it up and unfolding it again, and each element moves to where its line led, until nothing moves.
Where that does not settle, `refining` takes over, which always does. Knows no lamps and no tolerances.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import exp, inf, sqrt

from lampwright.analysis.electrical.characteristics import LEAST_CURRENT, Characteristic, Ohmic
from lampwright.analysis.electrical.nests import Network, Solution
from lampwright.analysis.electrical.refining import refined

MOST_ROUNDS = 60
"""Of a hundred thousand random networks none took more than 25; what takes longer goes to `refining`."""

MOST_CURRENT = 1e30
"""Amperes above which no element is followed."""

_Tangent = Callable[[float], tuple[float, float]]
_Onward = Callable[[float, tuple[float, float], float], float]

SETTLED = 1e-9
"""Relative change of a current after which the next one would be lost in the last bits: the method is quadratic."""


def solve(
    network: Network, characteristics: Sequence[Characteristic], voltage: float, near: Sequence[float] | None = None
) -> Solution:
    """What each element carries where `voltage`, not negative, stands across the whole.

    `near` are currents that are not far off, those of another corner; they save half of the work.
    """
    if network.is_chain:
        return _chain(characteristics, voltage, near[0] if near else 0.0)
    return _nest(network, characteristics, voltage, near) or refined(network, characteristics, voltage)


# --- A chain: one unknown, the current, in an ever narrower bracket ---------------------------------------------------


def _chain(characteristics: Sequence[Characteristic], voltage: float, near: float) -> Solution:
    straight = sum([each.resistance for each in characteristics if isinstance(each, Ohmic)])
    bent = [each for each in characteristics if not isinstance(each, Ohmic)]
    current = _current(straight, bent, voltage, near) if bent else voltage / straight
    points = [each.tangent(current) for each in characteristics]
    return Solution([point[0] for point in points], [current] * len(points), [point[1] for point in points])


def _current(straight: float, bent: Sequence[Characteristic], voltage: float, near: float) -> float:
    """Amperes through `straight` ohms and the `bent` elements in series."""
    if voltage <= 0:
        return 0.0
    low, high = 0.0, inf
    current = near or _first_guess(straight, bent, voltage)
    for _ in range(200):
        taken, slope = straight * current, straight
        for each in bent:
            volts, ohms = each.tangent(current)
            taken += volts
            slope += ohms
        missing = voltage - taken
        if missing > 0:
            low = current
        elif current > LEAST_CURRENT:
            high = current
        else:
            # Even the least current would take more than there is.
            return 0.0
        following = current + missing / slope
        if following > MOST_CURRENT:
            # A diode alone: it has a current for any voltage, but none that floats could follow.
            return MOST_CURRENT
        if abs(following - current) <= SETTLED * current:
            return following
        if following <= low and missing < 0:
            # A string that stays dark: the same step in the logarithm of the current, which never gets negative.
            following = max(current * exp(max(missing / (current * slope), -100.0)), LEAST_CURRENT)
        if not low < following < high:
            following = sqrt(low) * sqrt(high) if low else 0.001 * high
        current = following
    return current


def _first_guess(straight: float, bent: Sequence[Characteristic], voltage: float) -> float:
    """What is left of the voltage over the resistance; what an element is made for where nothing is left."""
    start = min([each.start for each in bent])
    left = voltage - sum([each.tangent(start)[0] for each in bent])
    return min(start + left / straight, 1e3 * start) if left > 0 and straight else start


# --- A nest: fold up, unfold, move ------------------------------------------------------------------------------------


def _nest(
    network: Network, characteristics: Sequence[Characteristic], voltage: float, near: Sequence[float] | None = None
) -> Solution | None:
    at = [max(each, LEAST_CURRENT) for each in near or [_start(each, voltage) for each in characteristics]]
    volts = [0.0] * (network.size + len(network.joints))
    amperes, sources, slopes = volts.copy(), volts.copy(), volts.copy()
    bent: list[tuple[int, _Tangent, _Onward]] = []
    for number, each in enumerate(characteristics):
        if isinstance(each, Ohmic):
            slopes[number] = each.tangent(0.0)[1]
        else:
            bent.append((number, each.tangent, each.onward))
    for _ in range(MOST_ROUNDS):
        for number, tangent, _ in bent:
            now = at[number]
            taken, slope = tangent(now)
            slopes[number], sources[number] = slope, taken - slope * now
        _fold(network, sources, slopes)
        _unfold(network, (sources, slopes), (volts, amperes), voltage)
        is_settled = True
        for number, _, onward in bent:
            now, reached, slope = at[number], amperes[number], slopes[number]
            if abs(reached - now) > SETTLED * now:
                is_settled = False
            following = onward(now, (sources[number] + slope * now, slope), reached)
            at[number] = LEAST_CURRENT if following < LEAST_CURRENT else min(following, MOST_CURRENT)
        if is_settled:
            size = network.size
            return Solution(volts[:size], amperes[:size], slopes[:size])
    return None


def _start(characteristic: Characteristic, voltage: float) -> float:
    """What an element is made for, unless the whole supply could not drive that."""
    start = characteristic.start
    return start if characteristic.tangent(start)[0] <= voltage else characteristic.current_at(voltage)


def _fold(network: Network, sources: list[float], slopes: list[float]) -> None:
    """Each joint as one source of voltage with one resistance, from the inside out (Thevenin)."""
    for number, is_series, parts in network.joints:
        # Added up in one pass: this is where most of the time of all goes.
        source = along = 0.0
        if is_series:
            for part in parts:
                source += sources[part]
                along += slopes[part]
            sources[number], slopes[number] = source, along
        else:
            for part in parts:
                slope = slopes[part]
                source += sources[part] / slope
                along += 1 / slope
            sources[number], slopes[number] = source / along, 1 / along


def _unfold(
    network: Network,
    straight: tuple[list[float], list[float]],
    carried: tuple[list[float], list[float]],
    voltage: float,
) -> None:
    (sources, slopes), (volts, amperes) = straight, carried
    root = network.joints[-1][0]
    volts[root], amperes[root] = voltage, (voltage - sources[root]) / slopes[root]
    for number, is_series, parts in reversed(network.joints):
        if is_series:
            current = amperes[number]
            for part in parts:
                amperes[part], volts[part] = current, sources[part] + slopes[part] * current
        else:
            across = volts[number]
            for part in parts:
                volts[part], amperes[part] = across, (across - sources[part]) / slopes[part]


def resistance_around(network: Network, slopes: Sequence[float], element: int) -> float:
    """Ohms by which the voltage left for `element` falls with its current, at a point where the slopes are these."""
    if network.is_chain:
        return sum(slopes) - slopes[element]
    extra = [0.0] * len(network.joints)
    sources, ohms = [0.0] * network.size + extra, [*slopes, *extra]
    # A volt put in with the element drives a current against its own slope and what is around it.
    sources[element] = -1.0
    volts, amperes = sources.copy(), sources.copy()
    _fold(network, sources, ohms)
    _unfold(network, (sources, ohms), (volts, amperes), 0.0)
    return max(1 / amperes[element] - slopes[element], 0.0) if amperes[element] else inf
