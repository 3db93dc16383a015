"""An LED that is put in against the feed, and so stays dark.

Current flows from the common to a switched-on output: the anode of an LED belongs on the side of the common. It is the
same where a lamp returns to a rail (`return: rail`): that end is the positive one while current flows at all, and the
output draws it down as ever. A bulb does not mind which way round it is.

The fix takes out `reversed: true`.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA, surge: 1 A}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, {lamp: front headlamp, reversed: true}]}
      #                                        ^^^^^^^^^^^^^^ the LED "front headlamp" is put in against the feed and
      #  stays dark
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA, surge: 1 A}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [{lamp: front headlamp, reversed: true}]}
    keys: {}

Fixed:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA, surge: 1 A}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, front headlamp]}
    keys: {}

Source: outputs are low-side switches, the load hangs between the common plus and the output (NEM 652 marks the lights
"-" and the common "+", read).
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.returns import circuits
from lampwright.diagnostics import Finding, Fix, Severity, Undecided
from lampwright.model.circuit import Led, lamp_kind, placed_lamps
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.phrases import quoted
from lampwright.rule.writing import turned_round


@rule(Severity.ERROR, needs_plan=True, has_fix=True)
def reversed_led(context: Context) -> Iterator[Verdict]:
    """An LED against the feed."""
    for _, circuit in circuits(context.plan):
        for lamp in placed_lamps(circuit):
            if not lamp.reversed:
                continue
            kind = lamp_kind(lamp)
            if kind is None:
                yield Undecided(lamp.span, "readable data of this lamp")
            elif isinstance(kind, Led):
                edits = turned_round(context.tree, lamp)
                yield Finding(
                    lamp.span,
                    f"the LED {quoted(lamp.name)} is put in against the feed and stays dark",
                    fixes=(Fix("Put it in the other way round", edits),) if edits else (),
                )
