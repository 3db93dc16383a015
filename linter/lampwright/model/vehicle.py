"""The vehicle that a plan is for: what it is made of, what it is called by on the track, what its motor takes."""

from __future__ import annotations

from lampwright.model.values import Figure, Name
from lampwright.records import dataclass
from lampwright.text import Span


@dataclass(frozen=True, slots=True)
class Address:
    """A DCC address as written, in its range or not; `is_long` by its number, or because the plan says so."""

    number: int
    is_long: bool
    span: Span


@dataclass(frozen=True, slots=True)
class Consist:
    """The consist that the vehicle runs in, and the keys that obey its address, by number with their places."""

    address: Address
    reversed: bool
    keys: tuple[tuple[int, Span], ...]


@dataclass(frozen=True, slots=True)
class Vehicle:
    """A vehicle. What the plan does not say is None; so is what could not be read, and then `unreadable` names it.

    `motor` amperes, `inside` degrees Celsius where the plan states them. `shell` is plastic, resin or metal, `socket`
    the standard of the plug in the vehicle. Vehicles of one `set` may share an address.
    """

    name: Name | None = None
    scale: Name | None = None
    address: Address | None = None
    shell: Name | None = None
    reversed: bool = False
    consist: Consist | None = None
    motor: Figure | None = None
    socket: Name | None = None
    inside: Figure | None = None
    set: Name | None = None
    unreadable: frozenset[str] = frozenset()
