"""Whether another resistor makes anything worse on an output. Knows no words.

In a large circuit that takes most of the time of a search. So only those figures are asked for that can be worse:
where a resistance grows, no more flows through what is on its way, and no less through what is in branches beside it.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import NamedTuple

from lampwright.analysis.electrical.facts import OutputFacts
from lampwright.analysis.electrical.law import Spread
from lampwright.analysis.resistors.rewiring import Gap, Slot, beside
from lampwright.model.circuit import Chain, Element, Parallel, Resistor, leaves
from lampwright.model.settings import Margins
from lampwright.rule.dimness import is_dim, underlit
from lampwright.rule.limits import excess_of, excess_of_output, overdone
from lampwright.text import Span

_NOBODY: frozenset[int] = frozenset()


class Change(NamedTuple):
    """`new` is put into the `slot` of an output, of which `before` are the facts without it."""

    before: OutputFacts
    slot: Slot
    new: Element

    @property
    def place(self) -> Span:
        """Where the new resistor stands, or the chain that it is put into."""
        return self.slot.chain.span if isinstance(self.slot, Gap) else self.slot.span


def is_no_worse(change: Change, after: OutputFacts, margins: Margins) -> bool:
    """Whether nothing has too much, and no lamp is dim, that was not so before; but for the new resistor."""
    if overdoes_more(change, after, margins):
        return False
    dim, (_, more) = underlit(change.before), _sides(change)
    return not any(is_dim(each) for each in after.elements if each.span not in dim and id(each.element) not in more)


def overdoes_more(change: Change, after: OutputFacts, margins: Margins) -> bool:
    """Whether anything but the new resistor has too much that had not before."""
    known, (less, _) = overdone(change.before, margins) | {change.place}, _sides(change)
    if after.output.span not in known and excess_of_output(after, margins):
        return True
    judged = (each for each in after.elements if each.span not in known and id(each.element) not in less)
    return any(excess_of(each, margins) for each in judged)


def _sides(change: Change) -> tuple[Collection[int], Collection[int]]:
    """The elements that get no more than before, and those that get no less, by their identities."""
    circuit = change.before.output.circuit
    if circuit is None or not _is_larger(change):
        return _NOBODY, _NOBODY
    numbers = [id(element) for element in leaves(circuit)]
    more = frozenset(id(element) for element in beside(circuit, change.slot) or ())
    everybody = frozenset(numbers)
    # One that is written in two places may be on both sides.
    return (everybody - more, more) if len(everybody) == len(numbers) else (_NOBODY, _NOBODY)


def _is_larger(change: Change) -> bool:
    """Whether the resistance in the slot gets larger, or stays, at both ends of its spread and usually."""
    if isinstance(change.slot, Gap):
        return True
    old = change.slot.resistance
    return all(_ohms(change.new, spread) >= spread.of(old) for spread in Spread)


def _ohms(element: Element, spread: Spread) -> float:
    match element:
        case Resistor(resistance=resistance):
            return spread.of(resistance)
        case Chain(elements=parts):
            return sum([_ohms(part, spread) for part in parts])
        case Parallel(branches=branches):
            ohms = [_ohms(branch, spread) for branch in branches]
            return 1 / sum([1 / each for each in ohms]) if all(ohms) else 0.0
    raise TypeError(f"no resistance of {element!r}")
