"""The words of the fleet's page, for all of its forms. Knows none of them, and makes nothing in them harmless."""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.account.figures import Limit
from lampwright.account.fleet_page import DecoderLoad, FleetPage, FleetSet, FleetVehicle, KeyCell
from lampwright.account.parts import part_name
from lampwright.account.sayings import said_value, share_of
from lampwright.account.words import LEVELS
from lampwright.analysis.needs import Need
from lampwright.model.vehicle import Address
from lampwright.rule.circumstances import in_state
from lampwright.rule.phrases import counted, listed
from lampwright.units import Dimension, say

UNREADABLE = "nothing of this plan can be read"
_HIGHEST_SHORT = 127

_FAR = 10.0
"""Times a limit from which on nobody wants to know how far it is exceeded: something burns, or is short-circuited."""


def said_title(page: FleetPage) -> str:
    """`The fleet: 14 vehicles`."""
    return f"The fleet: {counted(len(page.vehicles), 'vehicle')}"


def said_sums(page: FleetPage) -> str:
    """The findings in all files, by level."""
    return ", ".join(counted(page.count(level), level.word) for level in LEVELS)


def said_set(group: FleetSet, *, is_only_one: bool) -> str | None:
    """What stands above the vehicles of a set; None where no vehicle of the fleet is in any."""
    if group.name is not None:
        return f"Set {group.name}"
    return None if is_only_one else "In no set"


def said_address(vehicle: FleetVehicle) -> str:
    """`2107`, `112 (long), in consist 42, reversed`, `none`."""
    if vehicle.vehicle is None:
        return "unknown"
    address, consist = vehicle.vehicle.address, vehicle.vehicle.consist
    said = _address(address) if address is not None else "unreadable" if _hides_address(vehicle) else "none"
    if consist is None:
        return said
    return f"{said}, in consist {_address(consist.address)}{', reversed' if consist.reversed else ''}"


def _hides_address(vehicle: FleetVehicle) -> bool:
    return vehicle.vehicle is not None and "address" in vehicle.vehicle.unreadable


def _address(address: Address) -> str:
    return f"{address.number} (long)" if address.is_long and address.number <= _HIGHEST_SHORT else str(address.number)


def said_findings(vehicle: FleetVehicle) -> str:
    """How many of each level, the worst first, and what else was not checked: `1 error, 2 warnings; 3 not decided`."""
    counts = [counted(vehicle.count(level), level.word) for level in LEVELS if vehicle.count(level)]
    others = [f"{vehicle.allowed} allowed"] if vehicle.allowed else []
    others += [f"{vehicle.undecided} not decided"] if vehicle.undecided else []
    return "; ".join([", ".join(counts) or "none", *others])


def said_rules(vehicle: FleetVehicle) -> list[str]:
    """What its findings are called, each once, the worst first: `error: unprotected-led (2)`."""
    return [f"{level.word}: {rule}{f' ({count})' if count > 1 else ''}" for level, rule, count in vehicle.rules]


def said_current(vehicle: FleetVehicle) -> str:
    """`17.2 mA, 23 % of 1.6 A with the motor's 350 mA`; or why it cannot be told."""
    together = vehicle.together
    if together is None:
        return "unknown"
    if isinstance(together, str):
        return f"cannot be told, for lack of {together}"
    if not together.outputs:
        return "unknown" if together.without else "nothing, in any state that the keys can reach"
    highest = said_value(together.current.highest, Dimension.CURRENT)
    return f"{highest}{f', {said_load(vehicle.load)}' if vehicle.load is not None else ''}"


def said_load(load: DecoderLoad) -> str:
    """How much of the limit of the decoder is taken, by the motor as well where that counts; also if it is too much."""
    motor = f" with the motor's {say(load.motor, Dimension.CURRENT)}" if load.motor else ""
    if load.share > _FAR:
        return f"far above the limit of {say(load.limit, Dimension.CURRENT)}{motor}"
    above = ", above the limit" if load.share > 1 else ""
    return f"{share_of(Limit(load.limit, load.share), Dimension.CURRENT)}{motor}{above}"


def said_state(vehicle: FleetVehicle) -> str:
    """When it draws that: `with F0 and F8 on, forward`; and what is not in it."""
    together = vehicle.together
    if together is None or isinstance(together, str) or not (together.outputs or together.without):
        return ""
    state = in_state(together.state) if together.state is not None else "with all outputs on, as far as can be told"
    left_out = [each.output.name for each in together.without if each.output is not None]
    without = f"without {listed(left_out)}, of which nothing is known" if left_out else ""
    return "; ".join(filter(None, [state if together.outputs else "", without]))


def said_parts(vehicle: FleetVehicle) -> list[str]:
    """Each part with its number, and what cannot be told: `2 × 1.5 kohm 1/4 W 5 %`."""
    needs = vehicle.needs
    if needs is None:
        return []
    parts = [*map(_part, needs.needs)]
    if needs.unknown:
        parts.append(f"{counted(len(needs.unknown), 'part')} of which nothing can be told")
    return parts if needs.is_complete else [*parts, "perhaps more, in circuits that cannot be read"]


def _part(need: Need) -> str:
    return f"{need.quantity} × {part_name(need.part)}"


def said_key(cell: KeyCell) -> str:
    """What a key is called."""
    return cell.label if cell.label is not None else "no label"


def key_remarks(cell: KeyCell) -> Iterator[str]:
    """What is to say of a key besides its label."""
    if cell.is_momentary:
        yield "momentary"
    if cell.is_off_convention:
        yield f"off convention: {cell.meant}"
