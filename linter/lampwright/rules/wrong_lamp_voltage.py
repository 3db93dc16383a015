"""A bulb gets more voltage than it is made for.

Above its maximum voltage it burns out soon (error); above 1.05 of its rated voltage it wears out early (warning). The
life of a filament falls with about the twelfth power of the voltage: 10 % more costs two thirds of it. It rises in the
same way below: a slightly larger resistor costs little light and saves many lamps.

The fix takes the next preferred resistor up that brings the bulb to its rated voltage.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      cab lamp: {bulb: {voltage: 6 V, current: 40 mA}}
    outputs:
      white: {circuit: [82 ohm 1 W, cab lamp]}
      #                             ^^^^^^^^ the bulb "cab lamp" would get 8.62 V; it is made for 6 V and
      #  stands 6.6 V; at your 14.5 V on the track; about 1 % of its life is left
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      cab lamp: {bulb: {voltage: 6 V, current: 40 mA}}
    outputs:
      white: {circuit: [180 ohm 1 W, cab lamp]}
    keys: {}

Fixed:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      cab lamp: {bulb: {voltage: 6 V, current: 40 mA}}
    outputs:
      white: {circuit: [180 ohm 1 W, cab lamp]}
    keys: {}

Source: the bulb's rating; the exponent of the life, 12 to 16, is from the re-rating formulas of lamp handbooks, read
second-hand (Fink and Beaty, Standard Handbook for Electrical Engineers, 11th ed., p. 22-8).
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.facts import ElementFacts, OutputFacts
from lampwright.analysis.sizing import facts_of
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.circuit import Bulb, PlacedLamp
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import at_supply, caveat, ceiling
from lampwright.rule.cures import larger_resistor
from lampwright.rule.phrases import quoted
from lampwright.units import Dimension, say

LIFE_EXPONENT = -12
USUAL_EXCESS = 1.05
"""Of its rated voltage a bulb may have this much in the usual corner; common practice."""


@rule(Severity.ERROR, needs_plan=True, has_fix=True)
def wrong_lamp_voltage(context: Context) -> Iterator[Verdict]:
    """Hot voltage above the bulb's maximum, or usual voltage above 1.05 of its rated one."""
    for facts in context.judged_outputs("wrong-lamp-voltage"):
        if isinstance(facts, Undecided):
            yield facts
            continue
        for each in facts.elements:
            bulb = _bulb(each)
            if bulb is None:
                continue
            if each.voltage.highest > bulb.maximum_voltage.usual * _NOISE:
                yield _finding(context, facts, each, bulb, is_over=True)
            elif each.voltage.usual > USUAL_EXCESS * bulb.voltage.usual * _NOISE:
                yield _finding(context, facts, each, bulb, is_over=False)


# A bulb exactly at its limit is not above it, whatever the last bit of a float says.
_NOISE = 1 + 1e-9


def _bulb(facts: ElementFacts) -> Bulb | None:
    element = facts.element
    kind = element.lamp.kind if isinstance(element, PlacedLamp) and element.lamp is not None else None
    return kind if isinstance(kind, Bulb) else None


def _finding(context: Context, facts: OutputFacts, each: ElementFacts, bulb: Bulb, *, is_over: bool) -> Finding:
    lamp = each.element
    assert isinstance(lamp, PlacedLamp)
    corner = "highest" if is_over else "usual"
    voltage = each.voltage.highest if is_over else each.voltage.usual
    life = (voltage / bulb.voltage.usual) ** LIFE_EXPONENT
    stands = f" and stands {say(bulb.maximum_voltage.usual, Dimension.VOLTAGE)}" if is_over else ""
    span = bulb.voltage.span
    return Finding(
        lamp.span,
        f"the bulb {quoted(lamp.name)} would get {say(voltage, Dimension.VOLTAGE)}; it is made for"
        f" {say(bulb.voltage.usual, Dimension.VOLTAGE)}{stands}; {at_supply(context.plan, corner)};"
        f" {_life(life)} of its life is left{caveat(each.weak, corner)}",
        (Note(span, "its rated voltage is stated here"),) if span is not None else (),
        larger_resistor(context, facts.output, lambda new: _is_cured(new, lamp, bulb), lamp),
        {
            "voltage": voltage,
            "current": each.current.highest if is_over else each.current.usual,
            "limit": bulb.maximum_voltage.usual if is_over else USUAL_EXCESS * bulb.voltage.usual,
            "corner": each.corner.data,
            "life": life,
        },
        ceiling(each.weak) if is_over else Severity.WARNING,
    )


def _life(life: float) -> str:
    return f"about {life:.0%}".replace("%", " %") if life >= 0.01 else "less than 1 %"


def _is_cured(facts: OutputFacts, lamp: PlacedLamp, bulb: Bulb) -> bool:
    found = facts_of(facts, lamp)
    return (
        found is not None
        and found.voltage.usual <= bulb.voltage.usual
        and found.voltage.highest <= bulb.maximum_voltage.usual
    )
