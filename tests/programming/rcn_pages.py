"""The four pages of RCN-227, one method of CV96 each: which functions switch an output, and which inhibit it.

Source: two digests of RCN-225 and RCN-227 that agree, second-hand. Assumed there: the lower byte holds the lower outputs,
and forward stands before reverse on the pages by output, as on the page by function.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from programming.conditions import HIGHEST_FUNCTION, Output, State
from programming.cv_memory import Memory, Place
from programming.knowledge import InterpreterError, Truth, Unknown, both, either, inverse

SwitchedOn = Callable[[Memory, State, Output], Truth]

UNUSED = 255


def function_or_state(highest: Any) -> Callable[[int, State], Truth]:
    """Numbers up to 28, or 68 for a decoder that has such functions, mean functions, and higher ones binary states.

    Binary states are no part of a plan's states, and nobody knows how they stand.
    """
    last = HIGHEST_FUNCTION if highest is not None and int(highest) > 28 else 28

    def is_on(number: int, state: State) -> Truth:
        return number in state.functions if number <= last else Unknown(f"the binary state {number}")

    return is_on


def by_function(memory: Memory, state: State, output: Output) -> Truth:
    """Four CVs a function and direction: bits for outputs 1 to 24, then the number of a function that inhibits it."""
    if output.number > 24:
        return False
    byte, bit = divmod(output.number - 1, 8)
    rows = [257 + 8 * function + 4 * (not state.forward) for function in state.functions if function <= 31]
    page = (0, 40)
    return either(
        both([memory.bit(Place(row + byte, page), bit), inverse(_inhibited(memory, Place(row + 3, page), state))])
        for row in rows
    )


def _inhibited(memory: Memory, place: Place, state: State) -> Truth:
    number = memory.number(place)
    if isinstance(number, Unknown):
        return number
    if number == UNUSED:
        return False
    if number > HIGHEST_FUNCTION:
        raise InterpreterError(f"{place} is {number}, which is no function")
    return number in state.functions


def _directed_row(state: State, output: Output) -> int:
    return 257 + 8 * (output.number - 1) + 4 * (not state.forward)


def by_output_matrix(memory: Memory, state: State, output: Output) -> Truth:
    """Four CVs an output and direction: one bit for each of F0 to F31."""
    if output.number > 32:
        return False
    row = _directed_row(state, output)
    return either(
        memory.bit(Place(row + function // 8, (0, 41)), function % 8) for function in state.functions if function <= 31
    )


def by_output_numbers(is_on: Callable[[int, State], Truth]) -> SwitchedOn:
    """Four CVs an output and direction: three numbers that switch it on, and one that inhibits."""

    def named(memory: Memory, state: State, cv: int) -> Truth:
        number = memory.number(Place(cv, (0, 42)))
        if isinstance(number, Unknown):
            return number
        return False if number == UNUSED else is_on(number, state)

    def switched_on(memory: Memory, state: State, output: Output) -> Truth:
        if output.number > 32:
            return False
        row = _directed_row(state, output)
        activated = either(named(memory, state, cv) for cv in range(row, row + 3))
        return both([activated, inverse(named(memory, state, row + 3))])

    return switched_on


def by_output_states(is_on: Callable[[int, State], Truth]) -> SwitchedOn:
    """Eight CVs an output: four functions with a direction or as inhibitors, then two numbers of two bytes each."""

    def switched_on(memory: Memory, state: State, output: Output) -> Truth:
        if output.number > 32:
            return False
        first = 257 + 8 * (output.number - 1)
        places = [Place(cv, (0, 43)) for cv in range(first, first + 8)]
        said = [_short(memory.number(place), state) for place in places[:4]]
        said += [_long(memory.number(places[at]), memory.number(places[at + 1]), state, is_on) for at in (4, 6)]
        activated = either(says.activates for says in said)
        return both([activated, inverse(either(says.inhibits for says in said))])

    return switched_on


@dataclass(frozen=True, slots=True)
class _Says:
    """What one place of an output says in a state."""

    activates: Truth = False
    inhibits: Truth = False


def _short(byte: int | Unknown, state: State) -> _Says:
    """Bits 0 to 5 a function; bits 7 and 6: 00 both directions, 01 forward, 10 reverse, 11 inhibits; 255 unused.

    So F63 cannot inhibit: it would be 255.
    """
    if isinstance(byte, Unknown):
        return _Says(byte, byte)
    if byte == UNUSED:
        return _Says()
    function_is_on, how = byte & 63 in state.functions, byte >> 6
    if how == 3:
        return _Says(inhibits=function_is_on)
    return _Says(activates=function_is_on and how in (0, 1 if state.forward else 2))


def _long(high: int | Unknown, low: int | Unknown, state: State, is_on: Callable[[int, State], Truth]) -> _Says:
    """Fifteen bits a number, high byte first; bit 7 of the first byte: it inhibits; twice 255 unused."""
    if isinstance(high, Unknown) or isinstance(low, Unknown):
        lacking = high if isinstance(high, Unknown) else low
        return _Says(lacking, lacking)
    if high == low == UNUSED:
        return _Says()
    switched = is_on((high & 127) << 8 | low, state)
    return _Says(inhibits=switched) if high & 128 else _Says(activates=switched)
