"""What turns an output on: keys, entries, conditions and looks, with every place kept."""

from __future__ import annotations

from functools import lru_cache
from typing import Final
from typing import Literal as OneOf

from lampwright.model.values import Figure, Name
from lampwright.records import dataclass, field
from lampwright.text import Span

STEADY = "steady"
"""The effect of an output that nobody asks for anything else; every decoder knows it."""

HIGHEST_KEY = 68
"""F68 is the highest function of the packet formats (RCN-212, read second-hand; S-9.2.1 of 2012 ends at F28)."""


@dataclass(frozen=True, slots=True)
class Literal:
    """One variable or its opposite. Variables: "F0" to "F68", "forward" (else reverse), "moving" (else stopped)."""

    variable: str
    positive: bool


@dataclass(frozen=True, slots=True)
class AllOf:
    """True when each part is; true when there is none."""

    parts: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class AnyOf:
    """True when at least one part is; false when there is none."""

    parts: tuple[Condition, ...]


Condition = Literal | AllOf | AnyOf

ALWAYS = AllOf(())


@dataclass(frozen=True, slots=True)
class Look:
    """How an output burns; None where nothing is asked for. `brightness` is a share of 1, `rate` in hertz.

    `is_readable` is false where something that is asked for was dropped with a problem.
    """

    effect: Name | None = None
    brightness: Figure | None = None
    rate: Figure | None = None
    is_readable: bool = True


LookProperty = OneOf["effect", "brightness", "rate"]
"""The fields of `Look` that a plan may name."""

LOOK_PROPERTIES: Final[tuple[LookProperty, ...]] = ("effect", "brightness", "rate")


def wish_value(wish: Name | Figure) -> str | tuple[float, float, float]:
    """What is wished for, without its place: equal for two wishes that are at one."""
    return wish.text if isinstance(wish, Name) else (wish.lowest, wish.usual, wish.highest)


@dataclass(frozen=True, slots=True)
class Entry:
    """One item of `turns-on` or `always`.

    `condition` is what `when` says, ALWAYS without one, None where it could not be read; the entry's key is not in it.
    `outputs` are the names as written, repeated ones included; an unreadable name is left out and `complete` is false.
    """

    span: Span
    outputs: tuple[Name, ...]
    condition: Condition | None = ALWAYS
    condition_span: Span | None = None
    look: Look = field(default_factory=Look)
    complete: bool = True


@dataclass(frozen=True, slots=True)
class Key:
    """A function key with its number, what the installer calls it, and what it turns on."""

    number: int
    span: Span
    label: Name | None = None
    momentary: bool = False
    entries: tuple[Entry, ...] = ()

    @property
    def name(self) -> str:
        """As users write it: F0, F1, ..."""
        return f"F{self.number}"


def mean_the_same(one: str, other: str) -> bool:
    """Whether two labels of keys say the same: capitals and spaces do not count."""
    return _folded(one) == _folded(other)


# A convention is held against each label of each plan.
@lru_cache(maxsize=1024)
def _folded(label: str) -> str:
    return "".join(label.casefold().split())
