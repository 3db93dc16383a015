"""Entries that hold in one state but name different looks for one output: which, for which outputs, in which state."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from lampwright.analysis.logic.entries import EntryFact
from lampwright.analysis.logic.questions import UNDECIDED, Answer, Questions, State
from lampwright.model.keys import LOOK_PROPERTIES, Look, LookProperty, wish_value
from lampwright.model.values import Figure, Name
from lampwright.records import dataclass

_ANY_LOOK = Look()


@dataclass(frozen=True, slots=True)
class Conflict:
    """Two entries, in the order of the text, that name different looks for the same outputs in `state`.

    `properties` are the fields of `Look` in which they differ.
    """

    earlier: EntryFact
    later: EntryFact
    outputs: tuple[str, ...]
    properties: tuple[LookProperty, ...]
    state: State


@dataclass(frozen=True, slots=True)
class Conflicts:
    """All conflicts that were found, by the place of the later entry and then of the earlier one.

    `undecided` are the entries of which some conflict with an earlier one could be neither found nor ruled out.
    """

    found: tuple[Conflict, ...]
    undecided: tuple[EntryFact, ...]


def conflicts(entries: Iterable[EntryFact], questions: Questions, *, of_one_key: bool) -> Conflicts:
    """The conflicts among `entries`, which come in the order of the text: those within one key, or all the others.

    Entries that are not readable are left out, as there is a problem about them already.
    """
    found: list[Conflict] = []
    undecided: list[EntryFact] = []
    search = _Search(questions)
    for later in entries:
        if later.is_readable and later.entry.look != _ANY_LOOK and not (of_one_key and later.key is None):
            answers = search.conflicts_with_earlier(later, of_one_key=of_one_key)
            found += sorted((answer for answer in answers if isinstance(answer, Conflict)), key=_place_of_earlier)
            undecided += [later] if UNDECIDED in answers else []
    return Conflicts(tuple(found), tuple(undecided))


def _place_of_earlier(conflict: Conflict) -> int:
    return conflict.earlier.entry.span.start


class _Search:
    def __init__(self, questions: Questions) -> None:
        self._questions = questions
        self._before: dict[tuple[str, int | None], list[EntryFact]] = defaultdict(list)

    def conflicts_with_earlier(self, later: EntryFact, *, of_one_key: bool) -> list[Conflict | Answer]:
        """What can be said of `later` and each entry that came before it."""
        answers: list[Conflict | Answer] = []
        compared: set[int] = set()
        key = later.key.number if later.key and of_one_key else None
        places = [self._before[output, key] for output in later.outputs]
        for earlier in (earlier for place in places for earlier in place):
            # A large file has more pairs than there is time for, even without a look at their conditions.
            if not self._questions.is_worth_another():
                answers.append(UNDECIDED)
                break
            if id(earlier) not in compared and (of_one_key or not _share_key(earlier, later)):
                compared.add(id(earlier))
                answers += _compared(earlier, later, self._questions)
        for place in places:
            place.append(later)
        return answers


def _share_key(one: EntryFact, other: EntryFact) -> bool:
    return one.key is not None and other.key is not None and one.key.number == other.key.number


def _compared(earlier: EntryFact, later: EntryFact, questions: Questions) -> list[Conflict | Answer]:
    properties = _differing(earlier.entry.look, later.entry.look)
    if not properties or earlier.is_possible is False or later.is_possible is False:
        return []
    if earlier.formula is None or later.formula is None:
        return [UNDECIDED]
    state = questions.witness(earlier.formula, later.formula)
    if not isinstance(state, State):
        return [] if state is None else [state]
    shared = set(earlier.outputs) & set(later.outputs)
    outputs = tuple(output for output in earlier.outputs if output in shared)
    return [Conflict(earlier, later, outputs, properties, state)]


def _differing(one: Look, other: Look) -> tuple[LookProperty, ...]:
    """The properties that both name, and not alike; a property that only one of them names is no matter of dispute."""
    return tuple(name for name in LOOK_PROPERTIES if _differ(getattr(one, name), getattr(other, name)))


def _differ(one: Name | Figure | None, other: Name | Figure | None) -> bool:
    return one is not None and other is not None and wish_value(one) != wish_value(other)
