"""A bulb gets so little voltage that it hardly glows.

The light of a filament falls with about the 3.5th power of its voltage: at half of its rated voltage it gives a tenth
of its light, and that is the least that one can call a lamp.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      cab lamp: {bulb: {voltage: 12 V, current: 40 mA}}
    outputs:
      white: {circuit: [330 ohm 1 W, cab lamp]}
      #                              ^^^^^^^^ the bulb "cab lamp" gets 4.97 V of its 12 V, and gives about 5 % of its
      #  light; at your 14.5 V on the track
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      cab lamp: {bulb: {voltage: 12 V, current: 40 mA}}
    outputs:
      white: {circuit: [100 ohm 1/2 W, cab lamp]}
    keys: {}

Source: the exponent of the light, 3.4 to 3.5, is from the re-rating formulas of lamp handbooks, read second-hand (Fink
and Beaty, Standard Handbook for Electrical Engineers, 11th ed., p. 22-8); the tenth is common practice.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.electrical.facts import ElementFacts
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.circuit import Bulb, PlacedLamp, lamp_kind
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import at_supply, caveat
from lampwright.rule.dimness import LEAST_LIGHT, dim_light
from lampwright.rule.phrases import quoted
from lampwright.units import Dimension, say


@rule(Severity.WARNING, needs_plan=True)
def dim_bulb(context: Context) -> Iterator[Verdict]:
    """Less than a tenth of its light with all usual values."""
    for facts in context.doubtful_outputs("dim-bulb"):
        if isinstance(facts, Undecided):
            yield facts
            continue
        for each in facts.elements:
            kind = lamp_kind(each.element)
            if isinstance(kind, Bulb) and (light := dim_light(each)) is not None:
                yield _finding(context, each, kind, light)


def _finding(context: Context, each: ElementFacts, bulb: Bulb, light: float) -> Finding:
    lamp, voltage = each.element, each.effective_voltage.usual
    assert isinstance(lamp, PlacedLamp)
    share = f"about {say(light, Dimension.SHARE, 1)}" if light >= 0.01 else "less than 1 %"
    return Finding(
        lamp.span,
        f"the bulb {quoted(lamp.name)} gets {say(voltage, Dimension.VOLTAGE)} of its"
        f" {say(bulb.voltage.usual, Dimension.VOLTAGE)}, and gives {share} of its light;"
        f" {at_supply(context.plan, 'usual', each.basis)}{caveat(each.weak, 'usual')}",
        (Note(bulb.voltage.span, "its rated voltage is stated here"),) if bulb.voltage.span is not None else (),
        data={
            "voltage": voltage,
            "current": each.current.usual,
            "limit": LEAST_LIGHT,
            "light": light,
            "corner": each.corners.usual.data,
        },
    )
