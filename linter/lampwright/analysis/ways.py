"""What stands on each element's own way from the common to the output, and which weak figures it hangs on.

Adds up what others solve with; solves nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lampwright.analysis.facts import WeakFact
from lampwright.analysis.law import Spread, forward_voltage, resistance, weak_figures
from lampwright.analysis.nests import Network
from lampwright.analysis.supply import CommonSupply
from lampwright.analysis.wiring import Leaf


@dataclass(frozen=True, slots=True)
class Way:
    """In series on one element's way, itself included: volts and ohms at their lowest, zero where there are none.

    `weak` are the weak figures with an influence on the element, also from beside its way.
    """

    forward_voltage: float
    resistance: float
    weak: tuple[WeakFact, ...]


def on_ways(network: Network, leaves: Sequence[Leaf], supply: CommonSupply) -> Iterator[tuple[int, Way]]:
    """The number of each element of `network` with its way."""
    weak = (*supply.weak, *(fact for leaf in leaves for fact in weak_figures(leaf.element)))
    volts = [forward_voltage(leaf.element, Spread.LOWEST) for leaf in leaves]
    ohms = [resistance(leaf.element, Spread.LOWEST) for leaf in leaves]
    known: dict[tuple[int, ...], Way] = {}
    for number, position in network.positions.items():
        numbers = position.in_series
        if numbers not in known:
            known[numbers] = Way(sum(volts[each] for each in numbers), sum(ohms[each] for each in numbers), weak)
        yield number, known[numbers]
