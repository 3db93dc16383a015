"""The seam of all grammars: draws from what is right, and now and then from what is not."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from random import Random
from typing import Any, TypeVar

from vocabulary import ALMOST, EVERY_KEY, HOSTILE_NAMES, NONSENSE, RIGHT

T = TypeVar("T")
Document = dict[str, Any]


class Drawing:
    """Draws values; `wildness` is how often one is wrong."""

    def __init__(self, random: Random, wildness: float) -> None:
        self.random, self.wildness = random, wildness

    def is_so(self, share: float) -> bool:
        """True as often as `share`."""
        return self.random.random() < share

    def one(self, *choices: T) -> T:
        """One of `choices`."""
        return self.random.choice(choices)

    def few(self, names: Sequence[T], least: int, most: int) -> list[T]:
        """Some of `names`, in any order, none twice."""
        return self.random.sample(names, min(len(names), self.random.randint(least, most)))

    def said(self, what: str) -> Any:
        """A value for a field of that sort."""
        return self.bent(self.random.choice(RIGHT[what]))

    def named(self, names: Sequence[str]) -> str:
        """One of `names`, or what is hostile where names are shown."""
        return (
            self.random.choice(HOSTILE_NAMES) if self.is_so(self.wildness) or not names else self.random.choice(names)
        )

    def bent(self, value: Any) -> Any:
        """`value`, or something else in its place."""
        if not self.is_so(self.wildness):
            return value
        match self.random.randrange(8):
            case 0:
                return [value]
            case 1:
                return {self.random.choice(EVERY_KEY): value}
            case 2:
                return self.random.choice(HOSTILE_NAMES)
            case 3:
                return self.random.choice(NONSENSE)
            case _:
                return self.random.choice(ALMOST)

    def mapping(self, needed: Mapping[str, Any], **more: tuple[float, Callable[[], Any]]) -> Document:
        """All of `needed`, and each of `more` as often as it says; a key may be lost, misspelt or one too many."""
        # A name of Python has no hyphen, and two of our keys are words of Python.
        extra = {name.strip("_").replace("_", "-"): make() for name, (share, make) in more.items() if self.is_so(share)}
        made = {**needed, **extra}
        if self.is_so(self.wildness) and made:
            key = self.random.choice(list(made))
            match self.random.randrange(4):
                case 0:
                    del made[key]
                case 1:
                    made[self.random.choice(EVERY_KEY)] = made[key]
                case 2:
                    made[self._misspelt(key)] = made.pop(key)
                case _:
                    made[key] = self.bent(made[key])
        return made

    def _misspelt(self, key: str) -> str:
        at = self.random.randint(0, len(key))
        return self.one(
            key[:at] + key[at + 1 :], key[:at] + "e" + key[at:], key.upper(), key.replace("-", "_"), f"{key}s"
        )
