"""What the keys of a plan can do: which entries can hold, which contradict each other, when an output is on.

Every answer comes with a state of the vehicle, or is undecided where it would take too long. Knows no circuits.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence

from lampwright.analysis.logic.conflicts import Conflicts, conflicts
from lampwright.analysis.logic.coverings import Coverings, coverings
from lampwright.analysis.logic.decision import FALSE, TRUE, Formula
from lampwright.analysis.logic.directions import Directions, directions
from lampwright.analysis.logic.entries import EntryFact, any_of, entry_facts
from lampwright.analysis.logic.looks import Lack, OutputLooks, Shown, output_looks, shown
from lampwright.analysis.logic.momentary import MomentaryLight, momentary_lights
from lampwright.analysis.logic.pairs import Unpaired, partners_of, unpaired
from lampwright.analysis.logic.questions import UNDECIDED, Answer, Questions, State, diagram_of_states
from lampwright.analysis.logic.states import OutputStates, output_states
from lampwright.analysis.logic.worst_state import Weighed
from lampwright.lazily import cached_property
from lampwright.model.decoder import EffectSheet
from lampwright.model.keys import Look
from lampwright.model.lighting import LightingPlan
from lampwright.records import dataclass


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
        self._weighed: Weighed = {}

    def of_newer(self, plan: LightingPlan) -> LogicFacts:
        """These facts as those of `plan`, a newer text that says the same of all keys and looks: see `sameness`."""
        self._plan = plan
        return self

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
    def coverings(self) -> Coverings:
        """The entries that another one makes superfluous."""
        return coverings(self.entries, self.questions())

    @cached_property
    def entries_of(self) -> Mapping[str, tuple[EntryFact, ...]]:
        """For each output, the readable entries that name it, in the order of the text."""
        entries: dict[str, list[EntryFact]] = defaultdict(list)
        for fact in self.entries:
            for output in fact.outputs if fact.is_readable else ():
                entries[output].append(fact)
        return {output: tuple(facts) for output, facts in entries.items()}

    @cached_property
    def lit(self) -> Mapping[str, Formula | None]:
        """For each output that a readable entry names: when one of its entries turns it on, None if undecided.

        An entry that is not readable may turn it on in more states than these.
        """
        questions = self.questions()
        return {output: any_of(facts, questions) for output, facts in self.entries_of.items()}

    def is_told(self, output: str) -> bool:
        """Whether every entry that may turn `output` on could be read."""
        return self._plan.keys_are_complete and output not in self._doubtful

    def is_always_lit(self, output: str) -> bool | None:
        """Whether no state turns `output` off; None if undecided."""
        lit = self.lit.get(output, FALSE)
        return None if lit is None else lit == TRUE

    @cached_property
    def directions(self) -> Mapping[str, Directions]:
        """For each output that a readable entry names: in which states that faces each way it is on."""
        questions = self.questions()
        return {output: directions(lit, questions) for output, lit in self.lit.items()}

    @cached_property
    def looks(self) -> Mapping[str, OutputLooks | Lack]:
        """How each output that the plan has or that an entry names can look."""
        questions = self.questions()
        return {name: self._looks_of(name, questions) for name in self.stated_looks}

    @cached_property
    def stated_looks(self) -> Mapping[str, tuple[Look, ...]]:
        """For each of these outputs what itself and each readable entry that names it say of its look."""
        own = {name: (output.look,) for name, output in self._plan.outputs.items()}
        named = {name: tuple(fact.entry.look for fact in facts) for name, facts in self.entries_of.items()}
        return {name: own.get(name, ()) + named.get(name, ()) for name in dict.fromkeys((*own, *named))}

    @cached_property
    def shown(self) -> Mapping[str, tuple[Shown | Lack, ...]]:
        """For each of these outputs its effects with the stated rates that they have in some state."""
        questions = self.questions()
        return {name: tuple(shown(looks, questions)) for name, looks in self.looks.items()}

    @cached_property
    def states(self) -> Mapping[str, OutputStates | Lack]:
        """For each of these outputs the looks with which it burns and when, in as few conditions as say it exactly."""
        questions = self.questions()
        return {name: self._states_of(name, questions) for name in self.stated_looks}

    @cached_property
    def momentary_lights(self) -> tuple[MomentaryLight, ...]:
        """For each readable entry of a momentary key and each output of it, whether that burns steadily by it alone."""
        facts = [fact for fact in self.entries if fact.key is not None and fact.key.momentary and fact.is_readable]
        return momentary_lights(facts, self.entries_of, self.looks, self.questions())

    @cached_property
    def unpaired(self) -> Mapping[str, tuple[Unpaired | Lack, ...]]:
        """For each effect that is made for two outputs and asked for, what is wrong with that."""
        questions = self.questions()
        decoder = self._plan.decoder
        effects = decoder.effects if decoder is not None and decoder.effects is not None else {}
        users = self._users_of_effects()
        return {
            name: self._unpaired(effects[name], outputs, questions)
            for name, outputs in users.items()
            if name in effects and effects[name].is_for_pairs
        }

    def worst_state(self, currents: Mapping[str, float]) -> WorstState | Answer:
        """The state in which the outputs that are on draw most together, each as many amperes as `currents` says."""
        lit = {output: formula for output in currents if (formula := self.lit.get(output, FALSE)) is not None}
        if len(lit) < len(currents):
            return UNDECIDED
        questions = self.questions()
        # In whole picoamperes, so that the order of adding cannot choose between states that draw the same.
        loads = ((formula, round(currents[output] * 1e12)) for output, formula in lit.items())
        state = questions.heaviest(loads, self._weighed)
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

    @cached_property
    def _doubtful(self) -> frozenset[str]:
        return frozenset(output for fact in self.entries if not fact.is_readable for output in fact.outputs)

    def _looks_of(self, output: str, questions: Questions) -> OutputLooks | Lack:
        return output_looks(output, self._own_look(output), self.entries_of.get(output, ()), questions)

    def _states_of(self, output: str, questions: Questions) -> OutputStates | Lack:
        is_known = output in self._plan.outputs or self._plan.outputs_are_known
        if not is_known or not self.is_told(output):
            return Lack.UNREADABLE
        entries = self.entries_of.get(output, ())
        return output_states(output, self._own_look(output), entries, self._slowest_rates, questions)

    def _own_look(self, output: str) -> Look:
        defined = self._plan.outputs.get(output)
        return defined.look if defined is not None else Look()

    @cached_property
    def _slowest_rates(self) -> Mapping[str, float]:
        """The slowest rate of each effect, hertz, as far as the sheet tells."""
        decoder = self._plan.decoder
        effects = decoder.effects if decoder is not None and decoder.effects is not None else {}
        sheets = {name: sheet.rate for name, sheet in effects.items() if sheet.is_readable}
        return {name: rate.lowest for name, rate in sheets.items() if rate is not None}

    def _users_of_effects(self) -> dict[str, list[str]]:
        """For each effect the outputs that it is asked for."""
        users: dict[str, list[str]] = defaultdict(list)
        for output, looks in self.stated_looks.items():
            for effect in dict.fromkeys(look.effect.text for look in looks if look.effect is not None):
                users[effect].append(output)
        return users

    def _unpaired(
        self, effect: EffectSheet, outputs: Sequence[str], questions: Questions
    ) -> tuple[Unpaired | Lack, ...]:
        concerned = dict.fromkeys((*outputs, *partners_of(effect, outputs)))
        if not effect.is_readable or not self._plan.outputs_are_known or not all(map(self.is_told, concerned)):
            return (Lack.UNREADABLE,)
        looks = [self.looks[output] for output in concerned if output in self.looks]
        lacks = [each for each in looks if isinstance(each, Lack)]
        readable = [each for each in looks if isinstance(each, OutputLooks)]
        return tuple(lacks[:1]) or tuple(unpaired(effect, readable, questions))
