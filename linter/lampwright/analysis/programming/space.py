"""Formulas over the states of a vehicle, as its decoder sees them, within one allowance of steps.

Knows that a decoder which is told to run the other way takes the vehicle's forward for its own reverse.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final, TypeVar

from lampwright.analysis.logic.decision import FALSE, TRUE, Diagram, Formula, OutOfStepsError
from lampwright.analysis.logic.entries import EntryFact, entry_facts
from lampwright.analysis.logic.questions import VARIABLES, Questions, diagram_of_states
from lampwright.model.keys import HIGHEST_KEY, AllOf, AnyOf, Condition, Entry, Key, Literal

# The plans of a club take up to 200 steps. At 5 to 15 microseconds a step (measured, with what is done between them) a
# hopeless plan ends within a second.
STEPS: Final = 50_000

_FORWARD = VARIABLES.index("forward")

T = TypeVar("T")


class Space:
    """Makes formulas and compares them. Most methods raise OutOfStepsError once the allowance is used up."""

    def __init__(self, *, reversed_: bool) -> None:
        self._diagram: Diagram = diagram_of_states()
        self._diagram.begin(STEPS)
        self._questions = Questions(self._diagram)
        self.is_reversed = reversed_
        self._own: dict[Condition, Formula] = {}

    def step(self) -> None:
        """Take a step without a formula, so that going through many choices ends like all else."""
        self._diagram.step()

    def facts(self, keys: Iterable[Key], always: Iterable[Entry] = ()) -> tuple[EntryFact, ...]:
        """When each entry of a plan holds."""
        return self._asked(lambda: entry_facts(keys, always, self._questions))

    def own_facts(self, keys: Iterable[Key]) -> tuple[EntryFact, ...]:
        """When each entry that is fixed in the decoder holds, by the decoder's own directions."""
        return tuple(
            EntryFact(fact.entry, fact.key, fact.outputs, self._own_formula(fact), None) for fact in self.facts(keys)
        )

    def _own_formula(self, fact: EntryFact) -> Formula | None:
        if fact.key is None or fact.entry.condition is None or not fact.is_readable:
            return None
        return self.own(AllOf((Literal(fact.key.name, positive=True), fact.entry.condition)))

    def own(self, condition: Condition) -> Formula:
        """A condition that the decoder knows, by its own directions."""
        # The registers of all outputs know the same few.
        formula = self._own.get(condition)
        if formula is None:
            seen = turned_round(condition) if self.is_reversed else condition
            formula = self._asked(lambda: self._questions.formula(seen))
            if formula is None:
                raise OutOfStepsError
            self._own[condition] = formula
        return formula

    def counted(self, question: Callable[[], T]) -> tuple[T, int]:
        """The answer to a question, and the steps that it takes whatever was asked before."""
        left = self._diagram.steps_left
        self._diagram.begin(left)
        answer = question()
        taken = left - self._diagram.steps_left
        self._diagram.begin(left - taken)
        return answer, taken

    def spend(self, steps: int) -> None:
        """Take the steps of a question whose answer is known."""
        self._diagram.step(steps)
        self._diagram.begin(self._diagram.steps_left)

    def _asked(self, question: Callable[[], T]) -> T:
        """The answer to a question of another series, which takes nothing from this allowance."""
        left = self._diagram.steps_left
        answer = question()
        self._diagram.begin(left)
        return answer

    def key(self, number: int) -> Formula:
        """True while a key is on."""
        return self._diagram.variable(number)

    def direction(self, *, forward: bool) -> Formula:
        """True while the decoder faces that way by its own directions."""
        variable = self._diagram.variable(_FORWARD)
        return variable if forward != self.is_reversed else self.opposite(variable)

    def opposite(self, formula: Formula) -> Formula:
        """True exactly when `formula` is not."""
        return self._diagram.negation(formula)

    def both(self, *formulas: Formula) -> Formula:
        """True when each is."""
        return self._diagram.conjunction(formulas)

    def any_of(self, formulas: Iterable[Formula]) -> Formula:
        """True when at least one is."""
        return self._diagram.disjunction(formulas)

    def implies(self, one: Formula, other: Formula) -> bool:
        """Whether `other` holds wherever `one` does."""
        return self.both(one, self.opposite(other)) == FALSE

    def keys_of(self, *formulas: Formula) -> list[int]:
        """The keys on which any of `formulas` depends, in order."""
        support = 0
        for formula in formulas:
            support |= self._diagram.support(formula)
        return [number for number in range(HIGHEST_KEY + 1) if support >> number & 1]


def turned_round(condition: Condition) -> Condition:
    """`condition` with forward for reverse and the other way round."""
    if isinstance(condition, Literal):
        return Literal(condition.variable, condition.positive != (condition.variable == "forward"))
    parts = tuple(turned_round(part) for part in condition.parts)
    return AllOf(parts) if isinstance(condition, AllOf) else AnyOf(parts)


__all__ = ["FALSE", "TRUE", "Formula", "Space", "turned_round"]
