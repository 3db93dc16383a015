"""Plans that are checked together: who answers to whose address, and whether there is a part for each place."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from random import Random
from typing import Any

import numpy as np
from plans import right_plan
from published import address_bytes
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import maximum_bipartite_matching
from trials import Case, Maker, searched, written

# --- Addresses --------------------------------------------------------------------------------------------------------

Address = tuple[int, bool]
"""The number, and whether `{long: ...}` forces a long one."""

ADDRESSES: tuple[Address, ...] = ((3, False), (112, False), (112, True), (128, False), (128, True), (2107, False))


def _bytes(address: Address) -> bytes:
    number, is_long = address
    found = address_bytes(number, is_long=is_long or number > 127)
    assert found is not None
    return found


def clash(vehicles: list[dict[str, Any]]) -> bool:
    """Whether a packet for one vehicle moves another one that is not meant to run with it."""
    for one, other in combinations(vehicles, 2):
        if one["set"] is not None and one["set"] == other["set"]:
            continue
        for kinds in (("own", "own"), ("own", "consist"), ("consist", "own")):
            addresses = one[kinds[0]], other[kinds[1]]
            if None not in addresses and _bytes(addresses[0]) == _bytes(addresses[1]):
                return True
    return False


def _addressed(random: Random) -> Iterator[tuple[Case, bool]]:
    documents = [right_plan(random.randrange(10**9)).document() for _ in range(random.randint(2, 4))]
    while True:
        vehicles = [
            {
                "own": random.choice([*ADDRESSES, None]),
                "consist": random.choice([None, None, None, (42, False), (112, False), (3, False)]),
                "set": random.choice([None, None, "quarry railcar", "ore train"]),
            }
            for _ in documents
        ]
        texts = [
            written({**document, "vehicle": {**document["vehicle"], "name": f"Tipper {number}", **_vehicle(vehicle)}})
            for number, (document, vehicle) in enumerate(zip(documents, vehicles, strict=True))
        ]
        yield Case(tuple(texts)), clash(vehicles)


def _vehicle(vehicle: dict[str, Any]) -> dict[str, Any]:
    said: dict[str, Any] = {}
    if vehicle["own"] is not None:
        number, is_long = vehicle["own"]
        said["address"] = {"long": number} if is_long else number
    if vehicle["consist"] is not None:
        said["consist"] = {"address": vehicle["consist"][0]}
    if vehicle["set"] is not None:
        said["set"] = vehicle["set"]
    return said


# --- Stock ------------------------------------------------------------------------------------------------------------

Quality = tuple[int, float, float]
"""Ohms, watts, tolerance as a share."""

VALUES, WATTS, TOLERANCES = (1000, 1500), (0.25, 0.5), (0.01, 0.05)
LAMPS = ("warm white", "red")


def does(entry: Quality, wanted: Quality) -> bool:
    """Whether a resistor of that quality may stand where the other one is wanted."""
    return entry[0] == wanted[0] and entry[1] >= wanted[1] and entry[2] <= wanted[2]


def falls_short(places: list[Any], pieces: list[Any]) -> bool:
    """Whether some place goes without, however the pieces are shared out: a largest matching of the two."""
    fits = [
        [place == piece if isinstance(place, str) or isinstance(piece, str) else does(piece, place) for piece in pieces]
        for place in places
    ]
    graph = csr_matrix(np.array(fits, dtype=int).reshape(len(places), len(pieces)))
    return bool((maximum_bipartite_matching(graph, perm_type="column") < 0).any())


def _stocked(random: Random) -> Iterator[tuple[Case, bool]]:
    every = [(ohms, watts, share) for ohms in VALUES for watts in WATTS for share in TOLERANCES]
    while True:
        entries = random.sample(every, random.randint(2, 5))
        counts: dict[Any, int] = {each: random.randint(0, 4) for each in (*entries, *LAMPS)}
        # What no catalogue has is bought elsewhere, and is nobody's shortage.
        possible = [wanted for wanted in every if any(does(entry, wanted) for entry in entries)]
        plans = [
            [(random.choice(possible), random.choice(LAMPS)) for _ in range(random.randint(1, 3))]
            for _ in range(random.randint(1, 3))
        ]
        places = [part for rows in plans for row in rows for part in row]
        pieces = [part for part, count in counts.items() for _ in range(count)]
        texts = tuple(written(_plan(number, rows)) for number, rows in enumerate(plans))
        yield Case(texts, {"club.parts.yaml": written(_catalogue(counts))}), falls_short(places, pieces)


def _catalogue(counts: dict[Any, int]) -> dict[str, Any]:
    led = {"forward-voltage": "3 V", "maximum-current": "20 mA"}
    return {
        "parts-catalogue": 1,
        "lamps": {lamp: {"led": led, "stock": counts[lamp]} for lamp in LAMPS},
        "resistors": [
            {"value": f"{ohms} ohm", **_quality(watts, share), "stock": count}
            for (ohms, watts, share), count in ((each, count) for each, count in counts.items() if each not in LAMPS)
        ],
    }


def _quality(watts: float, share: float) -> dict[str, str]:
    return {"rating": f"{watts:.9g} W", "tolerance": f"{share * 100:.9g} %"}


def _plan(number: int, rows: list[tuple[Quality, str]]) -> dict[str, Any]:
    lamps = {f"lamp {place}": {"part": part} for place, (_, part) in enumerate(rows)}
    resistors = [{"resistor": f"{ohms} ohm", **_quality(watts, share)} for (ohms, watts, share), _ in rows]
    names = [f"aux{place + 1}" for place in range(len(rows))]
    return {
        "vehicle": {"name": f"Tipper {number}"},
        "supply": {"track": "14.5 V"},
        "parts": ["club.parts.yaml"],
        "decoder": {
            "common": {"drop": "1.4 V"},
            "outputs": {name: {"number": 1 + at} for at, name in enumerate(names)},
        },
        "lamps": lamps,
        "outputs": {
            name: {"circuit": [resistor, lamp]} for name, resistor, lamp in zip(names, resistors, lamps, strict=True)
        },
        "keys": {},
    }


MAKERS: dict[str, tuple[str, Maker]] = {
    "shared-address": ("packets, by their bytes", searched(_addressed)),
    "short-stock": ("count, by SciPy's matching", searched(_stocked)),
}
