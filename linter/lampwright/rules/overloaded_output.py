"""More current than the output of the decoder carries, or more than the club's margin of it.

An overloaded output switches itself off, or is gone. The current is that of all the output feeds, fully on, in the
corner of supply, drop, forward voltages and tolerances that makes it largest.

The fix takes the next preferred resistor up that keeps the output within its margin.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 50 mA, surge: 1 A}}}
    lamps:
      front headlamp: {bulb: {voltage: 12 V, current: 60 mA}}
    outputs:
      white: {circuit: [27 ohm 1/4 W, front headlamp]}
    # ^^^^^ the output "white" would carry 58.9 mA; its limit is 50 mA; at your 14.5 V on the track
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA, surge: 1 A}}}
    lamps:
      front headlamp: {bulb: {voltage: 12 V, current: 60 mA}}
    outputs:
      white: {circuit: [27 ohm 1/4 W, front headlamp]}
    keys: {}

Fixed:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 50 mA, surge: 1 A}}}
    lamps:
      front headlamp: {bulb: {voltage: 12 V, current: 60 mA}}
    outputs:
      white: {circuit: [150 ohm 1 W, front headlamp]}
    keys: {}

Source: the decoder's sheet; the margin is common practice.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import isinf

from lampwright.analysis.electrical.facts import OutputFacts
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.values import Figure
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import at_supply, caveat, ceiling
from lampwright.rule.cures import Cure, larger_resistor
from lampwright.rule.limits import Excess, Load, excess_of_output, load_of
from lampwright.rule.phrases import quoted, said_above
from lampwright.units import Dimension, say


@rule(Severity.ERROR, needs_plan=True, has_fix=True)
def overloaded_output(context: Context) -> Iterator[Verdict]:
    """Hot current above the output's limit, or above the margin of it."""
    for facts in context.doubtful_outputs("overloaded-output"):
        if isinstance(facts, Undecided):
            yield facts
            continue
        load = load_of(facts)
        if excess := excess_of_output(facts, context.settings.margins):
            yield _finding(context, facts, load, excess)
        elif load.limit is None:
            yield Undecided(facts.output.span, "a limit of this output on the decoder sheet")


def _finding(context: Context, facts: OutputFacts, load: Load, excess: Excess) -> Finding:
    margin, limit = context.settings.margins.output_current, load.limit
    does = _does(load, facts, excess, margin)
    at = f"{at_supply(context.plan, 'highest', facts.basis)}{caveat(facts.weak)}"
    cure = _cure(context, facts, limit)
    return Finding(
        facts.output.span,
        f"{_what(facts, load)} would {does};{_limit(limit, excess, margin)} {at}",
        (Note(limit.span, "the limit is stated here"),) if limit is not None and limit.span is not None else (),
        cure.fixes,
        {
            "current": None if isinf(load.current) else load.current,
            "limit": limit.usual if limit is not None else None,
            "margin": margin,
            "corner": {"supply": facts.supply.highest, "forward-voltage": None, "resistance": None},
            "suggested": cure.suggested,
        },
        ceiling(facts.weak) if excess is Excess.ABOVE_LIMIT else Severity.WARNING,
    )


def _what(facts: OutputFacts, load: Load) -> str:
    name = quoted(facts.output.name)
    return f"the driver at the output {name}" if load.driver is not None else f"the output {name}"


def _does(load: Load, facts: OutputFacts, excess: Excess, margin: float) -> str:
    if load.limit is None or isinf(facts.current.highest):
        return "be short-circuited, with nothing that limits its current"
    most = load.limit.usual if excess is Excess.ABOVE_LIMIT else margin * load.limit.usual
    return f"carry {said_above(load.current, most, Dimension.CURRENT)}"


def _limit(limit: Figure | None, excess: Excess, margin: float) -> str:
    if limit is None:
        return ""
    share = f", of which {say(margin, Dimension.SHARE)} is the margin" if excess is Excess.ABOVE_MARGIN else ""
    return f" its limit is {say(limit.usual, Dimension.CURRENT)}{share};"


def _cure(context: Context, facts: OutputFacts, limit: Figure | None) -> Cure:
    if limit is None:
        return Cure()
    margins = context.settings.margins
    return larger_resistor(context, facts, lambda new: not excess_of_output(new, margins))
