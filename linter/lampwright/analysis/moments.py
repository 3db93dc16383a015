"""When to put a meter to an output: the plainest state of keys, direction and motion in which it is on, best alone.

Knows no circuits.
"""

from __future__ import annotations

from collections.abc import Sequence

from lampwright.analysis.logic import LogicFacts
from lampwright.analysis.logic.questions import State
from lampwright.analysis.logic.states import LitLook, LitStates, OutputStates
from lampwright.model.keys import STEADY
from lampwright.records import dataclass


@dataclass(frozen=True, slots=True)
class Moment:
    """A state in which an output is on, how it burns then, and which of the others that matter are on with it.

    `is_full` tells whether it burns steadily and at full brightness, so that a meter shows what flows.
    """

    state: State
    look: LitLook
    beside: tuple[str, ...]

    @property
    def is_full(self) -> bool:
        """Whether nothing is switched or dimmed meanwhile."""
        return is_full(self.look)


def is_full(look: LitLook) -> bool:
    """Whether that look is the whole current, all the time."""
    return look.effects == (STEADY,) and look.brightness == (1.0,)


def moment_of(output: str, logic: LogicFacts, others: Sequence[str] = ()) -> Moment | None:
    """The state to measure `output` in; None where no state turns it on, or nobody can tell.

    Full looks come before others, and of those the states in which none of `others` is on.
    """
    states = logic.states.get(output)
    if not isinstance(states, OutputStates):
        return None
    looks = sorted(states.lit, key=lambda each: (not is_full(each.look), each.look.is_at_odds))
    found = (_moment(each, logic, others) for each in looks)
    return next((each for each in found if each is not None), None)


def _moment(lit: LitStates, logic: LogicFacts, others: Sequence[str]) -> Moment | None:
    questions = logic.questions()
    known = {name: formula for name in others if (formula := logic.lit.get(name)) is not None}
    alone = questions.without(lit.formula, known.values())
    state = questions.witness(alone) if alone is not None else None
    if not isinstance(state, State):
        state = questions.witness(lit.formula)
    if not isinstance(state, State):
        return None
    beside = tuple(name for name, formula in known.items() if questions.holds(formula, state))
    return Moment(state, lit.look, beside)
