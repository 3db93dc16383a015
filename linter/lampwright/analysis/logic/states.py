"""The state table: with which looks an output burns, and under which conditions, exactly and without a word too many.

Where two entries are at odds, both of their wishes are told. Knows no circuits, and no sheet but for rates of effects.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from lampwright.analysis.logic.decision import FALSE, Formula
from lampwright.analysis.logic.entries import EntryFact, any_of
from lampwright.analysis.logic.looks import Lack
from lampwright.analysis.logic.questions import Product, Questions
from lampwright.model.keys import LOOK_PROPERTIES, STEADY, Look, LookProperty
from lampwright.model.values import Figure, Name
from lampwright.records import dataclass

_Value = str | float


@dataclass(frozen=True, slots=True)
class LitLook:
    """How an output burns: an effect, a share of full brightness, a rate in hertz.

    More than one of a kind are those that entries name against each other. There is no rate where the light is steady,
    where nobody names one and the sheet has none for the effect, and where it would depend on which effect wins.
    """

    effects: tuple[str, ...]
    brightness: tuple[float, ...]
    rates: tuple[float, ...]

    @property
    def is_at_odds(self) -> bool:
        """Whether entries contradict each other in it."""
        return max(len(self.effects), len(self.brightness), len(self.rates)) > 1


@dataclass(frozen=True, slots=True)
class LitStates:
    """A look and the states in which the output has it: those in which at least one of `products` holds."""

    look: LitLook
    formula: Formula
    products: tuple[Product, ...]


@dataclass(frozen=True, slots=True)
class OutputStates:
    """All that an output does. In the states of none of `lit` it is dark; no two of `lit` share a state or a look.

    The usual look comes first, what is at odds last. `is_named` tells whether any entry names the output.
    """

    output: str
    is_named: bool
    lit: tuple[LitStates, ...]


def output_states(
    output: str, own: Look, entries: Sequence[EntryFact], slowest: Mapping[str, float], questions: Questions
) -> OutputStates | Lack:
    """The states of `output`, whose own look is `own` and which the readable entries `entries` name.

    `slowest` is the slowest rate of each effect that has one on the sheet, hertz.
    """
    facts = [fact for fact in entries if fact.is_possible is not False]
    if not own.is_readable or not all(fact.entry.look.is_readable for fact in facts):
        return Lack.UNREADABLE
    looks = _formulas_by_look(own, facts, slowest, questions)
    lit = [_lit_states(look, formulas, questions) for look, formulas in looks.items()] if looks is not None else [None]
    decided = [each for each in lit if each is not None]
    if len(decided) < len(lit):
        return Lack.TIME
    usual = _look({}, own, slowest)
    return OutputStates(output, bool(entries), tuple(sorted(decided, key=lambda each: _order(each.look, usual))))


def _formulas_by_look(
    own: Look, facts: Sequence[EntryFact], slowest: Mapping[str, float], questions: Questions
) -> dict[LitLook, list[Formula]] | None:
    """Each look with the pieces that its states come in; None if undecided."""
    named = _named(facts)
    lit = any_of(facts, questions)
    marks = [any_of(those, questions) for those in named.values()]
    decided = [mark for mark in marks if mark is not None]
    if lit is None or len(decided) < len(marks):
        return None
    found = questions.pieces(lit, decided)
    if found is None:
        return None
    wishes, looks = list(named), dict[LitLook, list[Formula]]()
    for held, formula in found:
        values: dict[LookProperty, list[_Value]] = {}
        for what, value in (wishes[number] for number in held):
            values.setdefault(what, []).append(value)
        looks.setdefault(_look(values, own, slowest), []).append(formula)
    return looks


def _named(facts: Iterable[EntryFact]) -> dict[tuple[LookProperty, _Value], list[EntryFact]]:
    """The entries that name each value of each property; in an order that does not depend on theirs."""
    named: dict[tuple[LookProperty, _Value], list[EntryFact]] = {}
    for fact in facts:
        for what in LOOK_PROPERTIES:
            value = _value(getattr(fact.entry.look, what))
            if value is not None:
                named.setdefault((what, value), []).append(fact)
    # No property has values of two kinds, so that each is only compared with its own kind.
    return {wish: named[wish] for wish in sorted(named)}


def _value(wish: Name | Figure | None) -> _Value | None:
    return wish.text if isinstance(wish, Name) else wish.usual if isinstance(wish, Figure) else None


def _look(named: Mapping[LookProperty, Sequence[_Value]], own: Look, slowest: Mapping[str, float]) -> LitLook:
    """What the holding entries name, else the output's own look, else what is meant where nothing is said."""
    effects = tuple(map(str, named.get("effect", ()))) or (own.effect.text if own.effect is not None else STEADY,)
    brightness = tuple(map(float, named.get("brightness", ()))) or (own.brightness.usual if own.brightness else 1.0,)
    rates = tuple(map(float, named.get("rate", ()))) or ((own.rate.usual,) if own.rate is not None else ())
    if effects == (STEADY,):
        # A rate shows in nothing that is steady.
        rates = ()
    elif not rates and len(effects) == 1 and effects[0] in slowest:
        rates = (slowest[effects[0]],)
    return LitLook(effects, brightness, rates)


def _lit_states(look: LitLook, formulas: Sequence[Formula], questions: Questions) -> LitStates | None:
    formula = questions.any_of(formulas) if len(formulas) > 1 else formulas[0]
    products = questions.products(formula) if formula is not None and formula != FALSE else None
    return LitStates(look, formula, products) if formula is not None and products is not None else None


def _order(look: LitLook, usual: LitLook) -> tuple[bool, bool, tuple[str, ...], tuple[float, ...], tuple[float, ...]]:
    return look.is_at_odds, look != usual, look.effects, tuple(-share for share in look.brightness), look.rates
