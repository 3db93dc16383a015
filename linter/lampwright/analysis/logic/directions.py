"""Which way the vehicle faces while an output is on. Knows no lamps, and not which way is right."""

from __future__ import annotations

from lampwright.analysis.logic.decision import Formula
from lampwright.analysis.logic.questions import UNDECIDED, Answer, Questions, State
from lampwright.model.keys import Literal
from lampwright.records import dataclass


@dataclass(frozen=True, slots=True)
class Directions:
    """The plainest states in which the output is on facing forward and in reverse; None where there is none."""

    forward: State | Answer | None
    reverse: State | Answer | None


def directions(lit: Formula | None, questions: Questions) -> Directions:
    """The directions of an output that is on while `lit`, which is None where that is undecided."""
    return Directions(_state(lit, questions, forward=True), _state(lit, questions, forward=False))


def _state(lit: Formula | None, questions: Questions, *, forward: bool) -> State | Answer | None:
    formula = questions.formula(Literal("forward", positive=forward))
    return UNDECIDED if lit is None or formula is None else questions.witness(lit, formula)
