"""What the records beside the long runs say in short, for the README: figures with a promise, and what was withstood."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import groupby, takewhile

COUNTED = ("inputs", "messages", "broken promises", "not as it should be")
"""Columns of a record's table, or first cells of its rows, that are worth a place in one line."""


def promised(page: str) -> list[str]:
    """The rows of the table of figures of which something is promised, below its head."""
    found = re.search(r"<!-- figures -->\n(.*?)<!-- end -->", page, re.DOTALL)
    assert found is not None
    head, line, *rows = found[1].splitlines()
    column = _cells(head).index("promised")
    return [head, line, *(row for row in rows if _cells(row)[column].startswith("≤"))]


def withstood(link: str, page: str) -> str:
    """A line with the title of a record, and its sums: its list above its first table, or what its tables count."""
    lines = page.splitlines()
    title = next(line.removeprefix("# ") for line in lines if line.startswith("# "))
    said = list(_list_above(lines)) or list(_counted(lines))
    return f"- [{title}]({link}){': ' if said else ''}{' '.join(said)}"


def _list_above(lines: list[str]) -> Iterator[str]:
    above = takewhile(lambda line: not line.startswith("|"), lines)
    return (line.removeprefix("- ") for line in above if line.startswith("- "))


def _counted(lines: list[str]) -> Iterator[str]:
    """A sentence for each row that counts something, or for each table whose rows do, after the heading above it."""
    heading = ""
    for is_table, some in groupby(lines, lambda line: line.startswith("|")):
        if not is_table:
            *_, heading = heading, *(line.lstrip("# ") for line in some if line.startswith("## "))
            continue
        head, _, *rows = map(_cells, some)
        by_row = [f"{row[1]} {row[0]}" for row in rows if row[0] in COUNTED]
        sentences = [(heading, by_row)] if by_row else []
        for row in rows:
            counts = [f"{cell} {name}" for name, cell in zip(head, row, strict=True) if name in COUNTED]
            sentences += [(row[0].capitalize(), counts)] if head[0] not in COUNTED and counts else []
        yield from (f"{what}: {', '.join(counts)}." for what, counts in sentences)


def _cells(line: str) -> list[str]:
    return [cell.strip() for cell in line.strip().strip("|").split("|")]
