"""The fleet as one JSON object, in the form that the command's help promises to programs."""

from __future__ import annotations

from math import isfinite
from typing import Any

from lampwright.account.fleet_page import DecoderLoad, FleetPage, FleetVehicle, KeyCell
from lampwright.account.objects import finding_object, written
from lampwright.account.parts import kind_word, part_name
from lampwright.account.words import LEVELS
from lampwright.analysis.needs import Need
from lampwright.analysis.together import Together
from lampwright.model.vehicle import Address
from lampwright.rule.circumstances import state_data


def render_fleet_json(page: FleetPage) -> str:
    """The fleet, in SI, with a line end. What is unlimited or unknown is null."""
    document = {
        "format": 1,
        "findings": {f"{level.word}s": page.count(level) for level in LEVELS},
        "sets": [{"name": each.name, "vehicles": list(map(_vehicle, each.vehicles))} for each in page.sets],
        "keys": {column.name: {"convention": column.meant} for column in page.keys},
        "elsewhere": list(map(finding_object, page.elsewhere)),
    }
    return f"{written(document, indent=2)}\n"


def _vehicle(found: FleetVehicle) -> dict[str, Any]:
    vehicle, needs = found.vehicle, found.needs
    consist = vehicle.consist if vehicle is not None else None
    return {
        "plan": found.file,
        "name": found.name,
        "address": _address(vehicle.address) if vehicle is not None and vehicle.address is not None else None,
        "consist": {**_address(consist.address), "reversed": consist.reversed} if consist is not None else None,
        "readable": vehicle is not None,
        "findings": _findings(found),
        "worst-state": _together(found.together, found.load),
        "parts": list(map(_part, needs.needs)) if needs is not None else [],
        "parts-are-complete": needs is not None and needs.is_complete and not needs.unknown,
        "keys": {cell.name: _key(cell) for cell in (found.keys or {}).values()},
    }


def _address(address: Address) -> dict[str, Any]:
    return {"number": address.number, "long": address.is_long}


def _findings(found: FleetVehicle) -> dict[str, Any]:
    return {
        **{f"{level.word}s": found.count(level) for level in LEVELS},
        "allowed": found.allowed,
        "not-decided": found.undecided,
        "rules": [{"level": level.word, "rule": rule, "count": count} for level, rule, count in found.rules],
    }


def _together(together: Together | str | None, load: DecoderLoad | None) -> dict[str, Any] | None:
    if not isinstance(together, Together):
        return None
    unknown = {"keys": None, "direction": None, "moving": None}
    return {
        **(state_data(together.state) if together.state is not None else unknown),
        "current": _finite(together.current.highest),
        "outputs": list(together.outputs),
        "limit": load.limit if load is not None else None,
        "share-of-limit": _finite(load.share) if load is not None else None,
        "motor": load.motor if load is not None else None,
    }


def _finite(value: float) -> float | None:
    return value if isfinite(value) else None


def _part(need: Need) -> dict[str, Any]:
    return {"name": part_name(need.part), "kind": kind_word(need.part), "quantity": need.quantity}


def _key(cell: KeyCell) -> dict[str, Any]:
    return {
        "label": cell.label,
        "momentary": cell.is_momentary,
        "off-convention": cell.is_off_convention,
        "convention": cell.meant,
    }
