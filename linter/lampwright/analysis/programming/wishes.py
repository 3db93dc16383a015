"""What a plan wants of each output: when it is lit, and with which look in which of those states.

Knows no decoder. What is not said is meant: steady, full brightness, the slowest rate of the effect.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from lampwright.analysis.logic.entries import EntryFact
from lampwright.analysis.programming.space import FALSE, Formula, Space
from lampwright.model.decoder import DecoderOutput
from lampwright.model.keys import Condition, Look, LookProperty
from lampwright.model.lighting import LightingPlan
from lampwright.model.values import Figure, Name
from lampwright.records import dataclass
from lampwright.text import Span

STEADY = "steady"

Wanted = str | float | None
"""The name of an effect, a share of full brightness, a rate in hertz; None for a rate means the slowest."""


Said = tuple[tuple[Condition | None, str | None], ...]
"""Conditions, each with its key, without their places: the same in all plans that say the same of an output."""


_MEANT: Mapping[LookProperty, Wanted] = {"effect": STEADY, "brightness": 1.0, "rate": None}


@dataclass(frozen=True, slots=True)
class Region:
    """The states in which a property of an output's look is to have one value. `span` is where that is said."""

    value: Wanted
    formula: Formula
    span: Span | None


@dataclass(frozen=True, slots=True)
class Wish:
    """What the plan wants of one output. `span` is where the plan has it, `facts` are its entries that can hold."""

    name: str
    span: Span
    known: DecoderOutput | None
    lit: Formula
    facts: tuple[EntryFact, ...]
    look: Look

    @property
    def keys(self) -> frozenset[int]:
        """The keys under which the plan has it."""
        return frozenset(fact.key.number for fact in self.facts if fact.key is not None)

    @property
    def said(self) -> Said:
        """What makes up `lit`."""
        return said_of(self.facts)


@dataclass(frozen=True, slots=True)
class Unclear:
    """An output of which nobody can tell when it is lit: an entry is unreadable, or the question too hard."""

    name: str
    facts: tuple[EntryFact, ...]
    is_readable: bool


def wishes(plan: LightingPlan, space: Space) -> Iterator[Wish | Unclear]:
    """What the plan wants of each of its outputs, in its order; then of those that only an entry names."""
    facts: dict[str, list[EntryFact]] = {name: [] for name in plan.outputs}
    spans = {name: output.span for name, output in plan.outputs.items()}
    for fact in space.facts(plan.keys.values(), plan.always):
        for name in fact.outputs:
            facts.setdefault(name, []).append(fact)
        for output in fact.entry.outputs:
            spans.setdefault(output.text, output.span)
    known = plan.decoder.outputs if plan.decoder is not None else {}
    for name, own in facts.items():
        if any(fact.formula is None for fact in own):
            yield Unclear(name, tuple(own), all(fact.is_readable for fact in own))
            continue
        possible = tuple(fact for fact in own if fact.is_possible)
        look = plan.outputs[name].look if name in plan.outputs else Look()
        yield Wish(name, spans[name], known.get(name), lit_by(possible, space), possible, look)


def said_of(facts: Sequence[EntryFact]) -> Said:
    """What the entries say of their output."""
    return tuple([(fact.entry.condition, fact.key.name if fact.key is not None else None) for fact in facts])


def lit_by(facts: Sequence[EntryFact], space: Space) -> Formula:
    """When one of the entries holds; they are decided."""
    formulas = [fact.formula for fact in facts if fact.formula is not None]
    return formulas[0] if len(formulas) == 1 else space.any_of(formulas)


def regions(wish: Wish, what: LookProperty, space: Space) -> list[Region]:
    """The values that a property is to have, each with its states and where it is first said."""
    named = [(value, fact.formula) for fact in wish.facts if (value := getattr(fact.entry.look, what)) is not None]
    if not named and wish.lit != FALSE:
        # Most entries say nothing of a look.
        value = getattr(wish.look, what)
        return [Region(_normal(value, what), wish.lit, value.span if value is not None else None)]
    rest = space.both(wish.lit, *(space.opposite(formula) for _, formula in named if formula is not None))
    said = [*named, (getattr(wish.look, what), rest)]
    found: dict[Wanted, Region] = {}
    for value, formula in said:
        if formula is None or formula == FALSE:
            continue
        wanted, span = _normal(value, what), value.span if value is not None else None
        before = found.get(wanted)
        if before is None:
            found[wanted] = Region(wanted, formula, span)
        else:
            found[wanted] = Region(wanted, space.any_of([before.formula, formula]), before.span or span)
    return list(found.values())


def are_at_odds(found: Sequence[Region], space: Space) -> bool:
    """Whether two values are wanted in one state, which is a conflict of the plan's own."""
    return len(found) > 1 and any(
        space.both(one.formula, other.formula) != FALSE for one, other in combinations(found, 2)
    )


def _normal(value: Name | Figure | None, what: LookProperty) -> Wanted:
    if isinstance(value, Name):
        return value.text
    if isinstance(value, Figure):
        return value.usual
    return _MEANT[what]
