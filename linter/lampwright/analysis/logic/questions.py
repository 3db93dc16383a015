"""Conditions over keys, direction and motion become formulas, questions about formulas become states of the vehicle.

Exact, or UNDECIDED where an answer would take too many steps. Knows no outputs and no plan.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from enum import Enum
from functools import lru_cache
from typing import Final, NamedTuple, TypeVar

from lampwright.analysis.logic.decision import Diagram, Formula, OutOfStepsError
from lampwright.analysis.logic.products import irredundant, pieces
from lampwright.analysis.logic.worst_state import Weighed, heaviest
from lampwright.model.keys import HIGHEST_KEY, AllOf, Condition, Literal
from lampwright.records import dataclass

# A usual plan takes under twenty steps a question. At 2 to 5 microseconds a step (measured) a hopeless question ends
# after some 40 ms, and a whole series, such as all conflicts of one kind in one plan, after some 0.2 s.
STEPS_PER_QUESTION: Final = 10_000
STEPS_PER_SERIES: Final = 50_000

VARIABLES: Final = (*(f"F{number}" for number in range(HIGHEST_KEY + 1)), "forward", "moving")

# The state that is named is the one with the fewest keys on, then forward, then stopped: what differs from standing
# forward with all keys off has a price, and one key costs more than direction and motion together.
_PRICES: Final = (*((0, 4) for _ in range(HIGHEST_KEY + 1)), (2, 0), (0, 1))
_NUMBERS: Final = {name: number for number, name in enumerate(VARIABLES)}

T = TypeVar("T")

Product = tuple[Literal, ...]
"""A condition that holds when each of these does: keys by their numbers, then direction, then motion."""


class Answer(Enum):
    """What is neither a state nor the certainty that there is none."""

    UNDECIDED = "undecided"


UNDECIDED: Final = Answer.UNDECIDED


@dataclass(frozen=True, slots=True)
class State:
    """A state of the vehicle: the keys that are on, in the order of their numbers, where it faces, whether it moves."""

    keys: tuple[str, ...]
    forward: bool
    moving: bool


def diagram_of_states() -> Diagram:
    """An empty diagram whose variables are VARIABLES."""
    return Diagram(_PRICES)


class Questions:
    """A series of questions that share one allowance of steps. Their answers depend on nothing that others asked."""

    def __init__(self, diagram: Diagram) -> None:
        self._diagram = diagram
        self._steps_left = STEPS_PER_SERIES

    def formula(self, condition: Condition, key: str | None = None) -> Formula | None:
        """What `condition` says while `key` is on; None if undecided."""
        parts = (condition,) if key is None else (Literal(key, positive=True), condition)
        return self._decided(lambda: self._formula(AllOf(parts)))

    def formulas(self, asked: tuple[tuple[Condition, str | None], ...]) -> Sequence[Formula | None]:
        """The formula of each of `asked`, a condition and its key."""
        is_first = self._diagram.is_empty and self._steps_left == STEPS_PER_SERIES
        if not is_first or not all(_is_flat(condition) for condition, _ in asked):
            return [self.formula(*each) for each in asked]
        known = _first_formulas(asked)
        self._diagram.take_over(known.diagram)
        self._steps_left = known.steps_left
        return known.formulas

    def any_of(self, formulas: Iterable[Formula]) -> Formula | None:
        """True when at least one of `formulas` is; None if undecided."""
        return self._decided(lambda: self._diagram.disjunction(formulas))

    def without(self, formula: Formula, others: Iterable[Formula]) -> Formula | None:
        """True when `formula` is and none of `others`; None if undecided."""
        negation = self._diagram.negation
        return self._decided(lambda: self._diagram.conjunction([formula, *map(negation, others)]))

    def witness(self, *formulas: Formula) -> State | Answer | None:
        """The plainest state in which all `formulas` hold, None if there is none.

        That is the one with the fewest keys on, then forward, then stopped, then with the lowest key numbers.
        """
        paid = self._ask(lambda: self._diagram.cheapest(formulas))
        return _state(paid) if isinstance(paid, tuple) else paid

    def implies(self, one: Formula, other: Formula) -> bool | None:
        """Whether `other` holds in every state in which `one` does; None if undecided."""
        exception = self.witness(one, self._diagram.negation(other))
        return None if exception is UNDECIDED else exception is None

    def heaviest(self, loads: Iterable[tuple[Formula, int]], weighed: Weighed | None = None) -> State | Answer:
        """The state with the largest sum of the weights of the formulas that hold; of several the plainest.

        `weighed` is what other series about the same formulas have found.
        """
        paid = self._ask(lambda: heaviest(self._diagram, loads, weighed))
        return _state(paid) if isinstance(paid, tuple) else paid

    def pieces(self, formula: Formula, marks: Sequence[Formula]) -> list[tuple[tuple[int, ...], Formula]] | None:
        """`formula` cut up by `marks`: which of them hold, by number, and in which states; None if undecided."""
        return self._decided(lambda: pieces(self._diagram, formula, marks))

    def products(self, formula: Formula) -> tuple[Product, ...] | None:
        """Conditions one of which holds exactly when `formula` does; None if undecided.

        None of them could be left out, and no part of any. What always holds is `((),)`, what never does is `()`.
        """
        products = self._decided(lambda: irredundant(self._diagram, formula))
        return None if products is None else tuple(map(_in_words, products))

    def holds(self, formula: Formula, state: State) -> bool:
        """Whether `formula` is true in `state`."""
        return self._diagram.holds(formula, _paid(state))

    def is_worth_another(self) -> bool:
        """Whether the series may go on. Counts as a step, so that going through many pairs ends like all else."""
        self._steps_left -= 1
        return self._steps_left >= 0

    def _decided(self, question: Callable[[], T]) -> T | None:
        answer = self._ask(question)
        return None if isinstance(answer, Answer) else answer

    def _ask(self, question: Callable[[], T]) -> T | Answer:
        allowance = max(0, min(STEPS_PER_QUESTION, self._steps_left))
        self._diagram.begin(allowance)
        try:
            return question()
        except OutOfStepsError:
            return UNDECIDED
        finally:
            self._steps_left -= allowance - self._diagram.steps_left

    def _formula(self, condition: Condition) -> Formula:
        if isinstance(condition, Literal):
            variable = self._diagram.variable(_NUMBERS[condition.variable])
            return variable if condition.positive else self._diagram.negation(variable)
        self._diagram.step()
        parts = (self._formula(part) for part in condition.parts)
        return self._diagram.conjunction(parts) if isinstance(condition, AllOf) else self._diagram.disjunction(parts)


def _is_flat(condition: Condition) -> bool:
    """Whether nothing is nested in it, as in most. What is nested may share its parts, and go on without measure."""
    return isinstance(condition, Literal) or all(isinstance(part, Literal) for part in condition.parts)


class _Known(NamedTuple):
    """What conditions became, in which diagram, which nobody changes; `steps_left` are those of their series."""

    diagram: Diagram
    formulas: tuple[Formula | None, ...]
    steps_left: int


# All facts about a plan begin with the same conditions, which plans of one class share, and who types seldom changes.
@lru_cache(maxsize=64)
def _first_formulas(asked: tuple[tuple[Condition, str | None], ...]) -> _Known:
    diagram = diagram_of_states()
    questions = Questions(diagram)
    formulas = tuple([questions.formula(*each) for each in asked])
    return _Known(diagram, formulas, questions._steps_left)


def _in_words(product: Iterable[tuple[int, bool]]) -> Product:
    return tuple(Literal(VARIABLES[number], positive) for number, positive in product)


def _state(paid: tuple[int, ...]) -> State:
    names = {VARIABLES[number] for number in paid}
    keys = tuple(VARIABLES[number] for number in paid if number <= HIGHEST_KEY)
    return State(keys, forward="forward" not in names, moving="moving" in names)


# Who asks in one state asks for many formulas.
@lru_cache(maxsize=16)
def _paid(state: State) -> frozenset[int]:
    names = [*state.keys, *([] if state.forward else ["forward"]), *(["moving"] if state.moving else [])]
    return frozenset(_NUMBERS[name] for name in names)
