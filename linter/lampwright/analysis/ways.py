"""What stands on each element's own way from the common to the output, and which weak figures it hangs on.

Adds up what others solve with; solves nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from lampwright.analysis.curves import WIRE
from lampwright.analysis.facts import WeakFact
from lampwright.analysis.law import Spread, forward_voltage, resistance, weak_figures
from lampwright.analysis.network import Group, Leaf, Part, leaves


@dataclass(frozen=True, slots=True)
class Way:
    """In series on one element's way, itself included: volts and ohms at their lowest, zero where there are none.

    `weak` are the weak figures with an influence on the element, also from beside its way. `is_bare` as long as nothing
    is in series: then what stands beside has no influence.
    """

    forward_voltage: float = 0.0
    resistance: float = 0.0
    weak: tuple[WeakFact, ...] = ()
    is_bare: bool = True


def ways(whole: Part, way: Way) -> Iterator[Way]:
    """One for each leaf of `whole`; `way` is what is in series before it, with the weak figures of the supply."""
    if isinstance(whole, Leaf):
        yield way
        return
    into = _into_series if whole.is_series else _into_branches
    for part, part_way in zip(whole.parts, into(whole, way), strict=True):
        yield from ways(part, part_way)


def weak_below(whole: Part) -> tuple[WeakFact, ...]:
    """The weak figures of all elements in `whole`, in reading order."""
    return tuple(fact for leaf in leaves(whole) for fact in weak_figures(leaf.element))


def _into_series(whole: Group, way: Way) -> Iterator[Way]:
    in_way = [part.element for part in whole.parts if isinstance(part, Leaf)]
    volts = way.forward_voltage + sum(forward_voltage(element, Spread.LOWEST) for element in in_way)
    ohms = way.resistance + sum(resistance(element, Spread.LOWEST) for element in in_way)
    weak = [weak_below(part) for part in whole.parts]
    bends = [part.curves[Spread.HIGHEST] != WIRE for part in whole.parts]
    for number, part in enumerate(whole.parts):
        # The weak figures of a parallel are for its own branches to tell apart.
        near = [facts for at, facts in enumerate(weak) if at != number or isinstance(part, Leaf)]
        is_bare = way.is_bare and not any(bends[:number] + bends[number + 1 :])
        yield Way(volts, ohms, sum(near, way.weak), is_bare)


def _into_branches(whole: Group, way: Way) -> Iterator[Way]:
    weak = [weak_below(part) for part in whole.parts]
    for number in range(len(whole.parts)):
        beside = () if way.is_bare else sum(weak[:number] + weak[number + 1 :], ())
        yield replace(way, weak=way.weak + beside)
