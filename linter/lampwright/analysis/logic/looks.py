"""How an output burns in which states: the effect and the rate that holding entries name, else those of the output.

Where two entries are at odds both of their wishes are in force; that is a mistake of its own.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from enum import Enum
from typing import Generic, TypeVar

from lampwright.analysis.logic.decision import FALSE, TRUE, Formula
from lampwright.analysis.logic.entries import EntryFact, any_of
from lampwright.analysis.logic.questions import UNDECIDED, Questions, State
from lampwright.model.keys import Look
from lampwright.model.values import Figure, Name
from lampwright.records import dataclass

T = TypeVar("T")


class Lack(Enum):
    """Why nothing can be told of a look."""

    UNREADABLE = "something that matters was dropped with a problem"
    TIME = "it would take too long"


@dataclass(frozen=True, slots=True)
class Wish(Generic[T]):
    """One value of a property of the look, and the states in which it is in force.

    `value` is None where nobody names one, `fact` is None where it is no entry that does.
    """

    value: T | None
    fact: EntryFact | None
    formula: Formula


@dataclass(frozen=True, slots=True)
class OutputLooks:
    """All that an output can look like. The wishes for each property fill the states in which it is on, and no others.

    An output that no entry names counts as on in every state, so that its own look can be judged; `is_named` tells.
    """

    output: str
    is_named: bool
    effects: tuple[Wish[Name], ...]
    rates: tuple[Wish[Figure], ...]


@dataclass(frozen=True, slots=True)
class Shown:
    """An effect and a stated rate that are in force together; in `state`, None where no entry names the output."""

    effect: Wish[Name]
    rate: Wish[Figure]
    state: State | None


def output_looks(output: str, own: Look, entries: Iterable[EntryFact], questions: Questions) -> OutputLooks | Lack:
    """The looks of `output`, whose own look is `own` and which the readable entries `entries` name."""
    facts = [fact for fact in entries if fact.is_possible is not False]
    if not own.is_readable or not all(fact.entry.look.is_readable for fact in facts):
        return Lack.UNREADABLE
    lit = any_of(facts, questions) if facts else TRUE
    if lit is None:
        return Lack.TIME
    effects = _wishes(own.effect, [(fact.entry.look.effect, fact) for fact in facts], lit, questions)
    rates = _wishes(own.rate, [(fact.entry.look.rate, fact) for fact in facts], lit, questions)
    return Lack.TIME if effects is None or rates is None else OutputLooks(output, bool(facts), effects, rates)


def shown(looks: OutputLooks | Lack, questions: Questions) -> Iterator[Shown | Lack]:
    """Each effect with each stated rate that it has in some state."""
    if isinstance(looks, Lack):
        yield looks
        return
    stated = [rate for rate in looks.rates if rate.value is not None]
    for rate, effect in ((rate, effect) for rate in stated for effect in looks.effects):
        in_time = questions.is_worth_another()
        state = questions.witness(rate.formula, effect.formula) if in_time else UNDECIDED
        if isinstance(state, State):
            yield Shown(effect, rate, state if looks.is_named else None)
        elif state is not None:
            yield Lack.TIME
            return


def _wishes(
    own: T | None, named: Iterable[tuple[T | None, EntryFact]], lit: Formula, questions: Questions
) -> tuple[Wish[T], ...] | None:
    """What is wished for by each entry that names a value, and otherwise; None if undecided."""
    wishes = [
        Wish(value, fact, fact.formula) for value, fact in named if value is not None and fact.formula is not None
    ]
    otherwise = questions.without(lit, [wish.formula for wish in wishes])
    if otherwise is None:
        return None
    return (*wishes, Wish(own, None, otherwise)) if otherwise != FALSE else tuple(wishes)
