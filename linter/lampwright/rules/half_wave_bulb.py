"""A bulb that returns to a rail instead of the common, so that it burns half of the time.

The rectifier feeds such a lamp in every other half wave only. What an LED loses is half of its light; the filament of a
bulb gets 0.71 of the voltage in effect, gives about 0.3 of its light, reddish, and flickers.

Instead: an LED with a resistor and a plain diode, where the plug has no common wire; else the common wire; or a plus
for all lamps that two diodes make from both rails.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA, surge: 1 A}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [front headlamp], return: rail}
      #                                          ^^^^ the bulb "front headlamp" returns to a rail, so that it flickers
      #  with 0.71 of the voltage in effect and about 0.3 of its light; an LED suits a rail, a bulb the common wire
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA, surge: 1 A}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [front headlamp]}
    keys: {}

Source: common practice; 0.71 is the root of one half, and 0.3 its power of 3.5, the exponent of light in the re-rating
formulas of lamp handbooks (read second-hand).
"""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt

from lampwright.analysis.electrical.light import bulb_light
from lampwright.analysis.returns import circuits, rail_chains
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.circuit import Bulb, Chain, PlacedLamp, lamp_kind, placed_lamps
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.phrases import all_quoted

HALF_WAVE = sqrt(1 / 2)
"""What half of the time is left of a voltage in effect, the root of its mean square."""


@rule(Severity.WARNING, needs_plan=True)
def half_wave_bulb(context: Context) -> Iterator[Verdict]:
    """A bulb returned to a rail."""
    for _, circuit in circuits(context.plan):
        for chain in rail_chains(circuit):
            bulbs = [lamp for lamp in placed_lamps(chain) if isinstance(lamp_kind(lamp), Bulb)]
            if bulbs:
                yield _finding(chain, bulbs)
            else:
                unread = (lamp for lamp in placed_lamps(chain) if lamp_kind(lamp) is None)
                yield from (Undecided(lamp.span, "readable data of this lamp") for lamp in unread)


def _finding(chain: Chain, bulbs: list[PlacedLamp]) -> Finding:
    assert chain.rail_span is not None
    names, light = all_quoted(bulb.name for bulb in bulbs), bulb_light(HALF_WAVE)
    returns, its = (f"bulb {names} returns", "its") if len(bulbs) == 1 else (f"bulbs {names} return", "their")
    flicker = "it flickers" if len(bulbs) == 1 else "they flicker"
    return Finding(
        chain.rail_span,
        f"the {returns} to a rail, so that {flicker} with {HALF_WAVE:.2g} of the voltage in effect and about"
        f" {light:.1g} of {its} light; an LED suits a rail, a bulb the common wire",
        tuple(Note(bulb.span, "this bulb burns half of the time") for bulb in bulbs),
        data={"light": light},
    )
