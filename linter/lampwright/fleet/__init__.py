"""All plans of a run, or of an editor's folders, by their cards: who answers to whose address, which stock falls short.

Knows neither rules nor words, and loads next to nothing else, so that a fleet in order costs a run next to nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice

from lampwright.allotment import allot
from lampwright.diagnostics import Card, Spot, Want
from lampwright.fleet.answering import Answering, Number, Other
from lampwright.records import dataclass
from lampwright.text import Source, Span

_Place = tuple[str, int, int]

_MOST_NAMED = 6
"""Others of a clash; where there are more, one less is named and the rest is counted."""


@dataclass(frozen=True, slots=True)
class Clash:
    """An address of `card` to which `others` and some `more` answer too; none is of one set with it.

    `is_consist` where it is that of a consist, for `card` or for the other one.
    """

    card: Card
    number: Number
    is_consist: bool
    spot: Spot
    others: tuple[Other, ...]
    more: int


@dataclass(frozen=True, slots=True)
class Shortage:
    """An entry of a catalogue at `spot`, called `name`: the `takers` need more of it than there `are` for them.

    Each is a card, how many it needs, and the first place of it.
    """

    spot: Spot
    name: str
    needed: int
    are: int
    takers: tuple[tuple[Card, int, Span], ...]


class Fleet:
    """Cards by plan, in which one can be replaced without looking at all others."""

    def __init__(self, cards: Iterable[Card] = ()) -> None:
        self._cards: dict[str, Card] = {}
        self._answering: dict[Number, Answering] = {}
        self._taking: dict[str, Card] = {}
        for card in cards:
            self.take(card)

    def take(self, card: Card) -> None:
        """Put in `card`, in the place of an older one of the same plan."""
        self.drop(card.plan.name)
        self._cards[card.plan.name] = card
        for kind, number, _, _ in card.addresses:
            self._answering.setdefault((kind, number), Answering((kind, number))).put(card)
        if card.wants:
            self._taking[card.plan.name] = card

    def drop(self, plan: str) -> None:
        """Take out the card of the plan of that name, if there is one."""
        card = self._cards.pop(plan, None)
        if card is not None:
            self._taking.pop(plan, None)
            for kind, number, _, _ in card.addresses:
                self._answering[kind, number].drop(plan)

    @property
    def cards(self) -> list[Card]:
        """All of them, in the order of their plans' names."""
        return [self._cards[name] for name in sorted(self._cards)]

    @property
    def is_in_order(self) -> bool:
        """Whether nothing is to be said of it."""
        clashing = any(True for card in self._cards.values() for _ in self.clashes(card))
        return not clashing and not any(True for _ in self.shortages())

    def clashes(self, card: Card) -> Iterator[Clash]:
        """The addresses of `card` that others have, too. Two in one consist share its address on purpose."""
        for kind, number, is_consist, spot in card.addresses:
            if answering := self._answering.get((kind, number)):
                count = answering.count(card, is_consist=is_consist)
                named = count if count <= _MOST_NAMED else _MOST_NAMED - 1
                others = tuple(islice(answering.others(card, is_consist=is_consist), named))
                if others:
                    yield Clash(card, (kind, number), is_consist or others[0][1], spot, others, count - named)

    def touches(self, card: Card) -> bool:
        """Whether anything is found in other files because of `card`, which is in the fleet."""
        return any(True for _ in self.clashes(card)) or (bool(card.wants) and any(True for _ in self.shortages()))

    def involved(self, card: Card) -> list[Card]:
        """`card` and all with which it has a clash."""
        others: dict[Source, Card] = {}
        for kind, number, is_consist, _ in card.addresses:
            if answering := self._answering.get((kind, number)):
                others |= {other.plan: other for other, _, _ in answering.others(card, is_consist=is_consist)}
        return [card, *others.values()]

    def shortages(self) -> Iterator[Shortage]:
        """The entries of all catalogues that do not suffice, however they are shared out."""
        wants = [(card, want) for card in self._taking.values() for want in card.wants]
        # Whoever has least to choose from chooses first.
        wants.sort(key=lambda each: (len(each[1].pool), each[0].plan.name))
        short: dict[_Place, int] = {}
        first: dict[_Place, list[tuple[Card, Want]]] = {}
        for (card, want), missing in zip(wants, _missing([want for _, want in wants]), strict=True):
            best = _place(want.pool[0][0])
            short[best] = short.get(best, 0) + missing
            first.setdefault(best, []).append((card, want))
        for place in sorted(place for place, missing in short.items() if missing):
            yield _shortage(first[place], short[place])


def _missing(wants: list[Want]) -> list[int]:
    """How many each of `wants` goes without when as few as can be are missing in all."""
    counts = {_place(spot): count for want in wants for spot, count in want.pool}
    given = allot([(want.quantity, [_place(spot) for spot, _ in want.pool]) for want in wants], counts)
    return [want.quantity - sum(shares.values()) for want, shares in zip(wants, given, strict=True)]


def _shortage(takers: list[tuple[Card, Want]], missing: int) -> Shortage:
    by_plan: dict[str, tuple[Card, int, Span]] = {}
    for card, want in takers:
        _, before, place = by_plan.get(card.plan.name, (card, 0, want.place))
        by_plan[card.plan.name] = card, before + want.quantity, place
    needed = sum(quantity for _, quantity, _ in by_plan.values())
    want = takers[0][1]
    return Shortage(
        want.pool[0][0], want.name, needed, needed - missing, tuple(by_plan[name] for name in sorted(by_plan))
    )


def _place(spot: Spot) -> _Place:
    return spot.span.source.name, spot.span.start, spot.span.end
