"""The standard plugs between vehicle and decoder: which wires they have, and what a contact carries.

Tables of the trade, not of any plan.
"""

from __future__ import annotations

from collections.abc import Mapping

from lampwright.model.values import Origin
from lampwright.records import dataclass


@dataclass(frozen=True, slots=True)
class Interface:
    """A plug. `outputs` by the names of `output_wire`; `may_be_logic` are those that editions or makers disagree about.

    `contact` and `common_contact` are what one output's contact and those of the common carry for good, amperes; None
    where the standard leaves it open, or there is none. A rail carries what the common does, or `contact` without one.
    """

    outputs: frozenset[str]
    has_common: bool
    origin: Origin
    contact: float | None = None
    common_contact: float | None = None
    may_be_logic: frozenset[str] = frozenset()

    @property
    def rail_contact(self) -> float | None:
        """What the contacts of one rail carry together, amperes: as many as the common has where there is one."""
        return self.common_contact or self.contact


_HEADLAMPS = frozenset({"white", "yellow"})
_FURTHER = frozenset({"aux3", "aux4", "aux5", "aux6"})

INTERFACES: Mapping[str, Interface] = {
    # NEM 651 (2017), read: six contacts, 0.5 A each, none of them a common.
    "NEM 651": Interface(_HEADLAMPS, has_common=False, origin=Origin.STANDARD, contact=0.5),
    # NEM 652 (2017), read: contact 3 is free or an extra function, the green wire; 1.5 A each.
    "NEM 652": Interface(
        _HEADLAMPS | {"green"}, has_common=True, origin=Origin.STANDARD, contact=1.5, common_contact=1.5
    ),
    # Read second-hand: motor and rails only.
    "NEM 654": Interface(frozenset(), has_common=False, origin=Origin.SECOND_HAND),
    # NEM 660 (2015) Table 2, read; it leaves the currents to the maker. AUX3 to AUX6 were full outputs in older NMRA
    # S-9.1.1 and have logic level in NEM 660 by second-hand reports.
    "NEM 660": Interface(
        _HEADLAMPS | {"green", "violet"} | _FURTHER, has_common=True, origin=Origin.STANDARD, may_be_logic=_FURTHER
    ),
    # The pin table of NEM 658 is from memory.
    "PluX22": Interface(_HEADLAMPS | {"green", "violet", "aux7"} | _FURTHER, has_common=True, origin=Origin.MEMORY),
    # NEM 662, read second-hand on two pages that agree: 0.5 A a contact; rails and the common have two each.
    "Next18": Interface(
        _HEADLAMPS | {"green", "violet"} | _FURTHER,
        has_common=True,
        origin=Origin.SECOND_HAND,
        contact=0.5,
        common_contact=1.0,
        may_be_logic=_FURTHER,
    ),
}

_OTHER_NAMES: Mapping[str, str] = {"f0f": "white", "f0r": "yellow", "aux1": "green", "aux2": "violet"}
_WIRES = _HEADLAMPS | {"green", "violet", "aux7"} | _FURTHER


def output_wire(name: str) -> str | None:
    """The wire that an output of this name is: a colour, or `aux3` to `aux7`; None for a name of somebody's own."""
    plain = "".join(name.casefold().replace("-", " ").split())
    plain = _OTHER_NAMES.get(plain, plain)
    return plain if plain in _WIRES else None
