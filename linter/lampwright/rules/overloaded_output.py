"""More current than the output of the decoder carries, or more than the club's margin of it.

An overloaded output switches itself off, or is gone. The current is that of all the output feeds, fully on, in the
corner of supply, drop, forward voltages and tolerances that makes it largest.

The fix takes the next preferred resistor up that keeps the output within its margin.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 50 mA}}}
    lamps:
      front headlamp: {bulb: {voltage: 12 V, current: 60 mA}}
    outputs:
      white: {circuit: [27 ohm 1/4 W, front headlamp]}
    # ^^^^^ the output "white" would carry 58.1 mA; its limit is 50 mA; at your 14.5 V on the track
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {bulb: {voltage: 12 V, current: 60 mA}}
    outputs:
      white: {circuit: [27 ohm 1/4 W, front headlamp]}
    keys: {}

Fixed:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 50 mA}}}
    lamps:
      front headlamp: {bulb: {voltage: 12 V, current: 60 mA}}
    outputs:
      white: {circuit: [100 ohm 1/2 W, front headlamp]}
    keys: {}

Source: the decoder's sheet; the margin is common practice.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import isinf

from lampwright.analysis.facts import OutputFacts
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.values import Figure
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import at_supply, caveat, ceiling
from lampwright.rule.cures import larger_resistor
from lampwright.rule.phrases import quoted
from lampwright.units import Dimension, say


@rule(Severity.ERROR, needs_plan=True, has_fix=True)
def overloaded_output(context: Context) -> Iterator[Verdict]:
    """Hot current above the output's limit, or above the margin of it."""
    for facts in context.judged_outputs("overloaded-output"):
        if isinstance(facts, Undecided):
            yield facts
            continue
        decoder_output = facts.output.decoder_output
        limit = decoder_output.limit if decoder_output is not None else None
        if isinf(facts.current.highest):
            yield _finding(context, facts, limit, "would be short-circuited, with nothing that limits its current")
        elif limit is None:
            yield Undecided(facts.output.span, "a limit of this output on the decoder sheet")
        elif facts.current.highest > context.settings.margins.output_current * limit.usual:
            yield _finding(context, facts, limit, f"would carry {say(facts.current.highest, Dimension.CURRENT)}")


def _finding(context: Context, facts: OutputFacts, limit: Figure | None, verb: str) -> Finding:
    margin = context.settings.margins.output_current
    most = limit.usual if limit is not None else 0.0
    is_over = limit is None or facts.current.highest > most
    share = "" if is_over else f", of which {say(margin, Dimension.SHARE)} is the margin"
    said = f"; its limit is {say(most, Dimension.CURRENT)}{share}" if limit is not None else ""
    at = f"; {at_supply(context.plan, 'highest')}{caveat(facts.weak)}"
    cure = larger_resistor(context, facts.output, lambda new: new.current.highest <= margin * most)
    return Finding(
        facts.output.span,
        f"the output {quoted(facts.output.name)} {verb}{said}{at}",
        (Note(limit.span, "the limit is stated here"),) if limit is not None and limit.span is not None else (),
        cure if limit is not None else (),
        {"current": facts.current.highest, "limit": most or None, "margin": margin},
        _lower(ceiling(facts.weak), is_over),
    )


def _lower(highest: Severity | None, is_over: bool) -> Severity | None:  # noqa: FBT001  # a pair that belongs together
    return highest if is_over else Severity.WARNING
