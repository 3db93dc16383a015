"""A bulb of much power in a shell of plastic or resin.

Nearly all that a bulb takes becomes heat, right behind the plastic. Up to 0.4 W is harmless as a rule; a bulb of 12 V
or more at full voltage takes more, and fits an open cab at best, not a headlamp. Judged is what the bulb takes where it
is, not what its label says: behind a resistor it takes less. Use an LED, or a larger resistor and less light.

Bad:

    vehicle: {name: Quarry switcher 7, shell: plastic}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA, surge: 1 A}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 50 mA}}
    outputs:
      white: {circuit: [front headlamp]}
      #                 ^^^^^^^^^^^^^^ the bulb "front headlamp" would take 631 mW in a shell of plastic, for which
      #  400 mW is the most (common practice); at your 14.5 V on the track
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7, shell: plastic}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA, surge: 1 A}}}
    lamps:
      front headlamp: {bulb: {voltage: 1.5 V, current: 15 mA}}
    outputs:
      white: {circuit: [820 ohm 1/2 W, front headlamp]}
    keys: {}

Source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.electrical.facts import ElementFacts
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.circuit import Bulb, Led, PlacedLamp, lamp_kind, placed_lamps
from lampwright.model.values import Name, is_above
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import at_supply, caveat
from lampwright.rule.phrases import quoted, said_above
from lampwright.units import Dimension, say

MOST_POWER = 0.4
"""Watts that a bulb may take behind plastic (common practice)."""

SOFT = ("plastic", "resin")


@rule(Severity.WARNING, needs_plan=True)
def hot_lamp(context: Context) -> Iterator[Verdict]:
    """A bulb above 0.4 W in a plastic or resin shell."""
    shell = context.plan.vehicle.shell
    if shell is not None and shell.text not in SOFT:
        return
    judged = context.judged_outputs("hot-lamp")
    for output, facts in zip(context.plan.outputs.values(), judged, strict=True):
        if isinstance(facts, Undecided):
            if output.circuit is None or any(_may_be_bulb(lamp) for lamp in placed_lamps(output.circuit)):
                yield facts
            continue
        for each in facts.elements:
            if isinstance(lamp_kind(each.element), Bulb) and is_above(each.average_power, MOST_POWER):
                yield _verdict(context, each, shell)


def _may_be_bulb(lamp: PlacedLamp) -> bool:
    return not isinstance(lamp_kind(lamp), Led)


def _verdict(context: Context, facts: ElementFacts, shell: Name | None) -> Verdict:
    if shell is None:
        return Undecided(facts.span, "what the shell is made of")
    assert isinstance(facts.element, PlacedLamp)
    most, power = say(MOST_POWER, Dimension.POWER), said_above(facts.average_power, MOST_POWER, Dimension.POWER)
    return Finding(
        facts.span,
        f"the bulb {quoted(facts.element.name)} would take {power}"
        f" in a shell of {shell.text}, for which {most} is the most (common practice);"
        f" {at_supply(context.plan, 'usual', facts.basis)}{caveat(facts.weak, 'usual')}",
        (Note(shell.span, "the shell is stated here"),),
        data={
            "power": facts.average_power,
            "voltage": facts.voltage.usual,
            "current": facts.current.usual,
            "limit": MOST_POWER,
        },
    )
