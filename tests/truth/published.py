"""Figures and tables as their publishers have them, copied here once more, so that a wrong one of ours is seen.

"Read second-hand" are those that were seen in a digest or a quotation only. What is from memory says so.
"""

from __future__ import annotations

E12 = tuple(
    value * 10**power for power in (0, 1, 2, 3, 4) for value in (10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82)
)
"""IEC 60063, ohms."""

BULB_EXPONENT, LIGHT_EXPONENT = 0.55, 3.5
"""Of a bulb's voltage: its current, its light (3.4 to 3.5). Fink and Beaty, Standard Handbook for Electrical Engineers,
11th edition, page 22-8, read second-hand."""

HOT_OVER_COLD = 10.0
"""Resistance of a filament at its rating over that when cold: 8 to 15, read second-hand in three places."""

HIGHEST_TRACK = 22.0
"""Volts; NMRA S-9.1 (2020), table 3."""

BORNE_BACKWARDS = 5.0
"""Volts that an LED bears: the usual figure of data sheets, read second-hand in three places."""

FLASHES = 40, 180
"""Strobes, flashes a minute; 49 CFR 229.133(b)(1)."""

# --- Wires and plugs --------------------------------------------------------------------------------------------------

NO_LAMP = {"red", "black", "orange", "grey", "blue"}
"""Rails, motor and common; NMRA RP-9.1.1 and NEM 650."""

END = {"white": "front", "yellow": "rear"}
"""The wires of the headlamps; the same."""

PINS = {
    # NEM 651 (2017), contacts 1 to 6.
    "NEM 651": "orange grey red black white yellow",
    # NEM 652 (2017), contacts 1 to 8; 3 is free or the green wire.
    "NEM 652": "orange yellow green black grey white blue red",
    # Read second-hand, contacts 1 to 4.
    "NEM 654": "grey orange black red",
    # NEM 660 (2015), table 2, contacts 1 to 22.
    "NEM 660": "sensor sensor aux6 aux4 clock data yellow white speaker speaker index"
    " vcc aux3 violet green blue aux5 grey orange ground black red",
    # NEM 658, from memory, contacts 1 to 22.
    "PluX22": "gpio-c aux3 gpio-b gpio-a ground capacitor white orange blue grey index"
    " red yellow black speaker green speaker violet aux4 aux5 aux6 aux7",
    # NEM 662, read second-hand on two pages that agree, contacts 1 to 18.
    "Next18": "red orange green aux3 ground blue aux6 white black black grey violet aux4 ground blue aux5 yellow red",
}

CONTACT = {"NEM 651": 0.5, "NEM 652": 1.5, "Next18": 0.5}
"""Amperes that one contact carries for good; the same sources. The others leave it open."""

# --- Packets and CVs --------------------------------------------------------------------------------------------------

SHORT, LONG_FIRST_BYTE = range(1, 128), range(192, 232)
"""NMRA S-9.2.1 (2012), section A: one byte of an address, or the first of two."""

CV_BITS, VALUE_BITS = 10, 8
"""NMRA S-9.2.1 (2012), the same: the number less one, and the value, as a packet carries them."""

READ_ONLY = {7, 8}
"""NMRA S-9.2.2 (2012), table 1: the version and the maker's number."""

MATRIX = {
    # NMRA S-9.2.2 (2012), table 2: CV, its key, its direction if it has one, the output of its lowest bit.
    33: (0, True, 1),
    34: (0, False, 1),
    35: (1, None, 1),
    36: (2, None, 1),
    37: (3, None, 1),
    38: (4, None, 4),
    39: (5, None, 4),
    40: (6, None, 4),
    41: (7, None, 4),
    42: (8, None, 4),
    43: (9, None, 7),
    44: (10, None, 7),
    45: (11, None, 7),
    46: (12, None, 7),
}


def address_bytes(number: int, *, is_long: bool) -> bytes | None:
    """An address as packets carry it; None where they cannot."""
    if not is_long:
        return bytes([number]) if number in SHORT else None
    high, low = divmod(number, 256)
    first = LONG_FIRST_BYTE.start + high
    return bytes([first, low]) if first in LONG_FIRST_BYTE and number > 0 else None
