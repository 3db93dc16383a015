"""What the records beside the long runs say in short, for the README: figures with a promise, and what was withstood."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import dropwhile, takewhile

COUNTED = ("inputs", "messages", "texts", "broken promises")
"""Columns of a record that are worth a place in one line."""


def promised(page: str) -> list[str]:
    """The rows of the table of figures of which something is promised, below its head."""
    found = re.search(r"<!-- figures -->\n(.*?)<!-- end -->", page, re.DOTALL)
    assert found is not None
    head, line, *rows = found[1].splitlines()
    column = _cells(head).index("promised")
    return [head, line, *(row for row in rows if _cells(row)[column].startswith("≤"))]


def withstood(link: str, page: str) -> str:
    """A line with the title of a record, and its sums: its list above its first table, or what that table counts."""
    title = next(line.removeprefix("# ") for line in page.splitlines() if line.startswith("# "))
    said = list(_list_above(page)) or list(_rows_counted(page))
    return f"- [{title}]({link}){': ' if said else ''}{' '.join(said)}"


def _list_above(page: str) -> Iterator[str]:
    above = takewhile(lambda line: not line.startswith("|"), page.splitlines())
    return (line.removeprefix("- ") for line in above if line.startswith("- "))


def _rows_counted(page: str) -> Iterator[str]:
    table = dropwhile(lambda line: not line.startswith("|"), page.splitlines())
    rows = [_cells(line) for line in takewhile(lambda line: line.startswith("|"), table)]
    for row in rows[2:]:
        counts = [f"{cell} {name}" for name, cell in zip(rows[0], row, strict=True) if name in COUNTED]
        if counts:
            yield f"{row[0].capitalize()}: {', '.join(counts)}."


def _cells(line: str) -> list[str]:
    return [cell.strip() for cell in line.strip().strip("|").split("|")]
