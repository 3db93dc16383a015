"""Plans that need more of a part than the catalogue has in stock.

Counted are all plans that are checked together, so check the folder of the club, not one file. Where a catalogue does
not say how many there are, nothing is said either. A resistor may be taken from every entry that is as exact and rated
as high, the one that fits best first.

Other plan:

    vehicle: {name: Ore hauler 12, address: 2107}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    parts: [club.parts.yaml]
    lamps: {front headlamp: {part: warm white 0603}}
    outputs: {white: {circuit: [1.5 kohm 1/4 W 5 %, front headlamp]}}
    keys: {F0: {label: Headlamps, turns-on: [{output: white}]}}

Bad (club.parts.yaml):

    parts-catalogue: 1
    lamps:
      warm white 0603:
    # ^^^^^^^^^^^^^^^ the plans need 1 of "warm white 0603", and there is none
        led: {forward-voltage: 2.8 V to 3.3 V, current: 9 mA, maximum-current: 20 mA}
        stock: 0

Good (club.parts.yaml):

    parts-catalogue: 1
    lamps:
      warm white 0603:
        led: {forward-voltage: 2.8 V to 3.3 V, current: 9 mA, maximum-current: 20 mA}
        stock: 1

Source: arithmetic.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Note, Severity
from lampwright.fleet import Fleet, Shortage
from lampwright.rule import fleet_rule
from lampwright.rule.phrases import quoted

_MOST_NOTES = 5


@fleet_rule(Severity.WARNING)
def short_stock(fleet: Fleet) -> Iterator[Finding]:
    """An entry of a catalogue with less in stock than the plans need."""
    for shortage in fleet.shortages():
        yield _finding(shortage)


def _finding(shortage: Shortage) -> Finding:
    there = {0: "is none", 1: "is 1"}.get(shortage.are, f"are {shortage.are}")
    return Finding(
        shortage.spot.span,
        f"the plans need {shortage.needed} of {quoted(shortage.name)}, and there {there}",
        tuple(
            Note(place, f"{quoted(card.name)} needs {quantity}")
            for card, quantity, place in shortage.takers[:_MOST_NOTES]
        ),
    )
