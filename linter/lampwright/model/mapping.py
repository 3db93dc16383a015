"""How a decoder sheet says that keys are mapped to outputs: the method, its windows, or what is fixed."""

from __future__ import annotations

from lampwright.model.keys import Key
from lampwright.model.values import Number
from lampwright.records import dataclass
from lampwright.text import Span


@dataclass(frozen=True, slots=True)
class Window:
    """For the keys from `lowest` to `highest`, the number of the output that bit 0 stands for."""

    lowest: int
    highest: int
    first_output: Number


@dataclass(frozen=True, slots=True)
class KeyMapping:
    """The method by its name on the sheet. `windows` differ from those of S-9.2.2; `fixed` is what cannot be changed.

    `span` is the method's name.
    """

    method: str
    span: Span
    windows: tuple[Window, ...] = ()
    fixed: tuple[Key, ...] = ()
