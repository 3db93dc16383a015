"""The CVs of one decoder: what a list of writes leaves in them, bit for bit, and which bits nobody knows.

It knows the CVs that govern writing itself: the page registers CV31 and CV32, the read-only CV7 and CV8, the lock CV15
and CV16, the pair CV17 and CV18; and that 8 written into CV8 is a reset (RCN-226, read second-hand). What the values
mean is not its matter.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from programming.knowledge import InterpreterError, Truth, Unknown

Page = tuple[int, int]
"""The values of CV31 and CV32."""

INDEXED = range(257, 513)
READ_ONLY = (7, 8)
ALL_BITS = 255


@dataclass(frozen=True, slots=True)
class Place:
    """One CV; those of the indexed area exist once on each page."""

    cv: int
    page: Page | None = None

    def __str__(self) -> str:
        return f"CV{self.cv}" + (f" on page {self.page[0]}/{self.page[1]}" if self.page else "")


@dataclass(frozen=True, slots=True)
class Byte:
    """Eight bits, of which only those of the mask `known` are known."""

    value: int = 0
    known: int = 0

    def written(self, value: int, mask: int) -> Byte:
        return Byte(self.value & ~mask | value & mask, self.known | mask)

    def possible(self) -> Iterator[int]:
        """All values that agree with the known bits."""
        return (number for number in range(256) if (number ^ self.value) & self.known == 0)


@dataclass(frozen=True, slots=True)
class Write:
    """One line of a programming list."""

    cv: int
    value: int
    mask: int
    page: Page | None

    @classmethod
    def read(cls, line: Mapping[str, Any]) -> Write:
        """A line as `lampwright cvs --format json` prints it; without a mask all bits are written."""
        page = line.get("page")
        cv = _number(line, line.get("cv"), 1, 1024)
        if page is not None and (cv not in INDEXED or len(page) != 2):
            raise InterpreterError(f"only CV257 to CV512 stand on a page, of two numbers: {dict(line)}")
        return cls(
            cv,
            _number(line, line.get("value"), 0, ALL_BITS),
            _number(line, line.get("mask", ALL_BITS), 0, ALL_BITS),
            None if page is None else (_number(line, page[0], 0, ALL_BITS), _number(line, page[1], 0, ALL_BITS)),
        )


def _number(line: Mapping[str, Any], written: Any, lowest: int, highest: int) -> int:
    if type(written) is not int or not lowest <= written <= highest:
        raise InterpreterError(f"{written!r} is no whole number from {lowest} to {highest}: {dict(line)}")
    return written


class Memory:
    """The CVs of one decoder from its delivery on."""

    def __init__(self, delivered: Mapping[Place, Byte]) -> None:
        # Nobody says how a lock is delivered. A new decoder takes writes, so both are equal, and 0 is as good as any.
        self._delivered = {Place(15): Byte(0, ALL_BITS), Place(16): Byte(0, ALL_BITS), **delivered}
        self._bytes = dict(self._delivered)
        self._waiting: Byte | None = None

    def byte(self, place: Place) -> Byte:
        return self._bytes.get(place, Byte())

    def number(self, place: Place, mask: int = ALL_BITS) -> int | Unknown:
        """The bits of the mask, where they stand, or unknown if one of them is."""
        byte = self.byte(place)
        return byte.value & mask if byte.known & mask == mask else Unknown(f"the value of {place}")

    def bit(self, place: Place, bit: int) -> Truth:
        number = self.number(place, 1 << bit)
        return number if isinstance(number, Unknown) else number != 0

    def surely(self, cv: int, mask: int = ALL_BITS) -> int:
        """The bits of the mask. Raises InterpreterError if one of them is unknown."""
        number = self.number(Place(cv), mask)
        if isinstance(number, Unknown):
            raise InterpreterError(f"not known: {number.lacks}")
        return number

    def write(self, lines: Iterable[Mapping[str, Any]]) -> list[Write]:
        """Writes the lines in order and returns those that the lock refused.

        A list that names CV31 or CV32 selects its pages by itself, and each line with a page must find it selected. In
        any other list a line's page is selected before the line.
        """
        writes = [Write.read(line) for line in lines]
        selects = not any(write.cv in (31, 32) for write in writes)
        return [write for write in writes if not self._accept(write, selects_page=selects)]

    def _accept(self, write: Write, *, selects_page: bool) -> bool:
        is_reset = (write.cv, write.value, write.mask) == (8, 8, ALL_BITS)
        if write.cv in READ_ONLY and not is_reset:
            raise InterpreterError(f"CV{write.cv} is read-only")
        if write.cv != 15 and self.surely(15) != self.surely(16):
            return False
        if is_reset:
            self._bytes, self._waiting = dict(self._delivered), None
            return True
        if selects_page and write.page is not None:
            self._bytes |= {Place(31 + at): Byte(half, ALL_BITS) for at, half in enumerate(write.page)}
        self._put(self._place(write), write)
        return True

    def _put(self, place: Place, write: Write) -> None:
        """CV17 waits for CV18, so that no half of an address is ever obeyed (N921, read)."""
        if place.cv == 17:
            self._waiting = (self._waiting or self.byte(place)).written(write.value, write.mask)
            return
        if place.cv == 18 and self._waiting is not None:
            self._bytes[Place(17)], self._waiting = self._waiting, None
        self._bytes[place] = self.byte(place).written(write.value, write.mask)

    def _place(self, write: Write) -> Place:
        if write.cv not in INDEXED:
            return Place(write.cv)
        selected = (self.surely(31), self.surely(32))
        if write.page not in (None, selected):
            raise InterpreterError(f"{Place(write.cv, write.page)} is written while {selected} is selected")
        return Place(write.cv, selected)
