"""An order as a Markdown page, for a club's pages or an issue: tables, and lists of what is left out or simpler.

Whatever a file says stands in a code span; a bar would end a cell even there, and is written as its code.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lampwright.account.orders import OrderList, remarks, said_buy, suggestion_lines, sums, title
from lampwright.account.parts import part_bands, part_catalogue, part_data, part_name, section
from lampwright.analysis.ordering import Line
from lampwright.harmless import code_span

_HEAD = ("part", "needed", "spare", "in stock", "to buy", "known by", "for")


def render_order_markdown(listed: OrderList) -> str:
    """The page, with a line end."""
    lines = [f"## {title(listed)}", "", f"{sums(listed).capitalize()}.", *_tables(listed.order.lines)]
    lines += _list("Not counted", remarks(listed))
    lines += _list("Could be simpler", suggestion_lines(listed.suggestions))
    return "\n".join(lines) + "\n"


def _tables(lines: Iterable[Line]) -> Iterator[str]:
    last = None
    for line in lines:
        if section(line.part) != last:
            last = section(line.part)
            yield from ("", f"### {last.capitalize()}", "", _row(_HEAD), _row(("---", *["--:"] * 4, "---", "---")))
        yield _row(_cells(line))


def _cells(line: Line) -> tuple[str, ...]:
    catalogue = part_catalogue(line.part)
    known = [_cell(catalogue), _cell(part_data(line.part))] if catalogue is not None else []
    known += [" ".join(part_bands(line.part))] if part_bands(line.part) else []
    return (
        _cell(part_name(line.part)),
        str(line.quantity),
        str(line.spares),
        "" if line.stock is None else str(line.stock),
        said_buy(line) or "-",
        ", ".join(known),
        ", ".join(f"{_cell(plan)} ({count})" for plan, count in line.plans),
    )


def _cell(text: str) -> str:
    return code_span(text.replace("|", "\\u007c"))


def _row(cells: Iterable[str]) -> str:
    return f"| {' | '.join(cells)} |"


def _list(heading: str, texts: Iterable[str]) -> Iterator[str]:
    entries = [f"- {code_span(text)}" for text in texts]
    if entries:
        yield from ("", f"### {heading}", "", *entries)
