"""What the keys of a plan can do: which entries can hold, which contradict each other, when an output is on.

Every answer comes with a state of the vehicle, or is undecided where it would take too long. Knows no circuits.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from lampwright.analysis.conflicts import Conflicts, conflicts
from lampwright.analysis.decision import FALSE, Formula
from lampwright.analysis.entries import EntryFact, entry_facts
from lampwright.analysis.questions import UNDECIDED, Answer, Questions, State, diagram_of_states
from lampwright.model.lighting import LightingPlan


@dataclass(frozen=True, slots=True)
class WorstState:
    """A state that draws most, which outputs are on in it, in the order they were given, and their sum in amperes."""

    state: State
    outputs: tuple[str, ...]
    current: float


def logic_facts(plan: LightingPlan) -> LogicFacts:
    """What can be told about the keys of `plan`. Each kind of fact is computed when it is first asked for."""
    return LogicFacts(plan)


class LogicFacts:
    """The facts about one plan. What is undecided depends neither on which of them are asked for nor in which order."""

    def __init__(self, plan: LightingPlan) -> None:
        self._plan = plan
        self._diagram = diagram_of_states()

    @cached_property
    def entries(self) -> tuple[EntryFact, ...]:
        """Each entry of each key and of `always`, in the order of the text."""
        return entry_facts(self._plan.keys.values(), self._plan.always, self.questions())

    @cached_property
    def conflicts_of_one_key(self) -> Conflicts:
        """The conflicts of entries that stand under the same key."""
        return conflicts(self.entries, self.questions(), of_one_key=True)

    @cached_property
    def conflicts_between_keys(self) -> Conflicts:
        """The conflicts of entries of two keys, of a key and `always`, and within `always`."""
        return conflicts(self.entries, self.questions(), of_one_key=False)

    @cached_property
    def lit(self) -> Mapping[str, Formula | None]:
        """For each output that a readable entry names: when one of its entries turns it on, None if undecided.

        An entry that is not readable may turn it on in more states than these.
        """
        questions = self.questions()
        entries: dict[str, list[EntryFact]] = defaultdict(list)
        for fact in self.entries:
            for output in fact.outputs if fact.is_readable else ():
                entries[output].append(fact)
        return {output: _any_of(facts, questions) for output, facts in entries.items()}

    def worst_state(self, currents: Mapping[str, float]) -> WorstState | Answer:
        """The state in which the outputs that are on draw most together, each as many amperes as `currents` says."""
        lit = {output: formula for output in currents if (formula := self.lit.get(output, FALSE)) is not None}
        if len(lit) < len(currents):
            return UNDECIDED
        questions = self.questions()
        # In whole picoamperes, so that the order of adding cannot choose between states that draw the same.
        state = questions.heaviest((formula, round(currents[output] * 1e12)) for output, formula in lit.items())
        if isinstance(state, Answer):
            return state
        on = tuple(output for output, formula in lit.items() if questions.holds(formula, state))
        return WorstState(state, on, math.fsum(currents[output] for output in on))

    def questions(self) -> Questions:
        """A new series of questions about formulas of these facts, for who has more than one to ask."""
        return Questions(self._diagram)

    def witness(self, *formulas: Formula) -> State | Answer | None:
        """The plainest state in which all `formulas` hold, None if there is none."""
        return self.questions().witness(*formulas)

    def implies(self, one: Formula, other: Formula) -> bool | None:
        """Whether `other` holds in every state in which `one` does; None if undecided."""
        return self.questions().implies(one, other)


def _any_of(facts: Iterable[EntryFact], questions: Questions) -> Formula | None:
    formulas = [fact.formula for fact in facts]
    decided = [formula for formula in formulas if formula is not None]
    return questions.any_of(decided) if len(decided) == len(formulas) else None
