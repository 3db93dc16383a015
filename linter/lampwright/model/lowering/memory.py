"""What was lowered of an older text and means the same in a newer one is the same object there, whoever asks for it."""

from __future__ import annotations

from collections.abc import Callable
from operator import is_
from typing import Any, TypeVar

from lampwright.model.lowering.names import Notes

Made = TypeVar("Made")

_Place = tuple[str, ...]


class Memory:
    """What was lowered, by its place in the file, and of what; `notes` has the problems of it.

    `before` is that of the older text. It is asked while this one is made, and forgotten when that is done.
    """

    def __init__(self, before: Memory | None = None) -> None:
        self.notes = Notes()
        self._before: dict[_Place, tuple[tuple[object, ...], Any]] = before._made if before is not None else {}
        self._made: dict[_Place, tuple[tuple[object, ...], Any]] = {}

    def recall(
        self,
        place: _Place,
        of: tuple[object, ...],
        make: Callable[[], Made],
        holds: Callable[[Made], bool] | None = None,
    ) -> Made:
        """What `make` gives, or gave of the older text, if it was made of just these objects and still `holds`.

        What a problem was noted of is made again, which notes it again.
        """
        known = self._before.get(place)
        if known is not None and _are(known[0], of) and (holds is None or holds(known[1])):
            self._made[place] = known
            made: Made = known[1]
            return made
        count = len(self.notes.problems)
        made = make()
        if len(self.notes.problems) == count:
            self._made[place] = of, made
        return made

    def same(self, place: _Place, value: Made) -> Made:
        """`value`, or what it was in the older text, if that is equal."""
        known = self._before.get(place)
        if known is not None and known[1] == value:
            value = known[1]
        self._made[place] = (), value
        return value

    def close(self) -> None:
        """All is made: what nobody asked for is gone with the older text."""
        self._before = {}


def _are(ones: tuple[object, ...], others: tuple[object, ...]) -> bool:
    """Whether they are the same objects."""
    return len(ones) == len(others) and all(map(is_, ones, others))
