"""Who answers to one address: sorted and counted once, so that of many who share it none has to look at all others."""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Card, Spot

Number = tuple[str, int]
"""An address as packets carry it: "short" or "long", and the number."""

Other = tuple[Card, bool, Spot]
"""Who answers too, whether as a consist, and the spot of that."""


class Answering:
    """All cards that have `number`, their own or that of their consist."""

    def __init__(self, number: Number) -> None:
        self._number = number
        self._cards: dict[str, Card] = {}
        self._sorted: list[Other] | None = None
        self._counts: dict[tuple[str | None, bool], int] = {}
        """By set and whether as a consist; None counts all, of whatever set."""

    def put(self, card: Card) -> None:
        """Have `card` answer, too, in the place of an older one of the same plan."""
        self._cards[card.plan.name] = card
        self._sorted = None

    def drop(self, plan: str) -> None:
        """The card of the plan of that name answers no more."""
        self._cards.pop(plan, None)
        self._sorted = None

    def others(self, card: Card, *, is_consist: bool) -> Iterator[Other]:
        """Who answers beside `card` and is not of one set with it, by the names of plans. Two in one consist may."""
        for other, is_other_consist, spot in self._all():
            if not (is_consist and is_other_consist) and _are_strangers(card, other):
                yield other, is_other_consist, spot

    def count(self, card: Card, *, is_consist: bool) -> int:
        """How many those are, without a look at each."""
        self._all()
        ways = (False,) if is_consist else (False, True)
        count = sum(self._counts.get((None, way), 0) for way in ways)
        if card.set is not None:
            count -= sum(self._counts.get((card.set, way), 0) for way in ways)
        own = self._cards.get(card.plan.name)
        if own is not None and not _are_one_set(card, own):
            count -= sum(way in ways for _, way, _ in self._of(own))
        return count

    def _all(self) -> list[Other]:
        if self._sorted is None:
            self._sorted = [each for _, card in sorted(self._cards.items()) for each in self._of(card)]
            self._counts = {}
            for card, is_consist, _ in self._sorted:
                for counted in {None, card.set}:
                    self._counts[counted, is_consist] = self._counts.get((counted, is_consist), 0) + 1
        return self._sorted

    def _of(self, card: Card) -> Iterator[Other]:
        for kind, number, is_consist, spot in card.addresses:
            if (kind, number) == self._number:
                yield card, is_consist, spot


def _are_strangers(one: Card, other: Card) -> bool:
    return one.plan.name != other.plan.name and not _are_one_set(one, other)


def _are_one_set(one: Card, other: Card) -> bool:
    return one.set is not None and one.set == other.set
