"""Truth that knows what it does not know: true, false, or unknown for a reason.

What is read from a CV nobody has told us the value of is unknown. It stays so through "and", "or" and "not" as long as
it matters, and whoever must have an answer then says what is lacking instead of guessing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


class InterpreterError(Exception):
    """The sheet, the CVs or the question do not say enough, or contradict themselves; the text says which."""


@dataclass(frozen=True, slots=True)
class Unknown:
    """No answer, and what would have to be known for one."""

    lacks: str

    def __bool__(self) -> bool:
        raise InterpreterError(f"not known: {self.lacks}")


Truth = bool | Unknown


def both(parts: Iterable[Truth]) -> Truth:
    """All of them. One that is false decides, whatever is unknown beside it."""
    told = list(parts)
    if any(part is False for part in told):
        return False
    return next((part for part in told if part is not True), True)


def either(parts: Iterable[Truth]) -> Truth:
    """At least one of them. One that is true decides, whatever is unknown beside it."""
    told = list(parts)
    if any(part is True for part in told):
        return True
    return next((part for part in told if part is not False), False)


def inverse(part: Truth) -> Truth:
    return part if isinstance(part, Unknown) else not part
