"""What all outputs carry together: in the worst state that the keys can reach, else in the sum of all of them."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from math import inf

from lampwright.analysis.electrical import ElectricalFacts, common_facts
from lampwright.analysis.electrical.facts import OutputFacts, Range, Undetermined
from lampwright.analysis.electrical.weakness import WeakFact
from lampwright.analysis.logic import LogicFacts, WorstState
from lampwright.analysis.logic.questions import State
from lampwright.records import dataclass, replace


@dataclass(frozen=True, slots=True)
class Together:
    """The outputs that draw most together, and the amperes of all of them, through the common lead where there is one.

    `state` is one in which they are on; None where the keys could not be followed, and the outputs are simply all.
    `at_most` are hot amperes that no state exceeds: more than `current` only where outputs share a common lead.
    `without` are the outputs of which nothing is known: with them it may be more.
    """

    state: State | None
    outputs: tuple[str, ...]
    current: Range
    at_most: float
    weak: tuple[WeakFact, ...]
    without: tuple[Undetermined, ...]


def worst_together(
    facts: ElectricalFacts, logic: LogicFacts, names: Collection[str] | None = None
) -> Together | Undetermined:
    """What the outputs `names`, or all of them, draw together in the worst state.

    That is the one with the highest sum of what its outputs draw alone. Behind a common lead each takes from the
    others, so that another state may draw more; there the heaviest state with each output in it is looked at, too.
    """
    asked = {name: facts.outputs[name] for name in facts.outputs if names is None or name in names}
    known = {name: found for name, found in asked.items() if isinstance(found, OutputFacts)}
    without = tuple(found for found in asked.values() if isinstance(found, Undetermined))
    if without and not known:
        return without[0]
    states = _states(logic, known, facts) if _is_read(facts, logic) else None
    candidates: list[Together] = []
    for state, on in states or [(None, tuple(known))]:
        current = _current(facts, {name: known[name] for name in on})
        if isinstance(current, Undetermined):
            return current
        weak = tuple(dict.fromkeys(fact for name in on for fact in known[name].weak))
        candidates.append(Together(state, on, current, current.highest, weak, without))
    most = max(candidates, key=lambda each: each.current.highest)
    alone = sum(known[name].current.highest for name in candidates[0].outputs)
    return replace(most, at_most=max(most.current.highest, alone) if states else most.current.highest)


def _is_read(facts: ElectricalFacts, logic: LogicFacts) -> bool:
    return facts.plan.keys_are_complete and all(fact.is_readable for fact in logic.entries)


def _states(
    logic: LogicFacts, known: Mapping[str, OutputFacts], facts: ElectricalFacts
) -> list[tuple[State | None, tuple[str, ...]]] | None:
    """The heaviest state, and where outputs are coupled the heaviest one with each of them; None if undecided."""
    alone = {name: _finite(found.current.highest) for name, found in known.items()}
    ahead = sum(alone.values()) + 1.0
    favoured = [{**alone, name: ahead} for name in known] if _has_lead(facts) else []
    found: dict[tuple[str, ...], State] = {}
    for currents in (alone, *favoured):
        worst = logic.worst_state(currents)
        if not isinstance(worst, WorstState):
            return None
        found.setdefault(worst.outputs, worst.state)
    return [(state, outputs) for outputs, state in found.items()]


def _has_lead(facts: ElectricalFacts) -> bool:
    lead = facts.plan.common_circuit
    return lead is not None and bool(lead.elements)


def _current(facts: ElectricalFacts, on: Mapping[str, OutputFacts]) -> Range | Undetermined:
    if _has_lead(facts) and on:
        shared = common_facts(facts.plan, on)
        return shared if isinstance(shared, Undetermined) else shared.current
    ranges = [found.current for found in on.values()]
    return Range(*(sum(getattr(each, end) for each in ranges) for end in ("lowest", "usual", "highest")))


def _finite(current: float) -> float:
    # A short circuit is more than anything else, and a number that can be added.
    return current if current < inf else 1e6
