"""An order as a table for spreadsheets and shops, by RFC 4180: a row a part, nothing of it a formula."""

from __future__ import annotations

from lampwright.account.orders import OrderList
from lampwright.account.parts import kind_word, part_bands, part_catalogue, part_data, part_name
from lampwright.analysis.ordering import Line
from lampwright.harmless import harmless_cell

_HEAD = (
    "kind",
    "part",
    "catalogue",
    "data",
    "colour bands",
    "needed",
    "spare",
    "in stock",
    "from stock",
    "missing",
    "pack",
    "packs",
    "to buy",
    "plans",
)


def render_order_csv(listed: OrderList) -> str:
    """The rows, their heading first, with a line end after each."""
    rows = [_HEAD, *(_row(line) for line in listed.order.lines)]
    return "".join(f"{','.join(map(_cell, row))}\r\n" for row in rows)


def _row(line: Line) -> tuple[str | int | None, ...]:
    return (
        kind_word(line.part),
        part_name(line.part),
        part_catalogue(line.part),
        part_data(line.part),
        " ".join(part_bands(line.part)),
        line.quantity,
        line.spares,
        line.stock,
        line.from_stock,
        line.missing,
        line.pack,
        line.packs,
        line.buy,
        "; ".join(f"{plan} ({count})" for plan, count in line.plans),
    )


def _cell(value: str | int | None) -> str:
    return harmless_cell("" if value is None else str(value))
