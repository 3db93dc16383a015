"""What each CV of a mapping method is for: whose it is, and whether it holds bits, a key's number, or half of one."""

from __future__ import annotations

from enum import Enum

from lampwright.analysis.programming.by_function import ByFunction
from lampwright.analysis.programming.claims import PageNumber
from lampwright.analysis.programming.matrix import WIDTH, FunctionMatrix
from lampwright.analysis.programming.methods import Method
from lampwright.analysis.programming.rcn_pages import FIRST, SELECTOR, ByOutputMatrix, ByOutputNumbers, ByOutputStates
from lampwright.records import dataclass

LAST = 512


class Holds(Enum):
    """What stands in a CV of a mapping."""

    METHOD = "the number of the method"
    OUTPUTS = "a bit for each of eight outputs that a key turns on"
    KEYS = "a bit for each of eight keys that turn an output on"
    KEY = "the number of a key that turns an output on"
    FORBIDDING = "the number of a key that forbids"
    STATE = "the number of a key, and how it works on the output"
    HIGH = "the high byte of such a number"
    LOW = "the low byte of such a number"


@dataclass(frozen=True, slots=True)
class Slot:
    """The use of one CV. `key` or `output` is whose it is, `forward` the direction, None for both.

    `first` is the output or key of bit 0.
    """

    holds: Holds
    key: int | None = None
    output: int | None = None
    forward: bool | None = None
    first: int = 0


def slot_of(method: Method | None, cv: int, page: PageNumber | None) -> Slot | None:
    """The use that `method` has for a CV, None if it has none."""
    if cv == SELECTOR and page is None and method is not None and method.is_second_hand:
        return Slot(Holds.METHOD)
    if isinstance(method, FunctionMatrix):
        row = next((row for row in method.rows if row.cv == cv and page is None), None)
        if row is None:
            return None
        return Slot(Holds.OUTPUTS, key=row.term.key, forward=row.term.forward, first=method.first_output(row))
    if not isinstance(method, ByFunction | ByOutputMatrix | ByOutputNumbers | ByOutputStates):
        return None
    if page != method.page or not FIRST <= cv <= LAST:
        return None
    number, offset = divmod(cv - FIRST, 8)
    if isinstance(method, ByOutputStates):
        return Slot((Holds.STATE, Holds.HIGH, Holds.LOW)[0 if offset < 4 else 1 + offset % 2], output=number + 1)
    forward, byte = offset < 4, offset % 4
    if isinstance(method, ByFunction):
        holds = Holds.FORBIDDING if byte == 3 else Holds.OUTPUTS
        return Slot(holds, key=number, forward=forward, first=WIDTH * byte + 1)
    if isinstance(method, ByOutputMatrix):
        return Slot(Holds.KEYS, output=number + 1, forward=forward, first=WIDTH * byte)
    return Slot(Holds.FORBIDDING if byte == 3 else Holds.KEY, output=number + 1, forward=forward)
