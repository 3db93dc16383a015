"""A flash slower than 40 or faster than 180 a minute, which no prototype shows.

Strobes of locomotives flash 40 to 180 times a minute. A lamp that oscillates or flickers does not flash, and is not
meant.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder:
      common: {drop: 1.4 V}
      outputs: {green: {number: 3}}
      effects: {strobe: {code: 3, rate: 10 to 300 per minute}}
    lamps:
      roof strobe: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      green: {circuit: [roof strobe], effect: strobe, rate: 240 per minute}
      #                                                     ^^^^^^^^^^^^^^ "strobe" on "green" flashes at 240 per minute
      #  with F5 on, forward; the prototype flashes at 40 to 180 per minute
    keys:
      F5: {turns-on: [{output: green}]}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder:
      common: {drop: 1.4 V}
      outputs: {green: {number: 3}}
      effects: {strobe: {code: 3, rate: 10 to 300 per minute}}
    lamps:
      roof strobe: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      green: {circuit: [roof strobe], effect: strobe, rate: 75 per minute}
    keys:
      F5: {turns-on: [{output: green}]}

Source: 49 CFR 229.133(b)(1), for strobes.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.logic.looks import Shown
from lampwright.diagnostics import Finding, Severity, Undecided
from lampwright.model.keys import STEADY
from lampwright.model.values import Figure, is_above
from lampwright.patterns import pattern
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import in_state, state_data
from lampwright.rule.looks import shown_rates
from lampwright.rule.phrases import quoted, said_above
from lampwright.text import Span
from lampwright.units import Dimension

# 49 CFR 229.133(b)(1), read: 40 to 180 flashes a minute, in hertz.
SLOWEST, FASTEST = 40 / 60, 180 / 60

_NO_FLASH = pattern(r"oscillat|flicker")


@rule(Severity.NOTE, needs_plan=True)
def flash_rate_off_practice(context: Context) -> Iterator[Verdict]:
    """A rate outside 40 to 180 a minute."""
    told: set[Span] = set()
    for each in shown_rates(context):
        if isinstance(each, Undecided):
            yield each
            continue
        output, shown = each
        rate, effect = shown.rate.value, shown.effect.value
        if rate is None or effect is None or rate.span is None or rate.span in told or not _is_flash(effect.text):
            continue
        if is_above(rate.usual, FASTEST) or is_above(SLOWEST, rate.usual):
            told.add(rate.span)
            yield _finding(output, shown, rate, rate.span)


def _is_flash(effect: str) -> bool:
    return effect != STEADY and _NO_FLASH.search(effect.casefold()) is None


def _finding(output: str, shown: Shown, rate: Figure, place: Span) -> Finding:
    effect, state = shown.effect.value, shown.state
    assert effect is not None
    when = f" {in_state(state)}" if state is not None else ""
    limit = FASTEST if is_above(rate.usual, FASTEST) else SLOWEST
    value = said_above(rate.usual, limit, Dimension.RATE)
    return Finding(
        place,
        f"{quoted(effect.text)} on {quoted(output)} flashes at {value}{when};"
        " the prototype flashes at 40 to 180 per minute",
        data={"limit": limit} | ({"state": state_data(state)} if state is not None else {}),
    )
