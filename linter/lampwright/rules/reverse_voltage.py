"""More voltage stands against an LED than it bears, while its output is off.

An LED lets nothing through backwards, but bears only about 5 V that way. Where one lamp of an output hangs on the
common and another one returns to a rail, nearly the whole track voltage stands against the LED at the rail whenever the
output is off and that rail is the negative one. LEDs in series share it. While the output is on, at most the drop of a
rectifier diode stands against them.

A plain diode in series, pointing the same way, takes the voltage; two lamps at the common, or two at a rail, avoid it.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
      number board: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white:
        circuit:
          - parallel:
              - [1.5 kohm 1/4 W, front headlamp]
              # lampwright: allow sneak-path -- this page is about what comes of it
              - {series: [1.5 kohm 1/4 W, number board], return: rail}
              #                           ^^^^^^^^^^^^ 13.8 V stand against the LED "number board" while its output is
              #  off; an LED bears about 5 V (read second-hand); at your 14.5 V on the track
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
      number board: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white:
        circuit:
          - parallel:
              - [1.5 kohm 1/4 W, front headlamp]
              - {series: [1.5 kohm 1/4 W, {diode: 0.7 V}, number board], return: rail}
    keys: {}

Source: Kirchhoff's voltage law; 5 V is the usual reverse voltage of data sheets, read second-hand in three places.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.electrical.supply import CommonSupply, rail_supply
from lampwright.analysis.returns import SneakPath, sneak_paths
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.values import is_above
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import at_supply, caveat
from lampwright.rule.phrases import counted, quoted
from lampwright.units import Dimension, say

BORNE = 5.0
"""Volts that an LED bears backwards: what data sheets usually say (read second-hand in three places)."""


@rule(Severity.WARNING, needs_plan=True)
def reverse_voltage(context: Context) -> Iterator[Verdict]:
    """More than 5 V against an LED, while its output is on or off."""
    for output in context.plan.outputs.values():
        paths = list(sneak_paths(context.plan, output))
        for path in paths:
            supply = rail_supply(context.plan)
            if path.lack is not None:
                yield Undecided(path.lack.span, "an element of which is known what it lets through backwards")
            elif not path.against:
                continue
            elif any(other.glows for other in paths):
                yield Undecided(path.against[0].span, "a cure for its sneak-path first")
            elif isinstance(supply, str):
                yield Undecided(path.rail.span, supply)
            elif is_above(supply.voltage.highest / len(path.against), BORNE):
                yield _finding(context, path, supply)


def _finding(context: Context, path: SneakPath, supply: CommonSupply) -> Finding:
    first, *others = path.against
    against = supply.voltage.highest / len(path.against)
    shared = f" as its share of {counted(len(path.against), 'LED')}" if others else ""
    return Finding(
        first.span,
        f"{say(against, Dimension.VOLTAGE)} stand against the LED {quoted(first.name)}{shared} while its output is off;"
        f" an LED bears about {say(BORNE, Dimension.VOLTAGE)} (read second-hand);"
        f" {at_supply(context.plan, 'highest')}{caveat(supply.weak)}",
        tuple(Note(lamp.span, "the same stands against this one") for lamp in others),
        data={
            "voltage": against,
            "limit": BORNE,
            "corner": {"supply": supply.voltage.highest, "forward-voltage": None, "resistance": None},
        },
    )
