"""One lamp that stands in two places of the wiring.

A lamp has two ends. What is meant is a second lamp of the same kind, which needs a name of its own, or one of the
places is left over from an earlier plan.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}, green: {number: 3}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [front headlamp]}
      green: {circuit: [front headlamp]}
      #                 ^^^^^^^^^^^^^^ the lamp "front headlamp" is wired a second time here
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

from lampwright.diagnostics import Finding, Note, Severity
from lampwright.model.circuit import PlacedLamp, placed_lamps
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.phrases import quoted


@rule(Severity.ERROR, needs_plan=True)
def twice_wired_lamp(context: Context) -> Iterator[Verdict]:
    """One lamp in two places."""
    plan = context.plan
    circuits = [plan.common_circuit, *(output.circuit for output in plan.outputs.values())]
    placed = [lamp for circuit in circuits if circuit is not None for lamp in placed_lamps(circuit)]
    by_name: dict[str, list[PlacedLamp]] = {}
    for lamp in sorted(placed, key=lambda lamp: lamp.span.start):
        if lamp.lamp is not None:
            by_name.setdefault(lamp.name, []).append(lamp)
    for name, (first, *others) in by_name.items():
        if others:
            # A lamp in three places is one lamp too few in the list, not two mistakes.
            again = tuple(Note(other.span, "and again here") for other in others[1:])
            notes = (Note(first.span, "the first time here"), *again)
            yield Finding(others[0].span, f"the lamp {quoted(name)} is wired a second time here", notes)
