"""The forward voltages that add up on the way of each LED, by themselves: no current is computed here."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lampwright.analysis.facts import LedString, Range, WeakFact
from lampwright.analysis.law import Spread, is_junction, lamp_kind, weak_figures
from lampwright.analysis.network import Group, Leaf, Part
from lampwright.model.circuit import Diode, Led, PlacedLamp


def led_strings(whole: Group, supply_weak: tuple[WeakFact, ...]) -> Iterator[LedString]:
    """One for each chain in `whole` with an LED of its own, outer chains first.

    Its total takes in what is in series outside the chain, and of each parallel on the way the branch that needs least.
    """
    return _strings(whole, (), supply_weak)


def _strings(chain: Group, outside: tuple[Part, ...], supply_weak: tuple[WeakFact, ...]) -> Iterator[LedString]:
    if any(isinstance(part, Leaf) and isinstance(lamp_kind(part.element), Led) for part in chain.parts):
        yield _string((*outside, *chain.parts), supply_weak)
    for number, part in enumerate(chain.parts):
        others = (*outside, *chain.parts[:number], *chain.parts[number + 1 :])
        for branch in part.parts if isinstance(part, Group) else ():
            if isinstance(branch, Group):
                yield from _strings(branch, others, supply_weak)


def _string(in_series: Sequence[Part], supply_weak: tuple[WeakFact, ...]) -> LedString:
    total = Range(*(sum(_need(part, spread) for part in in_series) for spread in Spread))
    elements = tuple(element for part in in_series for element in _junctions(part))
    weak = (fact for element in elements for fact in weak_figures(element) if fact.what == "forward-voltage")
    return LedString(total, elements, (*supply_weak, *weak))


def _need(whole: Part, spread: Spread) -> float:
    """The voltage up to which nothing is let through."""
    return whole.curves[spread].voltages_at(0.0).high


def _junctions(whole: Part) -> Iterator[PlacedLamp | Diode]:
    if isinstance(whole, Leaf):
        if is_junction(whole.element):
            yield whole.element
    elif whole.is_series:
        for part in whole.parts:
            yield from _junctions(part)
    elif whole.parts:
        yield from _junctions(min(whole.parts, key=lambda branch: _need(branch, Spread.USUAL)))
