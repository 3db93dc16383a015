"""Plans around the circuits of `nodal.py`, and how these are written."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from nodal import Part, Row, placed
from trials import Case, alone

TRACK, DROP = 14.5, 1.4
"""Volts."""

LED, BULB = 3.0, (14.0, 0.03)
"""Forward volts; volts and amperes. Lamps are told apart by the first word of their names."""


def is_led(part: Part) -> bool:
    """Whether it is one, and no plain diode."""
    return part.forward is not None and not part.is_diode


def case_of(circuit: Row, track: float = TRACK) -> Case:
    """A plan with one output."""
    return alone(document_of({"white": written_row(circuit)}, (each.part.name for each in placed(circuit)), track))


def document_of(circuits: Mapping[str, Any], lamps: Iterable[str], track: float = TRACK) -> dict[str, Any]:
    """A plan with these outputs and lamps, and no keys."""
    led = {"led": {"forward-voltage": f"{LED} V", "maximum-current": "20 mA"}}
    bulb = {"bulb": {"voltage": f"{BULB[0]} V", "current": f"{BULB[1] * 1e3:.9g} mA"}}
    outputs = {name: {"number": number} for number, name in enumerate(("white", "yellow", "green"), 1)}
    return {
        "vehicle": {"name": "Tipper 9"},
        "supply": {"track": f"{track:.9g} V"},
        "decoder": {"common": {"drop": f"{DROP} V"}, "outputs": outputs},
        "lamps": {name: bulb if name.startswith("bulb") else led for name in lamps if name},
        "outputs": circuits,
        "keys": {},
    }


def written_row(row: Row) -> dict[str, Any]:
    """The circuit of an output."""
    circuit = {"circuit": [_element(part) for part in row.parts]}
    return {**circuit, "return": "rail"} if row.rail else circuit


def _chain(row: Row) -> Any:
    """As it is written: a list, or a mapping where it returns to a rail."""
    elements = [_element(part) for part in row.parts]
    return {"series": elements, "return": "rail"} if row.rail else elements


def _element(part: Part | tuple[Row, ...]) -> Any:
    if not isinstance(part, Part):
        return {"parallel": [_chain(row) for row in part]}
    if part.is_diode:
        return {"diode": f"{part.forward} V"}
    if part.turned:
        return {"lamp": part.name, "reversed": True}
    return part.name or f"{part.ohms:.9g} ohm 2 W"
