"""The fleet as one reads it in a terminal: a paragraph a vehicle, below them a table of the keys by marks."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from lampwright.account.fleet_page import FleetPage, FleetVehicle, KeyCell, KeyColumn
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
from lampwright.account.words import line
from lampwright.harmless import harmless_text, visible, visible_name
from lampwright.rule.phrases import listed

WIDTH = 100
"""Columns where nothing says how many there are."""

_LONGEST_NAME = 28
_LEGEND = "= as the convention says, * free in it, ! off it, ~ momentary"


def render_fleet_text(page: FleetPage, width: int = WIDTH) -> str:
    """The page, with a line end."""
    lines = [f"{said_title(page)}, {said_sums(page)} in all files"]
    for group in page.sets:
        title = said_set(group, is_only_one=len(page.sets) == 1)
        lines += ["", f"{title}:"] if title is not None else []
        for vehicle in group.vehicles:
            lines += ["", *_vehicle(vehicle)]
    wrapped = [piece for text in lines for piece in _wrapped(visible(text), width) or [""]]
    wrapped += [visible(text) for text in _matrix(page, width)]
    if page.elsewhere:
        wrapped += ["", "in sheets, catalogues and settings:"]
        wrapped += [piece for finding in page.elsewhere for piece in _wrapped(f"  {line(finding)}", width)]
    return harmless_text(wrapped)


def _wrapped(text: str, width: int) -> list[str]:
    indent = " " * (len(text) - len(text.lstrip()))
    return textwrap.wrap(text, width, subsequent_indent=f"{indent}  ", break_long_words=False, break_on_hyphens=False)


def _vehicle(vehicle: FleetVehicle) -> Iterator[str]:
    file = "" if vehicle.name == vehicle.file else f", {visible_name(vehicle.file)}"
    address = f", address {said_address(vehicle)}" if vehicle.vehicle is not None else ""
    yield f"{vehicle.name}{file}{address}"
    rules = "; ".join(said_rules(vehicle))
    yield f"  findings: {said_findings(vehicle)}{f' ({rules})' if rules else ''}"
    if vehicle.vehicle is None:
        yield f"  {UNREADABLE}"
        return
    state = said_state(vehicle)
    yield f"  draws at most: {said_current(vehicle)}{f'; {state}' if state else ''}"
    yield f"  needs: {'; '.join(said_parts(vehicle)) or 'no parts'}"
    keys = vehicle.keys or {}
    if keys:
        yield f"  keys: {'; '.join(map(_key, keys.values()))}"


def _key(cell: KeyCell) -> str:
    remarks = listed(list(key_remarks(cell)))
    return f"{cell.name} {said_key(cell)}{f' ({remarks})' if remarks else ''}"


# --- Keys by vehicle --------------------------------------------------------------------------------------------------


def _matrix(page: FleetPage, width: int) -> Iterator[str]:
    """The table, in parts that fit into the width."""
    vehicles = [vehicle for vehicle in page.vehicles if vehicle.keys is not None]
    if not page.keys:
        return
    size = min(_LONGEST_NAME, max(len(visible(vehicle.name)) for vehicle in vehicles))
    room = max(1, (width - size) // 4)
    for first in range(0, len(page.keys), room):
        columns = page.keys[first : first + room]
        yield ""
        yield f"{'keys'.ljust(size)}{''.join(column.name.rjust(4) for column in columns)}"
        yield from (_row(vehicle, columns, size) for vehicle in vehicles)
    yield ""
    yield _LEGEND


def _row(vehicle: FleetVehicle, columns: Sequence[KeyColumn], size: int) -> str:
    keys = vehicle.keys or {}
    shown = visible(vehicle.name)
    name = shown if len(shown) <= size else f"{shown[: size - 1]}…"
    return f"{name.ljust(size)}{''.join(_mark(keys.get(column.number)).rjust(4) for column in columns)}".rstrip()


def _mark(cell: KeyCell | None) -> str:
    if cell is None:
        return ""
    mark = "!" if cell.is_off_convention else "*" if cell.meant is None or cell.label is None else "="
    return f"{mark}~" if cell.is_momentary else mark
