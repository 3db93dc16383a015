"""What stands on each element's own way from the common to the output, and which weak figures it hangs on.

Adds up what others solve with; solves nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lampwright.analysis.electrical.facts import Corner, Corners, LawfulElement, WeakFact
from lampwright.analysis.electrical.law import Spread, forward_voltage, resistance, weak_figures
from lampwright.analysis.electrical.nests import Network
from lampwright.analysis.electrical.supply import CommonSupply
from lampwright.analysis.electrical.wiring import Leaf
from lampwright.records import dataclass


@dataclass(frozen=True, slots=True)
class Way:
    """Of what is in series on one element's way, itself included, the figures in each corner.

    `weak` are the weak figures with an influence on the element, also from beside its way.
    """

    corners: Corners
    weak: tuple[WeakFact, ...]


def on_ways(network: Network, leaves: Sequence[Leaf], supply: CommonSupply) -> Iterator[tuple[int, Way]]:
    """The number of each element of `network` with its way."""
    weak = (*supply.weak, *(fact for leaf in leaves for fact in weak_figures(leaf.element)))
    known: dict[tuple[int, ...], Way] = {}
    for number, position in network.positions.items():
        if position.in_series not in known:
            known[position.in_series] = Way(_corners([leaves[each] for each in position.in_series], supply), weak)
        yield number, known[position.in_series]


def _corners(in_series: Sequence[Leaf], supply: CommonSupply) -> Corners:
    """Where most flows, everything in the way is at its lowest, and the supply at its highest."""
    elements = [leaf.element for leaf in in_series]
    voltage = supply.voltage
    against = ((Spread.HIGHEST, voltage.lowest), (Spread.USUAL, voltage.usual), (Spread.LOWEST, voltage.highest))
    return Corners(*(_corner(elements, spread, volts) for spread, volts in against))


def _corner(elements: Sequence[LawfulElement], spread: Spread, volts: float) -> Corner:
    forward = sum([forward_voltage(element, spread) for element in elements])
    return Corner(volts, forward or None, sum([resistance(element, spread) for element in elements]) or None)
