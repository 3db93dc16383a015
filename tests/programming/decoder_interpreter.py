"""A decoder, played from its sheet and from the CVs written into it: which outputs it lights, and how.

Written from the published standards and the plan language alone, to judge programming lists from outside: it imports
nothing of the program, and computes no CVs.

    decoder = Decoder.from_sheet(read_sheet(path.read_text("utf-8")))
    refused = decoder.write(programming_list["cvs"])        # lines of `lampwright cvs --format json`
    decoder.lit({"F0", "F3"}, forward=True, moving=False)   # {"white": Look("steady", 1.0, None), ...}
    decoder.output("white", {"F0"}, forward=True, moving=False)   # Look, or None if dark
    decoder.address()                                       # (2107, True)

`forward` is the direction that the throttle sends. CV29 bit 0 turns it round for everything in the decoder: the two
rows of F0, directions on pages, and conditions of registers. `keys` are the functions that are on; those above the
sheet's `highest` are ignored. What is not known (a CV without a default of the standards or of the sheet, as long as
nothing has been written into it) raises InterpreterError where the answer hangs on it, and only there. So does a sheet
that cannot tell, a code without a meaning, a write to CV7 or CV8 that is no reset, and a list that contradicts itself.

`lit` asks all outputs of the sheet, so one that nobody can tell about fails all; `output` asks one.
What a sheet may say of registers, and how it is read where the language is silent, stands in `registers`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from io import StringIO
from typing import Any

from ruamel.yaml import YAML

from programming.conditions import Output, Sheet, State, function_number, function_numbers
from programming.cv_memory import ALL_BITS, Byte, Memory, Place, Write
from programming.function_mapping import (
    DELIVERED_MATRIX,
    first_outputs,
    fixed_entries,
    mapping_of,
    matrix_cv,
    standard_first_output,
)
from programming.knowledge import InterpreterError, both
from programming.register_fields import delivered
from programming.registers import Look, condition_holds, look

__all__ = ["Decoder", "InterpreterError", "Look", "read_sheet"]

HIGHEST_LONG_ADDRESS = 10239
"""CV17 from 192 to 231, CV18 any: (231 - 192) * 256 + 255."""


def read_sheet(text: str) -> dict[str, Any]:
    """A decoder sheet as plain mappings, lists and texts: no scalar becomes a number or a truth value."""
    sheet = YAML(typ="base", pure=True).load(StringIO(text))
    if not isinstance(sheet, dict):
        raise InterpreterError("a sheet is a mapping")
    return sheet


class Decoder:
    """A decoder that has been delivered, and remembers what is written into it."""

    def __init__(self, sheet: Sheet, memory: Memory) -> None:
        self._sheet = sheet
        self._memory = memory
        self.outputs = {name: Output(name, int(given["number"])) for name, given in sheet.get("outputs", {}).items()}

    @classmethod
    def from_sheet(cls, sheet: Sheet) -> Decoder:
        """A new decoder: with the defaults of the standards, and those of the sheet's registers.

        CV1 is 3 (S-9.2.2, read). Of CV29, bit 7 is 0, a mobile decoder; bit 5, since CV1's default would mean nothing
        otherwise (derived); and bit 0 (common practice). Its other bits are unknown.
        """
        standard = {Place(1): Byte(3, ALL_BITS), Place(29): Byte(0, 0b1010_0001)}
        return cls(sheet, Memory(standard | _delivered_matrix(sheet) | delivered(sheet)))

    def write(self, cvs: Iterable[Mapping[str, Any]]) -> list[Write]:
        """Writes lines with `cv`, `value`, `mask`, `page` in order, and returns those that CV15/CV16 locked out.

        A line without a mask writes all bits. Raises InterpreterError as `cv_memory.Memory.write` does.
        """
        return self._memory.write(cvs)

    # --- Light ---

    def lit(self, keys: Iterable[str], forward: bool, moving: bool) -> dict[str, Look]:
        """The look of each output that is lit, by its name in the sheet."""
        on = set(keys)
        looks = {name: self.output(name, on, forward, moving) for name in self.outputs}
        return {name: seen for name, seen in looks.items() if seen is not None}

    def output(self, name: str, keys: Iterable[str], forward: bool, moving: bool) -> Look | None:
        """The look of one output, or None if it is dark."""
        if name not in self.outputs:
            raise InterpreterError(f"the sheet has no output {name!r}")
        state, output = self._state(keys, forward, moving), self.outputs[name]
        switched_on = mapping_of(self._sheet)(self._memory, state, output)
        if switched_on is False:
            return None
        # An unknown that counts raises where it is asked for its truth.
        if not both([switched_on, condition_holds(self._sheet, self._memory, state, name)]):
            return None
        return look(self._sheet, self._memory, name, fixed_entries(self._sheet, state, output))

    def _state(self, keys: Iterable[str], forward: bool, moving: bool) -> State:
        highest = int(self._sheet.get("keys", {}).get("highest", 68))
        functions = frozenset(number for number in function_numbers(keys) if number <= highest)
        return State(functions, forward is not self.direction_reversed, moving)

    # --- Settings of the standards ---

    @property
    def direction_reversed(self) -> bool:
        """CV29 bit 0: forward and reverse are swapped, the headlights with them."""
        return self._memory.surely(29, 1) != 0

    @property
    def f0_in_function_group(self) -> bool:
        """CV29 bit 1: F0 is obeyed in function group one; else in the speed packets of 14 steps."""
        return self._memory.surely(29, 2) != 0

    def address(self) -> tuple[int, bool]:
        """The address that the decoder obeys, and whether it is the long one.

        Raises InterpreterError if it obeys none: CV1 not 1 to 127, CV17 not 192 to 231, or a long address of 0.
        """
        if self._memory.surely(29, 1 << 5) == 0:
            return _within(self._memory.surely(1), 127, "CV1"), False
        high, low = self._memory.surely(17), self._memory.surely(18)
        return _within((high - 192) * 256 + low, HIGHEST_LONG_ADDRESS, "CV17/CV18"), True

    def consist_address(self) -> int | None:
        """CV19 bits 0 to 6, and a hundred times CV20 (RCN-225, second-hand) if CV20 was ever written; None for 0."""
        hundreds = self._memory.surely(20) if self._memory.byte(Place(20)).known else 0
        return 100 * hundreds + self._memory.surely(19, 127) or None

    @property
    def consist_reversed(self) -> bool:
        """CV19 bit 7: the vehicle runs the other way round in its consist."""
        return self._memory.surely(19, 128) != 0

    def obeys_consist(self, key: str, *, forward: bool = True) -> bool:
        """Whether a function is obeyed at the consist address; F0 has a bit for each direction.

        CV21 for F1 to F8; CV22 for F0 and F9 to F12 (S-9.2.2, read), its bits 6 and 7 for F13 to F20 and F21 to F28
        (RCN-225, second-hand). Functions above have no bit: not obeyed.
        """
        place = _consist_bit(function_number(key), forward=forward is not self.direction_reversed)
        return place is not None and self._memory.surely(place[0], 1 << place[1]) != 0

    def lit_in_consist(
        self, keys: Iterable[str], forward: bool, moving: bool, own_keys: Iterable[str] = ()
    ) -> dict[str, Look]:
        """What is lit when `keys` and the direction go to the consist address, and `own_keys` to the decoder's own."""
        way = forward is not self.consist_reversed
        here = {key for key in keys if self.obeys_consist(key, forward=way)}
        return self.lit(here | {key for key in own_keys if not self.obeys_consist(key, forward=way)}, way, moving)


def _within(address: int, highest: int, cvs: str) -> int:
    if not 1 <= address <= highest:
        raise InterpreterError(f"{cvs} hold no address")
    return address


def _consist_bit(function: int, *, forward: bool) -> tuple[int, int] | None:
    if function == 0:
        return 22, 0 if forward else 1
    if function <= 8:
        return 21, function - 1
    if function <= 12:
        return 22, function - 7
    return (22, 6 if function <= 20 else 7) if function <= 28 else None


def _delivered_matrix(sheet: Sheet) -> dict[Place, Byte]:
    """CV33 to CV46 on delivery; unknown for a function whose window the sheet has moved, for it names other outputs."""
    named = sheet.get("keys", {}).get("mapping")
    moved = first_outputs(sheet) if isinstance(named, dict) and "function-matrix" in named else {}
    unmoved = [n for n in range(13) if moved.get(n, standard_first_output(n)) == standard_first_output(n)]
    cvs = {matrix_cv(function, forward=forward) for function in unmoved for forward in (True, False)}
    return {Place(cv): Byte(DELIVERED_MATRIX[cv], ALL_BITS) for cv in cvs}
