"""A rate that the decoder cannot set, because its effect does not go that slow or that fast.

The sheet says for an effect which rates it can have. A decoder that is told another one takes some value of its own.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder:
      common: {drop: 1.4 V}
      outputs: {green: {number: 3}}
      effects: {beacon: {code: 3, rate: 50 to 120 per minute}}
    lamps:
      roof beacon: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      green: {circuit: [roof beacon]}
    keys:
      F5: {turns-on: [{output: green, effect: beacon, rate: 150 per minute}]}
      #                                                     ^^^^^^^^^^^^^^ "beacon" on "green" is to have 150 per minute
      #  with F5 on, forward; this decoder can set it to 50 to 120 per minute

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder:
      common: {drop: 1.4 V}
      outputs: {green: {number: 3}}
      effects: {beacon: {code: 3, rate: 50 to 120 per minute}}
    lamps:
      roof beacon: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      green: {circuit: [roof beacon]}
    keys:
      F5: {turns-on: [{output: green, effect: beacon, rate: 80 per minute}]}

Source: the decoder sheet.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.logic.looks import Shown
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.keys import STEADY
from lampwright.model.values import Figure, Name, is_above
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import in_state, state_data
from lampwright.rule.looks import shown_rates
from lampwright.rule.phrases import quoted, said_above
from lampwright.text import Span
from lampwright.units import Dimension, say


@rule(Severity.ERROR, needs_plan=True)
def rate_out_of_range(context: Context) -> Iterator[Verdict]:
    """A rate that the decoder's effect cannot set."""
    told: set[tuple[Span, str]] = set()
    for each in shown_rates(context):
        if isinstance(each, Undecided):
            yield each
            continue
        output, shown = each
        rate, effect = shown.rate.value, shown.effect.value
        if rate is None or effect is None or rate.span is None or effect.text == STEADY:
            continue
        if (rate.span, effect.text) not in told:
            told.add((rate.span, effect.text))
            yield from _verdict(context, output, shown, effect, rate)


def _verdict(context: Context, output: str, shown: Shown, effect: Name, rate: Figure) -> Iterator[Verdict]:
    assert rate.span is not None
    effects = context.plan.decoder.effects if context.plan.decoder is not None else None
    sheet = effects.get(effect.text) if effects is not None else None
    if sheet is None or sheet.rate is None:
        yield Undecided(rate.span, f"the rates of {quoted(effect.text)} on the decoder sheet")
    elif is_above(rate.usual, sheet.rate.highest) or is_above(sheet.rate.lowest, rate.usual):
        yield _finding(output, shown, effect, rate, sheet.rate)


def _finding(output: str, shown: Shown, effect: Name, rate: Figure, possible: Figure) -> Finding:
    assert rate.span is not None
    limit = possible.highest if is_above(rate.usual, possible.highest) else possible.lowest
    value = said_above(rate.usual, limit, Dimension.RATE)
    when = f" {in_state(shown.state)}" if shown.state is not None else ""
    lowest = say(possible.lowest, Dimension.RATE).removesuffix(" per minute")
    return Finding(
        rate.span,
        f"{quoted(effect.text)} on {quoted(output)} is to have {value}{when};"
        f" this decoder can set it to {lowest} to {say(possible.highest, Dimension.RATE)}",
        (Note(possible.span, "the sheet says so here"),) if possible.span is not None else (),
        data={"limit": limit} | ({"state": state_data(shown.state)} if shown.state is not None else {}),
    )
