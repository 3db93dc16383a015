"""What is computed of circuits, apart from the circuits: the same numbers for all that are alike.

Elements are meant by their numbers in reading order, those of the common lead first.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from math import inf
from typing import NamedTuple

from lampwright.analysis.electrical.characteristics import GAP, WIRE
from lampwright.analysis.electrical.extremes import Extremes, carried
from lampwright.analysis.electrical.facts import Corner, Corners, ElementFacts, LedString, Range
from lampwright.analysis.electrical.law import Spread, is_junction
from lampwright.analysis.electrical.strings import StringNumbers, led_strings
from lampwright.analysis.electrical.ways import on_ways
from lampwright.analysis.electrical.weakness import LawfulElement, WeakFact
from lampwright.analysis.electrical.wiring import Fed, Feeds, Leaf, Wiring
from lampwright.model.circuit import Resistor

UNLIMITED = 1e4
"""Amperes that no lamp, wire or supply of a model carries: more means that nothing limits the current.

Watts likewise.
"""

NOTHING = Range(0.0, 0.0, 0.0)


class ElementNumbers(NamedTuple):
    """One element. `path` begins behind that of its circuit; `beside` is its whole network, itself included."""

    number: int
    path: str
    current: Range
    voltage: Range
    power: Range
    corners: Corners
    hottest_resistance: float | None
    is_at_rail: bool
    beside: tuple[int, ...]
    share_of_time: float
    derating: float


class Numbers(NamedTuple):
    """The elements that were asked for, the strings of LEDs, and the current through all networks together.

    `rails` says of each network whether a rail feeds it.
    """

    current: Range
    elements: tuple[ElementNumbers, ...]
    strings: tuple[StringNumbers, ...]
    rails: tuple[bool, ...]


def numbers_of(wiring: Wiring, feeds: Feeds, wanted: Collection[int], stands: float) -> Numbers:
    """The numbers of `wiring`, and of its elements `wanted`, which stand the share `stands` of their ratings."""
    sums, found = [0.0, 0.0, 0.0], {}
    for fed in wiring.fed:
        leaves = [wiring.leaves[place] for place in fed.places]
        asked = tuple(number for number, place in enumerate(fed.places) if place in wanted)
        flows = carried(fed.network, tuple(leaf.characteristics for leaf in leaves), fed.supply.voltage, asked)
        current = flows.total
        sums = [sums[0] + current.lowest, sums[1] + current.usual, sums[2] + current.highest]
        for number, corners in on_ways(fed.network, leaves, fed.supply.voltage):
            place = fed.places[number]
            if number in flows.elements:
                found[place] = _element(place, wiring.leaves[place], flows.elements[number], corners, fed, stands)
    elements = (found.get(place) or _dead(place, wiring.leaves[place], feeds) for place in wanted)
    strings = tuple(led_strings(wiring))
    return Numbers(_limited(Range(*sums)), tuple(elements), strings, tuple(fed.is_at_rail for fed in wiring.fed))


def _element(place: int, leaf: Leaf, found: Extremes, corners: Corners, fed: Fed, stands: float) -> ElementNumbers:
    # What a wire carries for the solver is a matter of how little resistance that gave it.
    is_unlimited = found.current.highest >= UNLIMITED
    return ElementNumbers(
        number=place,
        path=leaf.path,
        current=NOTHING if is_gap(leaf) else _limited(found.current),
        voltage=NOTHING if is_wire(leaf) else found.voltage,
        power=NOTHING if is_wire(leaf) or is_gap(leaf) else _limited(found.power) if is_unlimited else found.power,
        corners=corners,
        hottest_resistance=found.hottest.resistance if isinstance(leaf.element, Resistor) else None,
        is_at_rail=fed.is_at_rail,
        beside=fed.places,
        share_of_time=leaf.share_of_time,
        derating=stands,
    )


def is_wire(leaf: Leaf) -> bool:
    """Whether nothing stands across it; what a wire drops is there for the solver only."""
    return leaf.characteristics[Spread.HIGHEST] == WIRE


def is_gap(leaf: Leaf) -> bool:
    """Whether nothing flows through it; what a gap lets through is there for the solver only."""
    return leaf.characteristics[Spread.LOWEST] == GAP


def _dead(place: int, leaf: Leaf, feeds: Feeds) -> ElementNumbers:
    """Behind a gap, such as an output with nothing on it."""
    is_at_rail = leaf.share_of_time < 1.0
    volts = feeds.of(is_at_rail=is_at_rail).voltage
    corners = Corners(*(Corner(each, None, None) for each in (volts.lowest, volts.usual, volts.highest)))
    return ElementNumbers(
        place, leaf.path, NOTHING, NOTHING, NOTHING, corners, None, is_at_rail, (), leaf.share_of_time, 1.0
    )


def _limited(amperes_or_watts: Range) -> Range:
    ends = (amperes_or_watts.lowest, amperes_or_watts.usual, amperes_or_watts.highest)
    return Range(*map(limited, ends))


def limited(amperes_or_watts: float) -> float:
    """That, or infinite where nothing limits it."""
    return amperes_or_watts if amperes_or_watts < UNLIMITED else inf


# --- With the circuits again ------------------------------------------------------------------------------------------


def told_of_elements(
    numbers: Numbers, leaves: Sequence[LawfulElement], path: str, feeds: Feeds
) -> tuple[ElementFacts, ...]:
    """The facts of these elements: `leaves` are all in reading order, `path` is that of their circuit."""
    told: list[ElementFacts] = []
    places: tuple[int, ...] | None = None
    for each in numbers.elements:
        if each.beside is not places:
            places = each.beside
            beside = tuple([leaves[place] for place in places])
        feed = feeds.of(is_at_rail=each.is_at_rail)
        told.append(
            ElementFacts(
                leaves[each.number],
                path + each.path,
                each.current,
                each.voltage,
                each.power,
                each.corners,
                each.hottest_resistance,
                feed.weak,
                beside,
                each.share_of_time,
                each.derating,
                feed.basis,
            )
        )
    return tuple(told)


def told_of_strings(numbers: Numbers, leaves: Sequence[LawfulElement], feeds: Feeds) -> tuple[LedString, ...]:
    """The strings of LEDs, with these LEDs."""
    return tuple(
        LedString(
            each.total,
            tuple([element for place in each.elements if is_junction(element := leaves[place])]),
            each.supply,
            feeds.of(is_at_rail=each.is_at_rail).weak,
        )
        for each in numbers.strings
    )


def weak_of_supplies(numbers: Numbers, feeds: Feeds) -> tuple[WeakFact, ...]:
    """The weak figures of what feeds these networks."""
    return tuple(dict.fromkeys(fact for is_at_rail in numbers.rails for fact in feeds.of(is_at_rail=is_at_rail).weak))
