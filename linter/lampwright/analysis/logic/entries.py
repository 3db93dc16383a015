"""Entries with their keys become formulas: what each needs of the vehicle's state, and whether that can ever be."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lampwright.analysis.logic.decision import FALSE, Formula
from lampwright.analysis.logic.questions import Questions
from lampwright.model.keys import Entry, Key
from lampwright.records import dataclass


@dataclass(frozen=True, slots=True)
class EntryFact:
    """An entry with its key (None under `always`), and when it holds: while the key is on and its condition is met.

    `outputs` has each of its outputs once.
    `formula` is None where that cannot be told: the entry is not readable, or too hard. `is_possible` likewise.
    """

    entry: Entry
    key: Key | None
    outputs: tuple[str, ...]
    formula: Formula | None
    is_possible: bool | None

    @property
    def is_readable(self) -> bool:
        """Whether nothing of the entry's condition and outputs was dropped with a problem."""
        return self.entry.complete and self.entry.condition is not None


def entry_facts(keys: Iterable[Key], always: Iterable[Entry], questions: Questions) -> tuple[EntryFact, ...]:
    """The facts about each entry of each key and of `always`, in the order of the text."""
    written: list[tuple[Entry, Key | None]] = [(entry, key) for key in keys for entry in key.entries]
    written += [(entry, None) for entry in always]
    written.sort(key=lambda pair: pair[0].span.start)
    asked = [
        (entry.condition, key.name if key else None)
        for entry, key in written
        if entry.complete and entry.condition is not None
    ]
    formulas = iter(questions.formulas(tuple(asked)))
    return tuple([_entry_fact(entry, key, formulas) for entry, key in written])


def _entry_fact(entry: Entry, key: Key | None, formulas: Iterator[Formula | None]) -> EntryFact:
    outputs = tuple(dict.fromkeys([name.text for name in entry.outputs]))
    if not entry.complete or entry.condition is None:
        return EntryFact(entry, key, outputs, None, None)
    formula = next(formulas)
    return EntryFact(entry, key, outputs, formula, None if formula is None else formula != FALSE)


def any_of(facts: Iterable[EntryFact], questions: Questions) -> Formula | None:
    """True when at least one of `facts` holds; None if undecided."""
    formulas = [fact.formula for fact in facts]
    if len(formulas) == 1:
        return formulas[0]
    decided = [formula for formula in formulas if formula is not None]
    return questions.any_of(decided) if len(decided) == len(formulas) else None
