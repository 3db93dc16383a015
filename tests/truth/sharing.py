"""Lamps on one current, and lamps that take it from each other: what changes when one is cut out or comes on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from random import Random
from typing import Any

from every_state import lit, states
from nodal import COMMON, OUTPUT, RAIL, Part, Placed, Row, amperes, placed, potentials
from node_plans import DROP, LED, TRACK, document_of, written_row
from specimens import Entry, Plan
from trials import Case, Maker, alone, searched

CUT, LITTLE = 1e12, 1e-5
"""Ohms; amperes."""


def _currents(circuit: Row, cut: str = "") -> dict[str, float]:
    """Amperes through each lamp while the output is on, with one lamp cut out."""
    parts = [
        Placed(replace(each.part, ohms=CUT, forward=None), each.start, each.end)
        if each.part.name == cut != ""
        else each
        for each in placed(circuit)
    ]
    volts = {COMMON: TRACK - DROP / 2, RAIL: TRACK, OUTPUT: DROP / 2}
    at = potentials(parts, volts)
    return {each.part.name: abs(amperes(each, at)) for each in parts if each.part.name}


# --- In series --------------------------------------------------------------------------------------------------------


def has_mixed(circuit: Row) -> bool:
    """Whether an LED is dark without some bulb, or a bulb without some LED."""
    whole = _currents(circuit)
    return any(
        whole[lamp] > LITTLE and _currents(circuit, cut)[lamp] < LITTLE
        for lamp in whole
        for cut in whole
        if lamp[:3] != cut[:3]
    )


def _mixed(random: Random) -> Iterator[tuple[Case, bool]]:
    """A row with two lamps, or lamps in two branches with a lamp before them, behind them or nowhere."""
    while True:
        names = iter("abcdef")
        if random.random() < 0.5:
            circuit = Row((Part("", ohms=1000.0), _lamp(random, next(names)), _lamp(random, next(names))))
        else:
            branches = tuple(
                Row((Part("", ohms=1500.0), _lamp(random, next(names))), rail=random.random() < 0.2) for _ in range(2)
            )
            outside = [_lamp(random, next(names))] if random.random() < 0.5 else []
            row: list[Part | tuple[Row, ...]] = [branches]
            row[random.choice([0, 1]) : 0] = outside
            circuit = Row(tuple(row))
        lamps = [each.part.name for each in placed(circuit)]
        yield alone(document_of({"white": written_row(circuit)}, lamps)), has_mixed(circuit)


def _lamp(random: Random, name: str) -> Part:
    return Part(f"bulb {name}", ohms=470.0) if random.random() < 0.5 else Part(f"led {name}", forward=LED)


# --- Side by side -----------------------------------------------------------------------------------------------------

LEAST, EVEN = LED - 0.2, 1.2
"""Volts of one LED while another one of the same bag has all of them; how many times its current may be the other's."""


def _side_by_side(random: Random) -> Iterator[tuple[Case, bool]]:
    """Branches that all have a resistor of their own, or none has; before or behind them one that they share."""
    while True:
        has_own, has_shared = random.random() < 0.5, random.random() < 0.7
        if not has_own and not has_shared:
            continue
        many, ohms = random.randint(1, 2), random.choice([820.0, 1500.0])
        own = (Part("", ohms=ohms),) if has_own else ()
        branches = tuple(
            Row((*own, *(Part(f"led {name}{number}", forward=volts) for number in range(many))))
            for name, volts in zip("abc"[: random.randint(2, 3)], (LED, LEAST, LED), strict=False)
        )
        row: list[Part | tuple[Row, ...]] = [branches]
        if has_shared:
            row.insert(random.randint(0, 1), Part("", ohms=random.choice([100.0, 470.0])))
        circuit = Row(tuple(row))
        found = _currents(circuit)
        yield (
            alone(document_of({"white": written_row(circuit)}, list(found))),
            not _is_even(found),
        )


def _is_even(currents: dict[str, float]) -> bool:
    return max(currents.values()) <= EVEN * min(currents.values())


def _in_lead(random: Random) -> Iterator[tuple[Case, bool]]:
    """Two outputs behind a resistor in the common lead, with or without one of their own, and keys that turn them on."""
    words = [(), ("forward",), ("reverse",), ("moving",)]
    while True:
        rows = {
            name: Row(
                (*((Part("", ohms=1500.0),) if random.random() < 0.7 else ()), Part(f"led {name}", forward=volts))
            )
            for name, volts in (("white", LED), ("yellow", LEAST))
        }
        lead = Part("", ohms=random.choice([470.0, 680.0]))
        numbers = random.choice([(1, 1), (1, 1), (1, 2)])
        entries = [Entry(name, random.choice(words)) for name in rows]
        plan = Plan((TRACK, TRACK), DROP, {}, dict.fromkeys(numbers, ()))
        for number, entry in zip(numbers, entries, strict=True):
            plan = replace(plan, keys={**plan.keys, number: (*plan.keys[number], entry)})
        found: dict[str, set[float]] = {f"led {name}": set() for name in rows}
        is_uneven = False
        for on in {lit(plan, state) for state in states(plan)} - {frozenset()}:
            currents = _currents(Row((lead, tuple(rows[name] for name in sorted(on)))))
            is_uneven = is_uneven or not _is_even(currents)
            for name, current in currents.items():
                found[name].add(current)
        is_disturbed = any(max(each) > 1.05 * min(each) for each in found.values() if each)
        document: dict[str, Any] = document_of({name: written_row(row) for name, row in rows.items()}, list(found))
        document |= {"common": {"circuit": [f"{lead.ohms:.9g} ohm 2 W"]}, "keys": plan.document()["keys"]}
        yield alone(document), is_uneven or is_disturbed


def _shared(random: Random) -> Iterator[tuple[Case, bool]]:
    return (_side_by_side if random.random() < 0.5 else _in_lead)(random)


MAKERS: dict[str, tuple[str, Maker]] = {
    "mixed-lamps-in-series": ("currents, by SciPy", searched(_mixed)),
    "shared-resistor": ("currents, by SciPy and all states", searched(_shared)),
}
