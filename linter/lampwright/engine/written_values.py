"""What is written of a CV becomes a number at its place, or a stray with the reason why it is none.

Nothing is guessed. CV31 and CV32 choose the page of what follows and names none itself. Knows no form of file.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final, Literal

from lampwright.analysis.programming.claims import HIGHEST_VALUE, PageNumber
from lampwright.analysis.programming.listing import POINTERS
from lampwright.analysis.programming.vehicle import HIGHEST_CV
from lampwright.patterns import pattern
from lampwright.records import dataclass, field

Place = tuple[PageNumber | None, int]

CV: Final = r"(?:CV)?\s*(?P<cv>[0-9]{1,9})(?:\s*\(?\s*page\s+(?P<high>[0-9]{1,9})\s*/\s*(?P<low>[0-9]{1,9})\s*\)?)?"
"""`35`, `CV 35`, `CV301 (page 77/5)`; to be matched without regard to case, as the next one is."""
VALUE: Final = r"(?P<value>0x[0-9a-f]{1,8}|[0-9]{1,9})"
"""A decimal number, or one such as 0x0C."""

_PAGED = range(257, 513)
_CV = pattern(rf"\s*{CV}\s*\Z", re.IGNORECASE)
_VALUE = pattern(rf"\s*{VALUE}\s*\Z", re.IGNORECASE)
_BYTE = pattern(r"\s*[0-9]{1,9}\s*\Z")

Pages = tuple[str, str] | Literal["none", "as chosen"]
"""What is written for CV31 and CV32; or that there is no page, or that which was chosen before."""


@dataclass(frozen=True, slots=True)
class Stray:
    """What says no value of a CV, and why: "no-cv", "cv", "value", "page", "again" or "syntax"."""

    line: int
    text: str
    why: str


@dataclass(frozen=True, slots=True)
class ReadBack:
    """What was read out, by page and CV, in the order of the file; and what could not be understood."""

    values: Mapping[Place, int]
    strays: tuple[Stray, ...]


@dataclass(slots=True)
class Reading:
    """What was understood so far of one file."""

    values: dict[Place, int] = field(default_factory=dict)
    strays: list[Stray] = field(default_factory=list)
    chosen: dict[int, int] = field(default_factory=dict)

    @property
    def read_back(self) -> ReadBack:
        """All of it, the strays by their lines."""
        return ReadBack(self.values, tuple(sorted(self.strays, key=lambda stray: stray.line)))

    def reject(self, line: int, text: str, why: str) -> None:
        """Tell of a text that says no value."""
        self.strays.append(Stray(line, text.partition("\n")[0], why))

    def take(self, line: int, text: str, cv: str, value: str, pages: Pages = "as chosen") -> None:
        """Keep a value, or tell why it cannot be one. `text` is what is quoted then; a page in `cv` counts first."""
        why = self._keep(cv, value, pages)
        if why is not None:
            self.reject(line, text, why)

    def _keep(self, cv: str, value: str, pages: Pages) -> str | None:
        named, held = _CV.match(cv), _VALUE.match(value)
        if named is None or held is None:
            return "no-cv"
        number, content = int(named["cv"]), int(held["value"], 16 if "x" in held["value"].lower() else 10)
        if not 1 <= number <= HIGHEST_CV:
            return "cv"
        if content > HIGHEST_VALUE:
            return "value"
        said = (named["high"], named["low"]) if named["high"] is not None else pages
        if isinstance(said, tuple) and not all(_BYTE.match(each) and int(each) <= HIGHEST_VALUE for each in said):
            return "page"
        if number in POINTERS:
            self.chosen[number] = content
            return None
        return None if self.values.setdefault((self._page(number, said), number), content) == content else "again"

    def _page(self, cv: int, said: Pages) -> PageNumber | None:
        if isinstance(said, tuple):
            return int(said[0]), int(said[1])
        is_chosen = said == "as chosen" and cv in _PAGED and set(POINTERS) <= set(self.chosen)
        return (self.chosen[POINTERS[0]], self.chosen[POINTERS[1]]) if is_chosen else None
