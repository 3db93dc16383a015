"""A bulb draws so much at the moment it is switched on that the output may trip.

A cold filament has about a tenth of the resistance that it has when it glows, so that for some milliseconds many times
its current flows. A decoder that guards its outputs takes that for a short circuit, and switches off. What an output
stands for a moment is its `surge`; without one, twice its limit is taken (a note).

A resistor in series limits the surge; two lamps on two outputs halve it.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA, surge: 400 mA}}}
    lamps:
      cab lamp: {bulb: {voltage: 14 V, current: 40 mA}}
      dome lamp: {bulb: {voltage: 14 V, current: 40 mA}}
    outputs:
      white: {circuit: [parallel: [[cab lamp], [dome lamp]]]}
    # ^^^^^ the output "white" would carry 749 mA for a moment when it is switched on, with its filaments cold; it
    #  stands 400 mA; at your 14.5 V on the track
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA, surge: 400 mA}}}
    lamps:
      cab lamp: {bulb: {voltage: 14 V, current: 40 mA}}
    outputs:
      white: {circuit: [cab lamp]}
    keys: {}

Source: hot over cold resistance of filaments is 8 to 15, read second-hand in three places; twice the limit where no
surge is stated is common practice.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.electrical.facts import OutputFacts, Undetermined
from lampwright.analysis.electrical.inrush import has_bulb, inrush_facts
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.values import is_above
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import at_supply
from lampwright.rule.limits import excess_of_output, load_of
from lampwright.rule.phrases import quoted, said_above
from lampwright.units import Dimension, say

TIMES_LIMIT = 2.0
"""Of its limit that an output stands for a moment if nothing is said of that (common practice)."""


@rule(Severity.WARNING, needs_plan=True)
def surging_output(context: Context) -> Iterator[Verdict]:
    """Inrush of cold filaments above the output's surge, or above twice its limit."""
    for facts in context.doubtful_outputs("surging-output"):
        if isinstance(facts, Undecided):
            yield facts
        elif has_bulb(facts.output):
            if excess_of_output(facts, context.settings.margins):
                yield Undecided(facts.output.span, "a cure for its overloaded-output first")
            else:
                yield from _verdict(context, facts)


def _verdict(context: Context, facts: OutputFacts) -> Iterator[Verdict]:
    load, known = load_of(facts), facts.output.decoder_output
    surge = known.surge if known is not None and load.driver is None else None
    if load.limit is None and surge is None:
        yield Undecided(facts.output.span, "a surge or a limit of this output on the decoder sheet")
        return
    inrush = inrush_facts(context.plan, facts.output)
    if isinstance(inrush, Undetermined):
        yield Undecided(inrush.span, inrush.lacks)
        return
    most = surge.usual if surge is not None else TIMES_LIMIT * (load.limit.usual if load.limit is not None else 0.0)
    if is_above(load_of(inrush).current, most):
        yield _finding(context, facts, inrush, most)


def _finding(context: Context, facts: OutputFacts, inrush: OutputFacts, most: float) -> Finding:
    current = load_of(inrush).current
    load, known = load_of(facts), facts.output.decoder_output
    surge = known.surge if known is not None and load.driver is None else None
    name = quoted(facts.output.name)
    what = f"the driver at the output {name}" if load.driver is not None else f"the output {name}"
    stands = (
        f"it stands {say(most, Dimension.CURRENT)}"
        if surge is not None
        else (f"no surge is stated, so that it is judged by twice its limit, {say(most, Dimension.CURRENT)}")
    )
    place = surge or load.limit
    return Finding(
        facts.output.span,
        f"{what} would carry {said_above(current, most, Dimension.CURRENT)} for a moment when it is switched on, with"
        f" its filaments cold; {stands}; {at_supply(context.plan, 'highest', inrush.basis)}",
        (Note(place.span, "that is stated here"),) if place is not None and place.span is not None else (),
        data={
            "current": current,
            "limit": most,
            "corner": {"supply": facts.supply.highest, "forward-voltage": None, "resistance": None},
        },
        ceiling=Severity.WARNING if surge is not None else Severity.NOTE,
    )
