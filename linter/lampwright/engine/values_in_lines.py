"""Lines of a CV and its value, as programmers and spreadsheets write them, and tables with a heading.

`35: 12` is such a line as well, so that one bad line of a YAML mapping costs itself only.
"""

from __future__ import annotations

import csv
import re

from lampwright.engine.written_values import CV, VALUE, Pages, Reading
from lampwright.patterns import pattern
from lampwright.records import dataclass
from lampwright.text import Source

# `CV35 = 12`, `35: 12`, `cv 35;12`, `35,12`, `"35","12"`, `35 12`, with a comment behind it or empty cells.
_LINE = pattern(
    rf"(?:-\s*)?(?P<quote>[\"']?){CV}(?P=quote)(?:\s*[=:;,]\s*|\s+)(?P<mark>[\"']?){VALUE}(?P=mark)[\s,]*(?:[#;].*)?\Z",
    re.IGNORECASE,
)
_HEADING = pattern(r"\W*cv\W+value\W*\Z", re.IGNORECASE)
_NOTHING = pattern(r"(?:---|[\s,;]*)\Z")


@dataclass(frozen=True, slots=True)
class _Columns:
    """Where a table has what: the number of each column by the word above it, in small letters."""

    delimiter: str
    numbers: dict[str, int]

    def cells(self, line: str) -> dict[str, str] | None:
        """The cells of one row by those words; None if it is none, or has fewer than it needs."""
        row = _row(line, self.delimiter)
        cells = {word: row[number].strip() for word, number in self.numbers.items() if number < len(row)}
        return cells if "cv" in cells and "value" in cells else None


def read_lines(source: Source, reading: Reading) -> None:
    """Take all lines of a text."""
    columns: _Columns | None = None
    for number in range(1, len(source.line_starts) + 1):
        line = source.line(number)
        text = line.strip()
        if _NOTHING.match(text) or text.startswith("#") or _HEADING.match(text):
            continue
        heading = _heading(text)
        if heading is not None:
            columns = heading
        elif columns is not None:
            _take_row(number, line, columns, reading)
        else:
            _take_line(number, text, reading)


def _take_line(number: int, text: str, reading: Reading) -> None:
    found = _LINE.match(text)
    if found is None:
        reading.reject(number, text, "no-cv")
        return
    pages: Pages = (found["high"], found["low"]) if found["high"] is not None else "as chosen"
    reading.take(number, text, found["cv"], found["value"], pages)


def _take_row(number: int, line: str, columns: _Columns, reading: Reading) -> None:
    cells = columns.cells(line)
    if cells is None:
        reading.reject(number, line.strip(), "no-cv")
        return
    pages: Pages = "as chosen"
    if "cv31" in cells and "cv32" in cells:
        pages = (cells["cv31"], cells["cv32"]) if cells["cv31"] or cells["cv32"] else "none"
    reading.take(number, line.strip(), cells["cv"], cells["value"], pages)


def _heading(text: str) -> _Columns | None:
    """The columns, if `text` is a row of words in which a CV and a value are named."""
    if "value" not in text.lower():
        return None
    for delimiter in ",;\t":
        words = [word.strip().lower() for word in _row(text, delimiter)]
        if "cv" in words and "value" in words:
            return _Columns(delimiter, {word: number for number, word in reversed([*enumerate(words)])})
    return None


def _row(line: str, delimiter: str) -> list[str]:
    try:
        return next(csv.reader([line], delimiter=delimiter), [])
    except csv.Error:
        # A cell that is longer than any that a table of CVs has.
        return []
