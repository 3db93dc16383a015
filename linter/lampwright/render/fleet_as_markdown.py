"""The fleet as a Markdown page, for a club's notes: a table of vehicles, and one of their keys.

Whatever a plan says stands in a code span, where Markdown has no markup, no links, no HTML and no mentions of people.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lampwright.account.fleet_page import FleetPage, FleetVehicle, KeyCell
from lampwright.account.fleet_sayings import (
    UNREADABLE,
    key_remarks,
    said_address,
    said_current,
    said_findings,
    said_key,
    said_parts,
    said_rules,
    said_set,
    said_state,
    said_sums,
    said_title,
)
from lampwright.account.words import place
from lampwright.harmless import code_span

MOST_ELSEWHERE = 100
"""Findings in other files that are listed; nobody reads further."""


def render_fleet_markdown(page: FleetPage) -> str:
    """The page, with a line end."""
    lines = [f"# {said_title(page)}", "", f"{said_sums(page)} in all files"]
    for group in page.sets:
        title = said_set(group, is_only_one=len(page.sets) == 1)
        lines += ["", f"## {'Vehicles' if title is None else code_span(title)}", ""]
        lines += _table(["vehicle", "address", "findings", "draws at most", "needs"], map(_vehicle, group.vehicles))
    if page.keys:
        lines += ["", "## What the keys do", "", *_table(["vehicle", *_heads(page)], _keys(page))]
    if page.elsewhere:
        lines += ["", "## Findings in sheets, catalogues and settings", "", *_elsewhere(page)]
    return "\n".join(lines) + "\n"


def _table(heads: list[str], rows: Iterable[list[str]]) -> Iterator[str]:
    for cells in (heads, ["---"] * len(heads), *rows):
        yield f"| {' | '.join(cells)} |"


def _code(text: str) -> str:
    """A code span in a table, where a bar would end the cell even within the span."""
    return code_span(text).replace("|", "\\|")


def _vehicle(vehicle: FleetVehicle) -> list[str]:
    named = _code(vehicle.name) if vehicle.name == vehicle.file else f"{_code(vehicle.name)}, {_code(vehicle.file)}"
    findings = "<br>".join([said_findings(vehicle), *said_rules(vehicle)])
    if vehicle.vehicle is None:
        return [named, said_address(vehicle), findings, UNREADABLE, "–"]
    state = said_state(vehicle)
    current = f"{_code(said_current(vehicle))}{f'<br>{_code(state)}' if state else ''}"
    return [named, said_address(vehicle), findings, current, "<br>".join(map(_code, said_parts(vehicle))) or "–"]


def _heads(page: FleetPage) -> Iterator[str]:
    for column in page.keys:
        yield f"{column.name} {_code(column.meant)}" if column.meant is not None else column.name


def _keys(page: FleetPage) -> Iterator[list[str]]:
    for vehicle in page.vehicles:
        keys = vehicle.keys or {}
        yield [_code(vehicle.name), *(_key(keys.get(column.number)) for column in page.keys)]


def _key(cell: KeyCell | None) -> str:
    if cell is None:
        return "–"
    label = said_key(cell) if cell.label is None else _code(cell.label)
    return "<br>".join([label, *(f"**{_remark(remark)}**" for remark in key_remarks(cell))])


def _remark(remark: str) -> str:
    ours, colon, theirs = remark.partition(": ")
    return f"{ours}: {_code(theirs)}" if colon else ours


def _elsewhere(page: FleetPage) -> Iterator[str]:
    for finding in page.elsewhere[:MOST_ELSEWHERE]:
        message = code_span(finding.message)
        yield f"- {code_span(place(finding.span))} **{finding.level.word}: {finding.rule}**: {message}"
    if len(page.elsewhere) > MOST_ELSEWHERE:
        yield f"- {len(page.elsewhere) - MOST_ELSEWHERE} more"
