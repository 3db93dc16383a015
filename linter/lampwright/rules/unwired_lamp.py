"""A lamp of the plan that no output feeds.

It was bought, or its wire forgotten. A lamp counts as wired also on an output that the decoder does not have.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
      rear headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
    # ^^^^^^^^^^^^^ no output feeds the lamp "rear headlamp"
    outputs:
      white: {circuit: [front headlamp]}
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}, yellow: {number: 2}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
      rear headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [front headlamp]}
      yellow: {circuit: [rear headlamp]}
    keys: {}

Source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Severity, Undecided
from lampwright.model.circuit import placed_lamps
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.phrases import quoted


@rule(Severity.WARNING, needs_plan=True)
def unwired_lamp(context: Context) -> Iterator[Verdict]:
    """A lamp that no output feeds."""
    plan = context.plan
    circuits = [plan.common_circuit, *(output.circuit for output in plan.outputs.values())]
    wired = {lamp.name for circuit in circuits if circuit is not None for lamp in placed_lamps(circuit)}
    for lamp in plan.lamps.values():
        if lamp.name in wired:
            continue
        if plan.wiring_is_complete:
            yield Finding(lamp.span, f"no output feeds the lamp {quoted(lamp.name)}")
        else:
            yield Undecided(lamp.span, "circuits that can all be read")
