"""What is known of an output for as long as neither it nor anything around it changes, from one text to the next."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any, TypeVar

Found = TypeVar("Found")


class Remembered:
    """What was found out about one output. `quiet` are the rules that had nothing to say of it."""

    __slots__ = ("_known", "quiet")

    def __init__(self) -> None:
        self._known: dict[Hashable, Any] = {}
        self.quiet: set[str] = set()

    def once(self, what: Hashable, make: Callable[[], Found]) -> Found:
        """What `make` gives, which is asked once."""
        if what not in self._known:
            self._known[what] = make()
        found: Found = self._known[what]
        return found
