"""Which functions switch an output: CV33 to CV46 of S-9.2.2, the four pages of RCN-227, or a fixed table of the sheet.

A mapping answers for one output in one state, and says unknown where the CVs that decide are. What a lit output looks
like is not its matter.

Sources: S-9.2.2 (2012) Table 2, read; CV96 second-hand.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from programming.conditions import Output, Sheet, State, function_number, holds
from programming.cv_memory import Memory, Place
from programming.knowledge import InterpreterError, Truth, Unknown, either
from programming.rcn_pages import (
    SwitchedOn,
    by_function,
    by_output_matrix,
    by_output_numbers,
    by_output_states,
    function_or_state,
)

DELIVERED_MATRIX = dict(zip(range(33, 47), (1, 2, 4, 8, 16, 4, 8, 16, 32, 64, 16, 32, 64, 128), strict=True))
"""S-9.2.2: each function on an output of its own, F0 forward on 1 to F12 on 14 (outputs read, values derived)."""

METHODS = {
    "function-matrix": 1,
    "by-function": 2,
    "by-output-matrix": 3,
    "by-output-numbers": 4,
    "by-output-states": 5,
}
"""What CV96 says of each mapping (second-hand)."""


def mapping_of(sheet: Sheet) -> SwitchedOn:
    """The mapping that a sheet names. Raises InterpreterError if it names none, or one that is not of the language."""
    keys = sheet.get("keys", {})
    named = keys.get("mapping")
    settings = named.get("function-matrix") if isinstance(named, dict) and set(named) == {"function-matrix"} else None
    if settings is not None or named == "function-matrix":
        return _selected("function-matrix", _matrix(first_outputs(sheet)))
    if named == "fixed":
        return lambda _memory, state, output: bool(fixed_entries(sheet, state, output))
    pages = {
        "by-function": by_function,
        "by-output-matrix": by_output_matrix,
        "by-output-numbers": by_output_numbers(function_or_state(keys.get("highest"))),
        "by-output-states": by_output_states(function_or_state(keys.get("highest"))),
    }
    if not isinstance(named, str) or named not in pages:
        raise InterpreterError(f"the sheet's mapping is {named!r}: cannot tell what a function switches")
    return _selected(named, pages[named])


def _selected(name: str, mapping: SwitchedOn) -> SwitchedOn:
    """The mapping, provided that CV96 selects it. CV33 to CV46 need no selection: S-9.2.2 knows no CV96."""

    def switched_on(memory: Memory, state: State, output: Output) -> Truth:
        method = memory.number(Place(96))
        if isinstance(method, Unknown):
            return mapping(memory, state, output) if name == "function-matrix" else method
        if method != METHODS[name]:
            raise InterpreterError(f"CV96 is {method}, but the sheet's mapping {name} is {METHODS[name]}")
        return mapping(memory, state, output)

    return switched_on


# --- CV33 to CV46 -----------------------------------------------------------------------------------------------------


def matrix_cv(function: int, *, forward: bool) -> int:
    """The CV of F0 to F12; only F0 has one for each direction."""
    return 33 if function == 0 and forward else 34 + function


def standard_first_output(function: int) -> int:
    """Where the window of eight outputs begins: 1 for F0 to F3, 4 for F4 to F8, 7 for F9 to F12."""
    return 1 if function <= 3 else 4 if function <= 8 else 7


def first_outputs(sheet: Sheet) -> dict[int, int]:
    """The beginning of each function's window: that of the standard, unless the sheet says another."""
    starts = {function: standard_first_output(function) for function in range(13)}
    named = sheet["keys"]["mapping"]
    for keys, start in (named["function-matrix"].get("first-output", {}) if isinstance(named, dict) else {}).items():
        lowest, _, highest = keys.partition(" to ")
        functions = range(function_number(lowest), function_number(highest or lowest) + 1)
        starts |= dict.fromkeys(functions, int(start))
    return starts


def _matrix(starts: Mapping[int, int]) -> SwitchedOn:
    def switched_on(memory: Memory, state: State, output: Output) -> Truth:
        bits = {function: output.number - start for function, start in starts.items() if function in state.functions}
        return either(
            memory.bit(Place(matrix_cv(function, forward=state.forward)), bit)
            for function, bit in bits.items()
            if 0 <= bit <= 7 and function <= 12
        )

    return switched_on


# --- A fixed table ----------------------------------------------------------------------------------------------------


def fixed_entries(sheet: Sheet, state: State, output: Output) -> list[Mapping[str, Any]]:
    """The entries of `keys.fixed` that light the output in the state; none with any other mapping."""
    keys = sheet.get("keys", {})
    if keys.get("mapping") != "fixed":
        return []
    return list(_holding(keys.get("fixed", {}), state, output.name))


def _holding(fixed: Mapping[str, Any], state: State, name: str) -> Iterable[Mapping[str, Any]]:
    for key, entries in fixed.items():
        for entry in entries:
            outputs = entry["output"] if isinstance(entry["output"], list) else [entry["output"]]
            if name in outputs and holds([key, entry.get("when", [])], state):
                yield entry
