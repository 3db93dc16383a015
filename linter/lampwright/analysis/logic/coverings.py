"""Entries that change nothing because another one says all that they say: which, by which other one, as in which state.

Asks for no circuits and no decoder: two entries are compared by what they turn on, when, and how it is to look.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator

from lampwright.analysis.logic.entries import EntryFact
from lampwright.analysis.logic.questions import Questions, State
from lampwright.model.keys import LOOK_PROPERTIES, Look, wish_value
from lampwright.records import dataclass


@dataclass(frozen=True, slots=True)
class Covering:
    """`covered` could be taken out: in every state in which it holds, `covering` asks for the same and maybe more.

    `state` is the plainest one of these. `covering` itself is covered by no other entry.
    """

    covered: EntryFact
    covering: EntryFact
    state: State

    @property
    def later(self) -> EntryFact:
        """The one that stands behind the other in the text."""
        return max(self.covered, self.covering, key=_place)


@dataclass(frozen=True, slots=True)
class Coverings:
    """All entries that are covered, in the order of the text; of two that say the same the later one.

    `undecided` are those of which it could be neither found nor ruled out.
    """

    found: tuple[Covering, ...]
    undecided: tuple[EntryFact, ...]


def coverings(entries: Iterable[EntryFact], questions: Questions) -> Coverings:
    """The coverings among `entries`, which come in the order of the text.

    Entries that are not readable, or that never hold, neither cover nor are covered: they are mistakes of their own.
    """
    compared = [fact for fact in entries if fact.is_readable and fact.is_possible is not False]
    search = _Search(compared, questions)
    answers = [(fact, search.covering(fact)) for fact in compared if fact.entry.look.is_readable and fact.outputs]
    above = {id(fact): answer for fact, answer in answers if isinstance(answer, EntryFact)}
    found = []
    undecided = [fact for fact, answer in answers if answer is None]
    for fact, answer in answers:
        if isinstance(answer, EntryFact) and fact.formula is not None:
            state = questions.witness(fact.formula)
            if isinstance(state, State):
                found.append(Covering(fact, _topmost(answer, above), state))
            else:
                undecided.append(fact)
    return Coverings(tuple(found), tuple(sorted(undecided, key=_place)))


def _topmost(fact: EntryFact, above: dict[int, EntryFact]) -> EntryFact:
    """What covers `fact` in the end. That ends, as each step is to one that says more, or the same earlier."""
    while id(fact) in above:
        fact = above[id(fact)]
    return fact


def _place(fact: EntryFact) -> int:
    return fact.entry.span.start


class _Search:
    def __init__(self, entries: Iterable[EntryFact], questions: Questions) -> None:
        self._questions = questions
        self._by_output: dict[str, list[EntryFact]] = defaultdict(list)
        for fact in entries:
            for output in fact.outputs:
                self._by_output[output].append(fact)

    def covering(self, fact: EntryFact) -> EntryFact | bool | None:
        """The first entry that covers `fact`, False if none does, None if undecided."""
        is_decided = True
        for other in self._others(fact):
            answer = self._covers(other, fact)
            if answer:
                return other
            is_decided = is_decided and answer is not None
        return False if is_decided and self._questions.is_worth_another() else None

    def _others(self, fact: EntryFact) -> Iterator[EntryFact]:
        """Those of the entries of the same outputs that there is time to look at."""
        for other in self._by_output[fact.outputs[0]]:
            if not self._questions.is_worth_another():
                return
            if other is not fact and says_all_of(other, fact):
                yield other

    def _covers(self, other: EntryFact, fact: EntryFact) -> bool | None:
        """Whether `other` says all that `fact` says, and either more, or the same before it."""
        if other.formula is None or fact.formula is None:
            return None
        holds = self._questions.implies(fact.formula, other.formula)
        if not holds or _place(other) < _place(fact) or not says_all_of(fact, other):
            return holds
        is_same = self._questions.implies(other.formula, fact.formula)
        return None if is_same is None else not is_same


def says_all_of(one: EntryFact, other: EntryFact) -> bool:
    """Whether `one` names every output that `other` does, and all of its look, whenever both hold."""
    return set(one.outputs) >= set(other.outputs) and _named(one.entry.look) >= _named(other.entry.look)


def _named(look: Look) -> set[tuple[str, object]]:
    wishes = ((name, getattr(look, name)) for name in LOOK_PROPERTIES)
    return {(name, wish_value(wish)) for name, wish in wishes if wish is not None}
