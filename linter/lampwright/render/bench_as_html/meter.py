"""The tables of a bench sheet that say what a meter should read, and what is wrong where it reads something else."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lampwright.account.bench import BenchSheet
from lampwright.account.bench_meter import MeterTable
from lampwright.account.bench_order import conditions, notes
from lampwright.account.bench_sayings import when, wrong_rows
from lampwright.account.sayings import said_value, spread_of
from lampwright.analysis.electrical.facts import Range
from lampwright.render.bench_as_html.markup import box, name, text
from lampwright.rule.phrases import listed
from lampwright.units import Dimension, say


def meter_section(sheet: BenchSheet) -> Iterator[str]:
    """The section; what cannot be told of an output is said below the tables."""
    yield '<section class="meter"><h2>What the meter should read</h2>'
    yield f"<p>{text(conditions(sheet))}. {' '.join(map(text, notes(sheet)))}</p>"
    yield '<div class="tables">'
    for table in sheet.meters:
        yield from _table(table)
    yield "</div>"
    for output, lacks in sheet.unmeasured.items():
        yield f"<p>{name(output)}: cannot be told, for lack of {text(lacks)}.</p>"
    yield "</section>"


def _table(table: MeterTable) -> Iterator[str]:
    columns = len(table.rows) + 2
    outputs = listed([output.name for output in table.outputs])
    yield f'<table class="{"wide" if columns > 4 else "narrow"}"><caption>{name(outputs)}</caption>'
    feed = "rail" if table.on_rail else "common"
    heads = [f"{feed} to output", *(row.name for row in table.rows), "current"]
    yield "<thead><tr><td></td>"
    yield from (f'<th scope="col">{name(head)}</th>' for head in heads)
    yield "</tr></thead><tbody>"
    yield from _planned(table)
    for output in table.outputs:
        ticked = f"{box(f'{output.name} measured')} {name(output.name)}: {text(when(output))}"
        blanks = "<td></td>" * columns
        yield f'<tr class="yours"><th scope="row">{ticked}</th>{blanks}</tr>'
    yield from _wrong(table, columns)
    yield "</tbody></table>"


def _planned(table: MeterTable) -> Iterator[str]:
    while_on = " while on" if table.is_switched else ""
    volts = [table.supply, *(row.facts.voltage for row in table.rows)]
    usual = [said_value(each.usual, Dimension.VOLTAGE) for each in volts]
    yield _row(
        "right",
        f"{'as measured' if table.is_measured else 'planned'}{while_on}",
        [*usual, said_value(table.current.usual, Dimension.CURRENT)],
    )
    spread = [spread_of(each, Dimension.VOLTAGE) for each in volts]
    spread.append(_spread_of_current(table.current))
    if any(spread):
        yield _row("right", f"range{while_on}", spread)
    if table.is_switched:
        shown = [say(row.average, Dimension.VOLTAGE) if row.average is not None else "–" for row in table.rows]
        yield _row("right", "average on a meter", ["–", *shown, "–"])


def _spread_of_current(current: Range) -> str:
    return spread_of(current, Dimension.CURRENT)


def _wrong(table: MeterTable, columns: int) -> Iterator[str]:
    for row in wrong_rows(table):
        if row.cells:
            yield _row("wrong", row.causes, row.cells)
        else:
            off = f'<td colspan="{columns}">switch off at once: {name(row.too_much)}</td>'
            yield f'<tr class="wrong"><th scope="row">{name(row.causes)}</th>{off}</tr>'


def _row(kind: str, head: str, cells: Sequence[str]) -> str:
    shown = "".join(f"<td>{text(cell)}</td>" for cell in cells)
    return f'<tr class="{kind}"><th scope="row">{name(head)}</th>{shown}</tr>'
