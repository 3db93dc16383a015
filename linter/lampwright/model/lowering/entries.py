"""Conditions, looks and entries with their outputs and effects looked up."""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.model.keys import ALWAYS, STEADY, AllOf, AnyOf, Condition, Entry, Key, Literal, Look
from lampwright.model.lowering.names import Notes
from lampwright.model.lowering.values import figure, name
from lampwright.model.values import Name
from lampwright.plan import conditions as written
from lampwright.plan.keys import ConditionWord
from lampwright.plan.lighting import KeyData
from lampwright.plan.words import Word
from lampwright.records import dataclass


@dataclass(frozen=True, slots=True)
class EntryLowering:
    """What entries of one file are lowered with. None for names that nobody can tell, because a sheet is silent."""

    outputs: frozenset[str] | None
    effects: frozenset[str] | None
    notes: Notes

    def key(self, number: int, word: Word, data: KeyData) -> Key:
        """The key that `word` names."""
        momentary = data.momentary is not None and data.momentary.value
        return Key(number, word.span, name(data.label), momentary, tuple(self.entries(data.turns_on)))

    def entries(self, shape: written.Entries | None) -> Iterator[Entry]:
        """The entries that could be read."""
        if shape is not None:
            yield from (self._entry(entry) for entry in shape.root if entry is not None)

    def look(self, shape: written.Looks) -> Look:
        """How an output is to burn, its effect looked up."""
        effect = shape.effect
        is_named = effect is not None and effect.text != STEADY
        if effect is not None and is_named and self.effects is not None and effect.text not in self.effects:
            self.notes.unknown("effect", effect, self.effects)
            effect = None
        is_readable = effect is shape.effect and not any(map(shape.lost, ("effect", "brightness", "rate")))
        return Look(name(effect), figure(shape.brightness), figure(shape.rate), is_readable)

    def _entry(self, shape: written.Entry) -> Entry:
        names = list(_names(shape))
        known = [self._known(word) for word in names if word is not None]
        return Entry(
            span=shape.span,
            outputs=tuple(found for found in known if found is not None),
            condition=_condition_of(shape),
            condition_span=shape.value_span("when") if "when" in shape.node else None,
            look=self.look(shape),
            complete=bool(names) and None not in names and None not in known,
        )

    def _known(self, word: Word) -> Name | None:
        if self.outputs is not None and word.text not in self.outputs:
            self.notes.unknown("output", word, self.outputs)
            return None
        return name(word)


def _names(shape: written.Entry) -> Iterator[Word | None]:
    if isinstance(shape.output, written.OutputNames):
        yield from shape.output.root
    else:
        yield shape.output


def _condition_of(shape: written.Entry) -> Condition | None:
    if not shape.says("when"):
        return ALWAYS
    return condition(shape.when)


def condition(item: written.Condition | None) -> Condition | None:
    """The condition that is written, None if any part of it could not be read."""
    match item:
        case ConditionWord(variable=variable, positive=positive):
            return Literal(variable, positive)
        case written.Conditions(root=items):
            parts = _conditions(items)
            return None if parts is None else AllOf(parts)
        case written.AnyCondition(any=written.Conditions(root=items)):
            parts = _conditions(items)
            return None if parts is None else AnyOf(parts)
    return None


def _conditions(items: list[written.Condition | None]) -> tuple[Condition, ...] | None:
    parts = [condition(item) for item in items]
    readable = tuple(part for part in parts if part is not None)
    return readable if len(readable) == len(parts) else None
