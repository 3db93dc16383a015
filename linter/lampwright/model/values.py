"""Figures in SI with their place and their origin, the atoms of the model."""

from __future__ import annotations

from enum import Enum

from lampwright.records import dataclass
from lampwright.text import Span


def is_above(value: float, limit: float) -> bool:
    """Whether `value` exceeds `limit` by more than the last bits that a computation on floats leaves."""
    return value > limit * (1 + 1e-9)


class Origin(Enum):
    """Where a figure comes from, and so how far a verdict may lean on it."""

    STATED = "stated by the user's own plan, sheet, catalogue or settings"
    STANDARD = "read in a published standard"
    SECOND_HAND = "read second-hand"
    PRACTICE = "common practice"
    MEMORY = "from memory"

    @property
    def is_weak(self) -> bool:
        """Whether a verdict that hangs on such a figure may be a warning at most."""
        return self in (Origin.SECOND_HAND, Origin.PRACTICE, Origin.MEMORY)


@dataclass(frozen=True, slots=True)
class Figure:
    """A quantity in SI with its spread. `span` is where the user wrote it, None where it is a default."""

    lowest: float
    usual: float
    highest: float
    span: Span | None = None
    origin: Origin = Origin.STATED

    @classmethod
    def exact(cls, value: float, span: Span | None = None, origin: Origin = Origin.STATED) -> Figure:
        """A figure without spread."""
        return cls(value, value, value, span, origin)

    @property
    def has_spread(self) -> bool:
        """Whether lowest and highest differ."""
        return self.lowest < self.highest


@dataclass(frozen=True, slots=True)
class Number:
    """A whole number without a unit, such as a code, with the place where it is written."""

    value: int
    span: Span


@dataclass(frozen=True, slots=True)
class Name:
    """A name as used in one place, trimmed and NFC-normalised, with that place."""

    text: str
    span: Span
