"""What all outputs carry together: in the worst state that the keys can reach, else in the sum of all of them."""

from __future__ import annotations

from collections.abc import Mapping
from math import inf

from lampwright.analysis.electrical import ElectricalFacts, common_facts
from lampwright.analysis.electrical.facts import OutputFacts, Range, Undetermined, WeakFact
from lampwright.analysis.logic import LogicFacts, WorstState
from lampwright.analysis.logic.questions import State
from lampwright.records import dataclass


@dataclass(frozen=True, slots=True)
class Together:
    """The outputs that draw most together, and the amperes of all of them, through the common lead where there is one.

    `state` is one in which they are on; None where the keys could not be followed, and the outputs are simply all.
    `without` are the outputs of which nothing is known: with them it may be more.
    """

    state: State | None
    outputs: tuple[str, ...]
    current: Range
    weak: tuple[WeakFact, ...]
    without: tuple[Undetermined, ...]


def worst_together(facts: ElectricalFacts, logic: LogicFacts) -> Together | Undetermined:
    """The state is the one with the highest sum of what its outputs draw alone.

    A common lead takes from each what the others draw, but never so much that more outputs draw less together.
    """
    known = {name: found for name, found in facts.outputs.items() if isinstance(found, OutputFacts)}
    without = tuple(found for found in facts.outputs.values() if isinstance(found, Undetermined))
    if without and not known:
        return without[0]
    worst = logic.worst_state({name: _finite(found.current.highest) for name, found in known.items()})
    is_read = facts.plan.keys_are_complete and all(fact.is_readable for fact in logic.entries)
    is_decided = isinstance(worst, WorstState) and is_read
    names = worst.outputs if isinstance(worst, WorstState) and is_decided else tuple(known)
    on = {name: known[name] for name in names}
    current = _current(facts, on)
    if isinstance(current, Undetermined):
        return current
    weak = tuple(dict.fromkeys(fact for found in on.values() for fact in found.weak))
    return Together(
        worst.state if isinstance(worst, WorstState) and is_decided else None, names, current, weak, without
    )


def _current(facts: ElectricalFacts, on: Mapping[str, OutputFacts]) -> Range | Undetermined:
    lead = facts.plan.common_circuit
    if lead is not None and lead.elements and on:
        shared = common_facts(facts.plan, on)
        return shared if isinstance(shared, Undetermined) else shared.current
    ranges = [found.current for found in on.values()]
    return Range(*(sum(getattr(each, end) for each in ranges) for end in ("lowest", "usual", "highest")))


def _finite(current: float) -> float:
    # A short circuit is more than anything else, and a number that can be added.
    return current if current < inf else 1e6
