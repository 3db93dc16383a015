"""A state of the vehicle, its outputs, and whether a condition of the plan language holds in it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from programming.knowledge import InterpreterError

Sheet = Mapping[str, Any]
"""A decoder sheet as YAML gives it: mappings, lists and texts."""

HIGHEST_FUNCTION = 68


@dataclass(frozen=True, slots=True)
class State:
    """Which functions are on, as numbers, and how the vehicle goes, as its decoder sees it."""

    functions: frozenset[int]
    forward: bool
    moving: bool


@dataclass(frozen=True, slots=True)
class Output:
    """An output of the sheet by its name and its number."""

    name: str
    number: int


def function_number(key: str) -> int:
    """F0 to F68 as a number. Raises InterpreterError for any other text."""
    found = re.fullmatch(r"F(0|[1-9][0-9]?)", key)
    if not found or int(found[1]) > HIGHEST_FUNCTION:
        raise InterpreterError(f"{key!r} is no function key")
    return int(found[1])


def function_numbers(keys: Iterable[str]) -> frozenset[int]:
    return frozenset(function_number(key) for key in keys)


def holds(when: Any, state: State) -> bool:
    """A condition as YAML gives it: a word, a list that means all of them, or {any: [...]}.

    Source: `forward`, `reverse`, `moving`, `stopped`, F0 to F68, each also with "not" before it, of the plan language.
    """
    if isinstance(when, list):
        return all(holds(part, state) for part in when)
    if isinstance(when, dict) and set(when) == {"any"}:
        return any(holds(part, state) for part in when["any"])
    if not isinstance(when, str):
        raise InterpreterError(f"{when!r} is no condition")
    word = when.removeprefix("not ")
    return _word_holds(word, state) is (word == when)


def _word_holds(word: str, state: State) -> bool:
    match word:
        case "forward" | "reverse":
            return state.forward is (word == "forward")
        case "moving" | "stopped":
            return state.moving is (word == "moving")
    return function_number(word) in state.functions
