"""Which key does what in which vehicle: a table with a row for each vehicle, in parts that fit across the paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lampwright.account.fleet_page import FleetPage, FleetVehicle, KeyCell, KeyColumn
from lampwright.account.fleet_sayings import key_remarks, said_key, said_set
from lampwright.render.fleet_as_html.markup import name

ACROSS = 12
"""Keys beside each other on A4 landscape, so that a label of three words takes three lines at most."""


def keys_section(page: FleetPage) -> Iterator[str]:
    """The table of keys, in as many parts as it takes; nothing where no vehicle has a key."""
    count = -(-len(page.keys) // ACROSS)
    if not count:
        return
    yield '<section class="keys"><h2>What the keys do</h2>'
    yield (
        "<p>Below each key stands what it means by the club's convention. <b>Off convention</b> says that it means"
        " something else here, <b>momentary</b> that it is on only while pressed.</p>"
    )
    # Parts of about the same width.
    across = -(-len(page.keys) // count)
    for first in range(0, len(page.keys), across):
        yield from _part(page, page.keys[first : first + across])
    yield "</section>"


def _part(page: FleetPage, columns: Sequence[KeyColumn]) -> Iterator[str]:
    which = columns[0].name if len(columns) == 1 else f"{columns[0].name} to {columns[-1].name}"
    yield f'<table class="matrix"><caption>{which}</caption><thead><tr><th scope="col">Vehicle</th>'
    for column in columns:
        meant = f'<span class="meant">{name(column.meant)}</span>' if column.meant is not None else ""
        yield f'<th scope="col">{column.name}{meant}</th>'
    yield "</tr></thead>"
    for group in page.sets:
        yield "<tbody>"
        title = said_set(group, is_only_one=len(page.sets) == 1)
        if title is not None:
            yield f'<tr class="set"><th scope="rowgroup" colspan="{len(columns) + 1}">{name(title)}</th></tr>'
        for vehicle in group.vehicles:
            yield _row(vehicle, columns)
        yield "</tbody>"
    yield "</table>"


def _row(vehicle: FleetVehicle, columns: Sequence[KeyColumn]) -> str:
    keys = vehicle.keys
    head = f'<tr><th scope="row">{name(vehicle.name)}</th>'
    if keys is None:
        return f'{head}<td colspan="{len(columns)}">unknown</td></tr>'
    return f"{head}{''.join(_cell(keys.get(column.number)) for column in columns)}</tr>"


def _cell(cell: KeyCell | None) -> str:
    if cell is None:
        return '<td class="free"><span class="spoken">no such key</span></td>'
    marks = "".join(f'<span class="mark">{name(remark)}</span>' for remark in key_remarks(cell))
    kind = ' class="off"' if cell.is_off_convention else ""
    label = name(said_key(cell)) if cell.label is not None else f"<i>{said_key(cell)}</i>"
    return f"<td{kind}>{label}{marks}</td>"
