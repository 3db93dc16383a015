"""An order as a table for the way to the shop: what, how many, what lies in stock; below each line, for which plans."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from lampwright.account.columns import left, right, width
from lampwright.account.orders import OrderList, remarks, said_buy, suggestion_lines, sums, title
from lampwright.account.parts import part_bands, part_catalogue, part_data, part_name, section
from lampwright.analysis.ordering import Line
from lampwright.harmless import harmless_text, visible

WIDTH = 100
"""Columns where nothing says how many there are."""

_HEADS = ("needed", "spare", "in stock", "to buy")
_GAP = "  "


def render_order_text(listed: OrderList, width: int = WIDTH) -> str:
    """The table, with a line end; then which plans are not in it, and what could be simpler."""
    layout = _Layout(listed.order.lines, width)
    lines = [*_wrapped(f"{title(listed)}: {sums(listed)}", width)]
    if listed.order.lines:
        lines += ["", *layout.heads()]
    last = None
    for line in listed.order.lines:
        if section(line.part) != last:
            last = section(line.part)
            lines += ["", last]
        lines += layout.lines(line)
    simpler = suggestion_lines(listed.suggestions)
    for heading, texts in (("not counted", remarks(listed)), ("could be simpler", simpler)):
        said = [visible(text) for text in texts]
        if said:
            lines += ["", f"{heading}:", *(part for text in said for part in _wrapped(_GAP + text, width))]
    return harmless_text(lines)


def _wrapped(text: str, width: int) -> list[str]:
    indent = " " * (len(text) - len(text.lstrip()))
    return textwrap.wrap(
        text, width, subsequent_indent=f"{indent}{_GAP}", break_long_words=False, break_on_hyphens=False
    )


class _Layout:
    """The columns of the table. A name that is too wide for its column has a line of its own."""

    def __init__(self, lines: Sequence[Line], columns: int) -> None:
        self._columns = columns
        rows = [_HEADS, *(_figures(line) for line in lines)]
        self._widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
        room = columns - sum(self._widths) - len(_GAP) * (len(_HEADS) + 1)
        self._name = max(0, min(room, max((width(visible(part_name(line.part))) for line in lines), default=0)))

    def heads(self) -> Iterator[str]:
        yield self._row("", _HEADS)

    def lines(self, line: Line) -> Iterator[str]:
        name = visible(part_name(line.part))
        if width(name) > self._name:
            yield f"{_GAP}{name}"
            name = ""
        yield self._row(name, _figures(line))
        for text in _details(line):
            yield from _wrapped(f"{_GAP * 2}{text}", self._columns)

    def _row(self, name: str, cells: Sequence[str]) -> str:
        aligned = [right(cell, size) for cell, size in zip(cells, self._widths, strict=True)]
        return (_GAP + _GAP.join([left(name, self._name), *aligned])).rstrip()


def _figures(line: Line) -> tuple[str, ...]:
    stock = "" if line.stock is None else str(line.stock)
    return str(line.quantity), str(line.spares), stock, said_buy(line) or "-"


def _details(line: Line) -> Iterator[str]:
    """How it is marked or known, and who needs it."""
    catalogue = part_catalogue(line.part)
    if catalogue is not None:
        yield f"{visible(catalogue)}: {visible(part_data(line.part))}"
    if bands := part_bands(line.part):
        yield " ".join(bands)
    yield "for " + ", ".join(f"{visible(plan)} ({count})" for plan, count in line.plans)
