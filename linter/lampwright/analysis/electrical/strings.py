"""The forward voltages that add up on the way of each LED, by themselves: no current is computed here."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from lampwright.analysis.electrical.facts import Range
from lampwright.analysis.electrical.law import Spread, forward_voltage, is_junction
from lampwright.analysis.electrical.nests import Joint, Part
from lampwright.analysis.electrical.wiring import Fed, Leaf, Wiring
from lampwright.model.circuit import Led, lamp_kind


class StringNumbers(NamedTuple):
    """The forward voltages that one current has to overcome, added up, and the numbers of those that they belong to."""

    total: Range
    elements: tuple[int, ...]
    supply: Range
    is_at_rail: bool


def led_strings(wiring: Wiring) -> Iterator[StringNumbers]:
    """One for each chain in `wiring` with an LED of its own, outer chains first.

    Its total takes in what is in series outside the chain, and of each parallel on the way the branch that needs least.
    """
    for fed in wiring.fed:
        leaves = [wiring.leaves[place] for place in fed.places]
        yield from _Strings(leaves, fed).below(fed.network.nest, ())


class _Strings:
    def __init__(self, leaves: Sequence[Leaf], fed: Fed) -> None:
        self._leaves = leaves
        self._fed = fed

    def below(self, joint: Joint, outside: tuple[Part, ...]) -> Iterator[StringNumbers]:
        """The strings of `joint`; `outside` is in series with it."""
        if not joint.is_series:
            for part in joint.parts:
                yield from self.below(part if isinstance(part, Joint) else Joint(True, (part,)), outside)  # noqa: FBT003
            return
        if any(isinstance(part, int) and self._is_led(part) for part in joint.parts):
            yield self._string((*outside, *joint.parts))
        for number, part in enumerate(joint.parts):
            if isinstance(part, Joint):
                others = (*outside, *joint.parts[:number], *joint.parts[number + 1 :])
                yield from self.below(part, others)

    def _is_led(self, number: int) -> bool:
        return isinstance(lamp_kind(self._leaves[number].element), Led)

    def _string(self, in_series: Sequence[Part]) -> StringNumbers:
        total = Range(*[sum([self._need(part, spread) for part in in_series]) for spread in Spread])
        elements = tuple(self._fed.places[number] for part in in_series for number in self._junctions(part))
        return StringNumbers(total, elements, self._fed.supply.voltage, self._fed.is_at_rail)

    def _need(self, part: Part, spread: Spread) -> float:
        """The forward voltages in the way through `part`."""
        if isinstance(part, int):
            return forward_voltage(self._leaves[part].element, spread)
        needs = [self._need(each, spread) for each in part.parts]
        return sum(needs) if part.is_series else min(needs)

    def _junctions(self, part: Part) -> Iterator[int]:
        if isinstance(part, int):
            if is_junction(self._leaves[part].element):
                yield part
        elif part.is_series:
            for each in part.parts:
                yield from self._junctions(each)
        else:
            yield from self._junctions(min(part.parts, key=lambda branch: self._need(branch, Spread.USUAL)))
