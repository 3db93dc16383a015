"""Effects that are made for two outputs: whether both show them, at one time and at one rate.

Knows which outputs the sheet pairs and what the keys ask for, not how a decoder is told.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from enum import Enum

from lampwright.analysis.logic.decision import FALSE, Formula
from lampwright.analysis.logic.looks import Lack, OutputLooks, Wish
from lampwright.analysis.logic.questions import Answer, Questions, State
from lampwright.model.decoder import EffectSheet
from lampwright.model.values import Figure, Name
from lampwright.records import dataclass


class PairFault(Enum):
    """What is wrong with an effect for a pair."""

    ALONE = "no other output shows it"
    NO_PAIR = "two outputs show it that are no pair of the sheet"
    CONDITIONS = "in some state one output of the pair shows it without the other"
    RATES = "the two outputs show it at different rates"
    PAIRS_UNKNOWN = "more than two outputs show it, and the sheet does not say which belong together"
    RATES_UNKNOWN = "one output has a rate of its own, and the sheet does not say which one the other has"


@dataclass(frozen=True, slots=True)
class User:
    """An output that shows the effect: what asks for it (the first in the text), and when."""

    looks: OutputLooks
    wish: Wish[Name]
    formula: Formula

    @property
    def output(self) -> str:
        """Its name."""
        return self.looks.output


@dataclass(frozen=True, slots=True)
class Unpaired:
    """A fault at `user`, with the `other` output that it concerns (None if there is none), as in `state`.

    `state` is None where no entry names the output, so that nothing says when it is on.
    `rates` are those of `user` and `other` where these differ, None for one that nobody states.
    """

    fault: PairFault
    user: User
    other: User | None = None
    state: State | None = None
    rates: tuple[Wish[Figure], Wish[Figure]] | None = None


def unpaired(effect: EffectSheet, looks: Iterable[OutputLooks], questions: Questions) -> Iterator[Unpaired | Lack]:
    """All that is wrong with the use of `effect`; `looks` are those of the outputs that matter for it."""
    users = [_user(effect, each, questions) for each in looks]
    if Lack.TIME in users:
        yield Lack.TIME
        return
    known = sorted((user for user in users if isinstance(user, User)), key=_place)
    if effect.pairs is None and len(known) > 2:
        yield Unpaired(PairFault.PAIRS_UNKNOWN, known[0])
        return
    pairs = _pairs(effect, known)
    yield from _faults_of_pairs(effect, pairs, questions)
    paired = {user.output for pair in pairs for user in pair}
    yield from _lonely([user for user in known if user.output not in paired], questions)


def partners_of(effect: EffectSheet, outputs: Iterable[str]) -> tuple[str, ...]:
    """The outputs that make a pair with one of `outputs`, by the sheet."""
    named, wanted = [(one.text, other.text) for one, other in effect.pairs or ()], set(outputs)
    both_ways = [pair for one, other in named for pair in ((one, other), (other, one))]
    return tuple(dict.fromkeys(partner for output, partner in both_ways if output in wanted))


def _user(effect: EffectSheet, looks: OutputLooks, questions: Questions) -> User | Lack | None:
    wishes = [wish for wish in looks.effects if wish.value is not None and wish.value.text == effect.name]
    formula = questions.any_of(wish.formula for wish in wishes)
    if formula is None:
        return Lack.TIME
    first = min(wishes, key=_place_of_wish, default=None)
    return User(looks, first, formula) if first is not None else None


def _place_of_wish(wish: Wish[Name]) -> int:
    return wish.value.span.start if wish.value is not None else 0


def _place(user: User) -> int:
    return _place_of_wish(user.wish)


def _pairs(effect: EffectSheet, users: Sequence[User]) -> list[tuple[User, User]]:
    """The users that belong together, each pair in the order of the text; without pairs on the sheet the only two."""
    if effect.pairs is None:
        return [(users[0], users[1])] if len(users) == 2 else []
    known = {user.output: user for user in users}
    named = {frozenset((one.text, other.text)): None for one, other in effect.pairs}
    together = [[known[output] for output in pair] for pair in named if pair <= known.keys()]
    return [(first, second) for first, second in (sorted(pair, key=_place) for pair in together)]


def _lonely(users: Sequence[User], questions: Questions) -> Iterator[Unpaired | Lack]:
    """Users without a partner; two of them were meant to be one another's."""
    if len(users) == 2:
        yield _without_partner(PairFault.NO_PAIR, users[1], users[0], questions)
    else:
        yield from (_without_partner(PairFault.ALONE, user, None, questions) for user in users)


def _without_partner(fault: PairFault, user: User, other: User | None, questions: Questions) -> Unpaired | Lack:
    state = questions.witness(user.formula) if user.looks.is_named else None
    return Lack.TIME if isinstance(state, Answer) else Unpaired(fault, user, other, state)


def _faults_of_pairs(
    effect: EffectSheet, pairs: Sequence[tuple[User, User]], questions: Questions
) -> Iterator[Unpaired | Lack]:
    """What is wrong between the two of each pair, unless both agree with partners of their own."""
    faults = [(pair, _fault(effect, *pair, questions)) for pair in pairs]
    agreeing = {user.output for pair, fault in faults if fault is None for user in pair}
    for pair, fault in faults:
        if fault is not None and not all(user.output in agreeing for user in pair):
            yield fault


def _fault(effect: EffectSheet, one: User, other: User, questions: Questions) -> Unpaired | Lack | None:
    if one.looks.is_named or other.looks.is_named:
        times = [user.formula if user.looks.is_named else FALSE for user in (one, other)]
        for user, time, partner, partner_time in ((one, times[0], other, times[1]), (other, times[1], one, times[0])):
            rest = questions.without(time, [partner_time])
            state = questions.witness(rest) if rest is not None else None
            if rest is None or (state is not None and not isinstance(state, State)):
                return Lack.TIME
            if state is not None:
                return Unpaired(PairFault.CONDITIONS, user, partner, state)
    return _different_rates(effect, one, other, questions)


def _different_rates(effect: EffectSheet, one: User, other: User, questions: Questions) -> Unpaired | Lack | None:
    is_named = one.looks.is_named
    for first, second in ((first, second) for first in one.looks.rates for second in other.looks.rates):
        rates = [_rate(effect, first), _rate(effect, second)]
        if not questions.is_worth_another():
            return Lack.TIME
        if rates[0] == rates[1]:
            continue
        state = questions.witness(one.formula, other.formula, first.formula, second.formula)
        if isinstance(state, State):
            fault = PairFault.RATES_UNKNOWN if None in rates else PairFault.RATES
            return Unpaired(fault, other, one, state if is_named else None, (second, first))
        if state is not None:
            return Lack.TIME
    return None


def _rate(effect: EffectSheet, wish: Wish[Figure]) -> float | None:
    """The rate in hertz: the one that is wished for, else the slowest of the effect, None if the sheet names none."""
    if wish.value is not None:
        return wish.value.usual
    return effect.rate.lowest if effect.rate is not None else None
