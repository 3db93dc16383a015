"""What stands on each element's own way from the common to the output.

Adds up what others solve with; solves nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lampwright.analysis.electrical.facts import Corner, Corners, Range
from lampwright.analysis.electrical.law import Spread, forward_voltage, resistance
from lampwright.analysis.electrical.nests import Network
from lampwright.analysis.electrical.weakness import LawfulElement
from lampwright.analysis.electrical.wiring import Leaf


def on_ways(network: Network, leaves: Sequence[Leaf], supply: Range) -> Iterator[tuple[int, Corners]]:
    """The number of each element of `network` with, of what is in series on its way, the figures in each corner."""
    known: dict[tuple[int, ...], Corners] = {}
    for number, position in network.positions.items():
        if position.in_series not in known:
            known[position.in_series] = _corners([leaves[each] for each in position.in_series], supply)
        yield number, known[position.in_series]


def _corners(in_series: Sequence[Leaf], voltage: Range) -> Corners:
    """Where most flows, everything in the way is at its lowest, and the supply at its highest."""
    elements = [leaf.element for leaf in in_series]
    against = ((Spread.HIGHEST, voltage.lowest), (Spread.USUAL, voltage.usual), (Spread.LOWEST, voltage.highest))
    return Corners(*(_corner(elements, spread, volts) for spread, volts in against))


def _corner(elements: Sequence[LawfulElement], spread: Spread, volts: float) -> Corner:
    forward = sum([forward_voltage(element, spread) for element in elements])
    return Corner(volts, forward or None, sum([resistance(element, spread) for element in elements]) or None)
