"""Values that were read out of a decoder: lines of CV and value become numbers, and lines that are neither come back.

Nothing is guessed: what is no CV with a value is told with its line. CV31 and CV32 choose the page of what follows.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from lampwright.analysis.programming.claims import HIGHEST_VALUE, PageNumber
from lampwright.analysis.programming.listing import POINTERS
from lampwright.analysis.programming.vehicle import HIGHEST_CV
from lampwright.text import Source

_PAGED = range(257, 513)

# `CV35 = 12`, `35: 12`, `cv 35;12`, `35,12`, `35 12`, `CV301 (page 77/5) = 12`, a decimal number or one such as 0x0C.
_LINE = re.compile(
    r"""(?:-\s*)?(?:CV)?\s*(?P<cv>[0-9]{1,9})
    (?:\s*\(?\s*page\s+(?P<high>[0-9]{1,9})\s*/\s*(?P<low>[0-9]{1,9})\s*\)?)?
    (?:\s*[=:;,]\s*|\s+)
    (?P<value>0x[0-9a-f]{1,8}|[0-9]{1,9})
    \s*(?:[#;].*)?\Z""",
    re.IGNORECASE | re.VERBOSE,
)
_HEADING = re.compile(r"\W*cv\W+value\W*\Z", re.IGNORECASE)

Place = tuple[PageNumber | None, int]


@dataclass(frozen=True, slots=True)
class Stray:
    """A line that says no value of a CV, and why: "no-cv", "cv", "value", "page" or "again"."""

    line: int
    text: str
    why: str


@dataclass(frozen=True, slots=True)
class ReadBack:
    """What was read out, by page and CV, in the order of the file; and the lines that could not be understood."""

    values: Mapping[Place, int]
    strays: tuple[Stray, ...]


@dataclass(slots=True)
class _Reading:
    values: dict[Place, int] = field(default_factory=dict)
    strays: list[Stray] = field(default_factory=list)
    page: dict[int, int] = field(default_factory=dict)

    def take(self, number: int, text: str) -> None:
        """Read one line."""
        if not text or text.startswith("#") or _HEADING.match(text):
            return
        found = _LINE.match(text)
        why = "no-cv" if found is None else self._keep(found)
        if why is not None:
            self.strays.append(Stray(number, text, why))

    def _keep(self, found: re.Match[str]) -> str | None:
        """Keep a value; why not, if it cannot be one."""
        cv, value = int(found["cv"]), int(found["value"], 0 if found["value"][:2].lower() == "0x" else 10)
        if not 1 <= cv <= HIGHEST_CV:
            return "cv"
        if value > HIGHEST_VALUE:
            return "value"
        page = self._page(cv, found)
        if page is not None and max(page) > HIGHEST_VALUE:
            return "page"
        if cv in POINTERS:
            self.page[cv] = value
            return None
        return None if self.values.setdefault((page, cv), value) == value else "again"

    def _page(self, cv: int, found: re.Match[str]) -> PageNumber | None:
        if found["high"] is not None:
            return int(found["high"]), int(found["low"])
        is_known = cv in _PAGED and set(POINTERS) <= set(self.page)
        return (self.page[POINTERS[0]], self.page[POINTERS[1]]) if is_known else None


def read_back(source: Source) -> ReadBack:
    """The values in a text. Never raises."""
    reading = _Reading()
    for number in range(1, len(source.line_starts) + 1):
        reading.take(number, source.line(number).strip())
    return ReadBack(reading.values, tuple(reading.strays))
