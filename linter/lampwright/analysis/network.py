"""A circuit as nested series and parallels of curves: what each element has around it, and what it carries.

Knows which way every figure's spread pulls; not where the supply comes from.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from lampwright.analysis.curves import WIRE, Curve, Interval, parallel, series
from lampwright.analysis.facts import LawfulElement
from lampwright.analysis.law import Spread, curve_of
from lampwright.model.circuit import Chain, Diode, Element, Parallel, PlacedLamp, Resistor


@dataclass(frozen=True, slots=True)
class Leaf:
    """One element with its path, and its curve with all figures at one end of their spreads or the other."""

    element: LawfulElement
    path: str
    curves: Mapping[Spread, Curve]


@dataclass(frozen=True, slots=True)
class Group:
    """Parts in series, else in parallel, with the curves of the whole.

    A chain in a chain is dissolved: in series are leaves and parallels, in parallel are groups in series.
    """

    is_series: bool
    parts: tuple[Part, ...]
    curves: Mapping[Spread, Curve]


Part = Leaf | Group


def network(chain: Chain, path: str) -> Group:
    """`chain` with its curves. Takes only what the law holds (see `outside.first_lack`); else raises TypeError."""
    return in_series(_parts_of_chain(chain, path))


def in_series(parts: Iterator[Part] | Sequence[Part]) -> Group:
    """`parts` one after another; none are a wire."""
    parts = tuple(parts)
    return Group(is_series=True, parts=parts, curves=_joined(series, parts))


def in_parallel(parts: Iterator[Part] | Sequence[Part]) -> Group:
    """`parts` side by side; none are a gap."""
    parts = tuple(parts)
    return Group(is_series=False, parts=parts, curves=_joined(parallel, parts))


def leaves(whole: Part) -> Iterator[Leaf]:
    """Every leaf of `whole`, in reading order."""
    if isinstance(whole, Leaf):
        yield whole
    else:
        for part in whole.parts:
            yield from leaves(part)


def surroundings(
    whole: Part, supply: float, *, in_way: Spread, beside: Spread, around: Curve = WIRE
) -> Iterator[Curve]:
    """For each leaf the voltage that the rest takes from `supply`, over the current through the leaf.

    What stands in series on an element's own way lowers what it gets and is taken `in_way`; what stands in a branch
    beside that way raises it by letting less through, and is taken `beside`. So the extremes of an element are found
    with the lowest in its way and the highest beside it, and the other way round: in a nest of series and parallels
    of curves that never fall, no influence changes its sign.
    """
    if isinstance(whole, Leaf):
        yield around
        return
    for part, rest in zip(whole.parts, _rests(whole, supply, in_way, beside, around), strict=True):
        yield from surroundings(part, supply, in_way=in_way, beside=beside, around=rest)


def carried(whole: Part, voltage: float, current: float) -> Iterator[tuple[float, float]]:
    """What each leaf carries with all usual values, volts and amperes, where the whole carries the given, limited ones.

    Where that has no one answer the shares are fair: LEDs in a string that stays dark divide the voltage in proportion
    to what they need, equal LEDs side by side divide the current evenly.
    """
    if isinstance(whole, Leaf):
        yield voltage, current
        return
    curves = [part.curves[Spread.USUAL] for part in whole.parts]
    voltages, currents = [voltage] * len(curves), [current] * len(curves)
    if whole.is_series:
        voltages = _shares(voltage, [curve.voltages_at(current) for curve in curves])
    else:
        currents = _shares(current, [curve.currents_at(voltage) for curve in curves])
    for part, part_voltage, part_current in zip(whole.parts, voltages, currents, strict=True):
        yield from carried(part, part_voltage, part_current)


def _parts_of_chain(chain: Chain, path: str) -> Iterator[Part]:
    for number, element in enumerate(chain.elements):
        if isinstance(element, Chain):
            yield from _parts_of_chain(element, f"{path}.{number}.series")
        else:
            yield _part(element, f"{path}.{number}")


def _part(element: Element, path: str) -> Part:
    match element:
        case Parallel(branches=branches):
            return in_parallel([network(branch, f"{path}.parallel.{number}") for number, branch in enumerate(branches)])
        case Resistor() | PlacedLamp() | Diode():
            return Leaf(element, path, {spread: curve_of(element, spread) for spread in Spread})
    raise TypeError(f"no law for {element!r}")


def _joined(join: Callable[..., Curve], parts: Sequence[Part]) -> Mapping[Spread, Curve]:
    return {spread: join(*(part.curves[spread] for part in parts)) for spread in Spread}


def _rests(whole: Group, supply: float, in_way: Spread, beside: Spread, around: Curve) -> Iterator[Curve]:
    """What is around each part: what is around all of them, joined with the others."""
    if whole.is_series:
        return _without_each(around, [part.curves[in_way] for part in whole.parts], series)
    if around == WIRE:
        # Straight across the supply, branches do not feel each other.
        return (around for _ in whole.parts)
    return _without_each(around, [part.curves[beside].seen_from(supply) for part in whole.parts], parallel)


def _without_each(around: Curve, curves: Sequence[Curve], join: Callable[..., Curve]) -> Iterator[Curve]:
    """For each of `curves`, all others joined with `around`; from both ends, so that n curves take 3 n joins."""
    behind: list[tuple[Curve, ...]] = [()]
    for curve in reversed(curves):
        behind.append((join(curve, *behind[-1]),))
    for curve, others in zip(curves, reversed(behind[:-1]), strict=True):
        yield join(around, *others)
        around = join(around, curve)


def _shares(total: float, bounds: Sequence[Interval]) -> list[float]:
    """Values within `bounds` that add up to `total`: the low ends, and of what is left a share by the room of each."""
    bounds = [Interval(max(low, 0.0), high if math.isfinite(high) else total) for low, high in bounds]
    room = sum(high - low for low, high in bounds if low < high)
    if not room:
        return [low for low, _ in bounds]
    share = min(max((total - sum(low for low, _ in bounds)) / room, 0.0), 1.0)
    return [low + share * max(high - low, 0.0) for low, high in bounds]
