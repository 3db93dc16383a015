"""Which outputs burn steadily by a momentary key alone, so that they go out with it. Knows no lamps."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from lampwright.analysis.logic.decision import Formula
from lampwright.analysis.logic.entries import EntryFact, any_of
from lampwright.analysis.logic.looks import Lack, OutputLooks
from lampwright.analysis.logic.questions import Answer, Questions, State
from lampwright.model.keys import STEADY
from lampwright.records import dataclass


@dataclass(frozen=True, slots=True)
class MomentaryLight:
    """The plainest state in which `fact` makes `output` burn steadily and no entry of another key turns it on.

    `state` is None if there is none, and a lack where that cannot be told.
    """

    fact: EntryFact
    output: str
    state: State | Lack | None


def momentary_lights(
    facts: Iterable[EntryFact],
    entries_of: Mapping[str, Sequence[EntryFact]],
    looks: Mapping[str, OutputLooks | Lack],
    questions: Questions,
) -> tuple[MomentaryLight, ...]:
    """What can be told of each of `facts`, the readable entries of momentary keys, and each of its outputs."""
    search = _Search(entries_of, looks, questions)
    return tuple(MomentaryLight(fact, output, search.state(fact, output)) for fact in facts for output in fact.outputs)


class _Search:
    def __init__(
        self,
        entries_of: Mapping[str, Sequence[EntryFact]],
        looks: Mapping[str, OutputLooks | Lack],
        questions: Questions,
    ) -> None:
        self._entries_of = entries_of
        self._looks = looks
        self._questions = questions
        self._otherwise: dict[tuple[str, int], Formula | None] = {}

    def state(self, fact: EntryFact, output: str) -> State | Lack | None:
        looks = self._looks[output]
        if isinstance(looks, Lack):
            return looks
        assert fact.key is not None
        place = (output, fact.key.number)
        if place not in self._otherwise:
            self._otherwise[place] = self._lit_or_shown_otherwise(looks, fact.key.number)
        otherwise = self._otherwise[place]
        if fact.formula is None or otherwise is None:
            return Lack.TIME
        alone = self._questions.without(fact.formula, [otherwise])
        state = self._questions.witness(alone) if alone is not None else None
        return Lack.TIME if alone is None or isinstance(state, Answer) else state

    def _lit_or_shown_otherwise(self, looks: OutputLooks, key: int) -> Formula | None:
        """When an entry of another key turns the output on, or it has an effect; None if undecided."""
        others = [other for other in self._entries_of[looks.output] if other.key is None or other.key.number != key]
        elsewhere = any_of(others, self._questions)
        effects = [wish.formula for wish in looks.effects if wish.value is not None and wish.value.text != STEADY]
        return self._questions.any_of([elsewhere, *effects]) if elsewhere is not None else None
