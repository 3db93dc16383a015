"""What a circuit carries that is only tried out: each figure is computed when it is asked for.

Who looks for a resistor tries a dozen of them, and asks of each whether one lamp still has too much. All figures of a
circuit of dozens of elements would take thirty times as long. They are the same ones, to the last bit.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

from lampwright.analysis.electrical.extremes import CornerSearch, End, Quantity
from lampwright.analysis.electrical.facts import ElementFacts, OutputFacts, Range
from lampwright.analysis.electrical.numbers import UNLIMITED, is_gap, is_wire, limited
from lampwright.analysis.electrical.supply import CommonSupply
from lampwright.analysis.electrical.weakness import LawfulElement
from lampwright.analysis.electrical.wiring import Leaf, Wiring
from lampwright.model.lighting import Output

Figures = dict[tuple[int | None, Quantity, End], float]
"""What was asked for so far: of an element by its number, or of all networks together."""


class Trial:
    """One circuit behind its common lead; `known` are the figures of all that are alike, and takes in new ones.

    `wired` makes the wiring, and `whole` all facts: for what is asked of them seldom.
    """

    def __init__(
        self, known: Figures, stands: float, wired: Callable[[], Wiring], whole: Callable[[], OutputFacts]
    ) -> None:
        self.stands = stands
        self._known = known
        self._wired = wired
        self._whole = whole

    @cached_property
    def wiring(self) -> Wiring:
        """Its networks."""
        return self._wired()

    @cached_property
    def whole(self) -> OutputFacts:
        """All that is known of it."""
        return self._whole()

    def range(self, place: int | None, quantity: Quantity) -> Range:
        """That of the element of that number, or the current through all networks together."""
        return _Sought(self, place, quantity)

    def figure(self, place: int | None, quantity: Quantity, end: End) -> float:
        """One end of a range."""
        key = (place, quantity, end)
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = self._total(end) if place is None else self._of(place, quantity, end)
        return found

    def carries(self, place: int) -> bool:
        """Whether there is no gap in the way of that element."""
        return place in self._networks

    @cached_property
    def _searches(self) -> list[CornerSearch]:
        leaves = self.wiring.leaves
        choices = [[leaves[place].characteristics for place in fed.places] for fed in self.wiring.fed]
        return [
            CornerSearch(fed.network, own, fed.supply.voltage)
            for fed, own in zip(self.wiring.fed, choices, strict=True)
        ]

    @cached_property
    def _networks(self) -> dict[int, tuple[CornerSearch, int]]:
        """Of each element that carries anything its network, and its number there."""
        pairs = zip(self.wiring.fed, self._searches, strict=True)
        return {place: (search, number) for fed, search in pairs for number, place in enumerate(fed.places)}

    def _total(self, end: End) -> float:
        return limited(sum([search.total_at(end) for search in self._searches]))

    def _of(self, place: int, quantity: Quantity, end: End) -> float:
        leaf = self.wiring.leaves[place]
        has_none = (is_wire(leaf) and quantity != "current") or (is_gap(leaf) and quantity != "voltage")
        if has_none or not self.carries(place):
            return 0.0
        search, number = self._networks[place]
        found = search.figure(number, quantity, end)
        if quantity == "current":
            return limited(found)
        if quantity == "power" and found >= UNLIMITED:
            return limited(found) if search.figure(number, "current", "highest") >= UNLIMITED else found
        return found


class TriedFacts(OutputFacts):
    """The facts of an output of which only those are computed that are asked for."""

    __slots__ = ("_trial",)

    def __init__(self, output: Output, feed: CommonSupply, behind: tuple[LawfulElement, ...], trial: Trial) -> None:
        self._trial = trial
        fields = {"output": output, "supply": feed.voltage, "current": trial.range(None, "current")}
        _fill(self, {**fields, "behind": behind, "basis": feed.basis})

    def __getattr__(self, name: str) -> object:
        """A field that is empty as long as nobody has asked for it."""
        if name not in OutputFacts.__match_args__:
            raise AttributeError(name)
        found = self._elements() if name == "elements" else getattr(self._trial.whole, name)
        _fill(self, {name: found})
        return found

    def _elements(self) -> tuple[ElementFacts, ...]:
        wiring = self._trial.wiring
        places = range(wiring.in_lead, len(wiring.leaves))
        return tuple([_TriedElement(self._trial, place, wiring.leaves[place]) for place in places])


class _TriedElement(ElementFacts):
    __slots__ = ("_place", "_trial")

    def __init__(self, trial: Trial, place: int, leaf: Leaf) -> None:
        self._trial = trial
        self._place = place
        _fill(self, {"element": leaf.element, "share_of_time": leaf.share_of_time})

    def __getattr__(self, name: str) -> object:
        """A field that is empty as long as nobody has asked for it."""
        if name not in ElementFacts.__match_args__:
            raise AttributeError(name)
        trial = self._trial
        found: object
        if name in ("current", "voltage", "power"):
            found = trial.range(self._place, name)
        elif name == "derating":
            found = trial.stands if trial.carries(self._place) else 1.0
        else:
            found = getattr(trial.whole.elements[self._place - trial.wiring.in_lead], name)
        _fill(self, {name: found})
        return found


class _Sought(Range):
    __slots__ = ("_place", "_quantity", "_trial")

    def __init__(self, trial: Trial, place: int | None, quantity: Quantity) -> None:
        self._trial = trial
        self._place = place
        self._quantity = quantity

    def __getattr__(self, name: str) -> float:
        """An end that is empty as long as nobody has asked for it."""
        if name not in Range.__match_args__:
            raise AttributeError(name)
        found = self._trial.figure(self._place, self._quantity, name)
        _fill(self, {name: found})
        return found


def _fill(facts: object, fields: dict[str, object]) -> None:
    """Set fields of what is frozen for all others."""
    for name, value in fields.items():
        object.__setattr__(facts, name, value)
