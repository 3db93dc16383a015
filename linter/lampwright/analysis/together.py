"""What all outputs carry together: in the worst state that the keys can reach, else in the sum of all of them."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from math import inf

from lampwright.analysis.electrical import ElectricalFacts
from lampwright.analysis.electrical.facts import Basis, OutputFacts, Range, Undetermined
from lampwright.analysis.electrical.supply import measured_common
from lampwright.analysis.electrical.weakness import WeakFact
from lampwright.analysis.logic import LogicFacts, WorstState
from lampwright.analysis.logic.questions import State
from lampwright.records import dataclass, replace


@dataclass(frozen=True, slots=True)
class Together:
    """The outputs that draw most together, and the amperes of all of them, through the common lead where there is one.

    `state` is one in which they are on; None where the keys could not be followed, and the outputs are simply all.
    `at_most` are hot amperes that no state exceeds: more than `current` only where outputs share a common lead.
    `without` are the outputs of which nothing is known: with them it may be more. `basis` is what was measured of it.
    """

    state: State | None
    outputs: tuple[str, ...]
    current: Range
    at_most: float
    weak: tuple[WeakFact, ...]
    without: tuple[Undetermined, ...]
    basis: Basis | None = None


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
        found = _together(facts, {name: known[name] for name in on})
        if isinstance(found, Undetermined):
            return found
        current, weak, basis = found
        candidates.append(Together(state, on, current, current.highest, weak, without, basis))
    most = max(candidates, key=lambda each: each.current.highest)
    alone = sum(known[name].current.highest for name in candidates[0].outputs)
    at_most = min(alone, _most_as_read(facts, known))
    return replace(most, at_most=max(most.current.highest, at_most) if states else most.current.highest)


def _is_read(facts: ElectricalFacts, logic: LogicFacts) -> bool:
    return facts.plan.keys_are_complete and all(fact.is_readable for fact in logic.entries)


def _states(
    logic: LogicFacts, known: Mapping[str, OutputFacts], facts: ElectricalFacts
) -> list[tuple[State | None, tuple[str, ...]]] | None:
    """The heaviest state, and where outputs are coupled the heaviest one with each of them; None if undecided."""
    alone = {name: _finite(found.current.highest) for name, found in known.items()}
    ahead = sum(alone.values()) + 1.0
    favoured = [{**alone, name: ahead} for name in known] if _has_lead(facts) or facts.lead is not None else []
    if facts.lead is not None:
        favoured.append({name: ahead if name in facts.lead.on else alone[name] for name in known})
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


def _together(
    facts: ElectricalFacts, on: Mapping[str, OutputFacts]
) -> tuple[Range, tuple[WeakFact, ...], Basis | None] | Undetermined:
    """The amperes of the outputs `on` together, the weak figures in them, and what was measured of them."""
    weak = tuple(dict.fromkeys(fact for found in on.values() for fact in found.weak))
    if on and (_has_lead(facts) or facts.lead is not None):
        shared = facts.shared(tuple(on))
        if isinstance(shared, Undetermined):
            return shared
        if _has_lead(facts) or isinstance(shared.basis, str):
            return shared.current, shared.weak if shared.basis == "lead" else weak, shared.basis
    ranges = [found.current for found in on.values()]
    summed = Range(*(sum(getattr(each, end) for each in ranges) for end in ("lowest", "usual", "highest")))
    return summed, weak, measured_common(facts.plan)


def _most_as_read(facts: ElectricalFacts, known: Mapping[str, OutputFacts]) -> float:
    """Hot amperes that no state exceeds by what was measured in the lead, with all on that was off then."""
    lead = facts.lead
    if lead is None or lead.current is None:
        return inf
    return lead.current.highest + sum(found.current.highest for name, found in known.items() if name not in lead.on)


def _finite(current: float) -> float:
    # A short circuit is more than anything else, and a number that can be added.
    return current if current < inf else 1e6
