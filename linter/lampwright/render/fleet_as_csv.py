"""The fleet as a table for spreadsheets: a row a vehicle, a column for each key that any of them has."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from lampwright.account.fleet_page import FleetPage, FleetVehicle, KeyCell
from lampwright.account.fleet_sayings import (
    UNREADABLE,
    key_remarks,
    said_address,
    said_key,
    said_parts,
    said_rules,
    said_state,
)
from lampwright.account.words import LEVELS
from lampwright.analysis.together import Together
from lampwright.harmless import harmless_cell

_HEAD = (
    "set",
    "vehicle",
    "plan",
    "address",
    *(f"{level.word}s" for level in LEVELS),
    "allowed",
    "not decided",
    "rules",
    "most together in A",
    "state",
    "limit in A",
    "share of limit",
    "parts",
)


def render_fleet_csv(page: FleetPage) -> str:
    """The rows, their heading first, with a line end after each."""
    head: list[str | int | None] = [*_HEAD, *(_title(column.name, column.meant) for column in page.keys)]
    rows: list[list[str | int | None]] = [head, *(_row(page, vehicle) for vehicle in page.vehicles)]
    return "".join(f"{','.join(map(_cell, row))}\r\n" for row in rows)


def _title(key: str, meant: str | None) -> str:
    return f"{key} {meant}" if meant is not None else key


def _row(page: FleetPage, vehicle: FleetVehicle) -> list[str | int | None]:
    keys = vehicle.keys or {}
    return [
        vehicle.set,
        vehicle.name,
        vehicle.file,
        said_address(vehicle),
        *(vehicle.count(level) for level in LEVELS),
        vehicle.allowed,
        vehicle.undecided,
        "; ".join(said_rules(vehicle)),
        *_current(vehicle),
        "; ".join(said_parts(vehicle)),
        *(_key(keys.get(column.number)) for column in page.keys),
    ]


def _current(vehicle: FleetVehicle) -> Iterator[str | None]:
    """The highest current, its state, the limit, the share of it that is taken; empty where unlimited or unknown."""
    together, load = vehicle.together, vehicle.load
    known = together if isinstance(together, Together) and together.outputs else None
    yield _number(known.current.highest) if known is not None else None
    yield UNREADABLE if together is None else said_state(vehicle)
    yield _number(load.limit) if known is not None and load is not None else None
    yield _number(load.share) if known is not None and load is not None else None


def _number(value: float) -> str | None:
    return f"{value:.4g}" if isfinite(value) else None


def _key(cell: KeyCell | None) -> str | None:
    if cell is None:
        return None
    remarks = ", ".join(key_remarks(cell))
    return f"{said_key(cell)} ({remarks})" if remarks else said_key(cell)


def _cell(value: str | int | None) -> str:
    return harmless_cell("" if value is None else str(value))
