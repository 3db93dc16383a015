"""The vehicle of a plan, field by field. What could not be read is left out and named."""

from __future__ import annotations

from lampwright.model.lowering.values import figure, name
from lampwright.model.vehicle import Address, Consist, Vehicle
from lampwright.plan import lighting as written
from lampwright.plan.numbers import Whole

HIGHEST_SHORT = 127
"""Above it an address is a long one (S-9.2.2, CV1)."""

_FIELDS = ("name", "scale", "address", "shell", "reversed", "consist", "motor", "socket", "inside", "set")


def lower_vehicle(shape: written.Vehicle | None) -> Vehicle:
    """The vehicle that `shape` describes; one of which nothing is known without a readable shape."""
    if shape is None:
        return Vehicle(unreadable=frozenset(_FIELDS))
    consist = _consist(shape.consist)
    lost = {field for field in _FIELDS if shape.lost(field)}
    if shape.consist is not None and consist is None:
        lost.add("consist")
    address = _address(shape.address)
    if shape.address is not None and address is None:
        lost.add("address")
    return Vehicle(
        name=name(shape.name),
        scale=name(shape.scale),
        address=address,
        shell=name(shape.shell),
        reversed=shape.reversed is not None and shape.reversed.value,
        consist=consist,
        motor=figure(shape.motor),
        socket=name(shape.socket),
        inside=figure(shape.inside),
        set=name(shape.set),
        unreadable=frozenset(lost),
    )


def _address(shape: Whole | written.LongAddress | None) -> Address | None:
    if isinstance(shape, Whole):
        return Address(shape.value, shape.value > HIGHEST_SHORT, shape.span)
    if shape is not None and shape.long is not None:
        return Address(shape.long.value, is_long=True, span=shape.long.span)
    return None


def _consist(shape: written.Consist | None) -> Consist | None:
    if shape is None or shape.address is None or any(map(shape.lost, ("reversed", "keys"))):
        return None
    if None in (shape.keys or []):
        return None
    keys = tuple((key.value, key.span) for key in shape.keys or [] if key is not None)
    address = Address(shape.address.value, is_long=False, span=shape.address.span)
    return Consist(address, shape.reversed is not None and shape.reversed.value, keys)
