"""A circuit that nothing turns on: no key names its output, and no entry of `always`.

The lamps were soldered in for nothing, or a key was forgotten. A plan that says nothing of keys yet is not judged.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}, brown: {number: 5}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
      cab lamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [front headlamp]}
      brown: {circuit: [cab lamp]}
    # ^^^^^ nothing turns on "brown": no key names it, and no entry of always
    keys:
      F0: {turns-on: [{output: white, when: forward}]}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}, brown: {number: 5}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
      cab lamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [front headlamp]}
      brown: {circuit: [cab lamp]}
    keys:
      F0: {turns-on: [{output: white, when: forward}]}
      F7: {turns-on: [{output: brown}]}

Source: logic; that a decoder lights nothing by itself is common practice.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Severity, Undecided
from lampwright.model.lighting import LightingPlan, Output
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.phrases import quoted


@rule(Severity.WARNING, needs_plan=True)
def dark_output(context: Context) -> Iterator[Verdict]:
    """A circuit that nothing turns on."""
    plan = context.plan
    turned_on = {output for fact in context.logic.entries for output in fact.outputs} | set(_fixed(plan))
    for output in plan.outputs.values():
        if output.name in turned_on or output.is_empty or _is_unknown(plan, output):
            continue
        lacks = _lacks(plan, output)
        if lacks is not None:
            yield Undecided(output.span, lacks)
        else:
            name = quoted(output.name)
            yield Finding(output.span, f"nothing turns on {name}: no key names it, and no entry of always")


def _fixed(plan: LightingPlan) -> Iterator[str]:
    """The outputs that the decoder's own fixed keys turn on, whatever the plan says."""
    mapping = plan.decoder.mapping if plan.decoder is not None else None
    for key in mapping.fixed if mapping is not None else ():
        for entry in key.entries:
            yield from (output.text for output in entry.outputs)


def _is_unknown(plan: LightingPlan, output: Output) -> bool:
    """Whether the decoder has no such output, which is a mistake of its own."""
    return plan.decoder is not None and plan.decoder.outputs_are_listed and output.decoder_output is None


def _lacks(plan: LightingPlan, output: Output) -> str | None:
    """What the plan lacks for a verdict: that it says nothing about keys is no evidence that it forgot one."""
    if output.circuit is None:
        return "a circuit that can be read"
    if not plan.keys_are_complete:
        return "keys that can all be read"
    return None if plan.keys or plan.always else "a key that turns anything on"
