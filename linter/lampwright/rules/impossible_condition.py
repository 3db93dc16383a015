"""An entry whose conditions can never all be met, so that its key turns nothing on by it.

A vehicle faces forward or in reverse and never both, it moves or stands, and a key that must be on cannot be off. The
key that an entry stands under must be on as well.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [front headlamp]}
    keys:
      F0:
        turns-on:
          - {output: white, when: [forward, reverse]}
          #                       ^^^^^^^^^^^^^^^^^^ no state meets "[forward, reverse]" under F0;
          #  a list means all of it at once, {any: [...]} at least one
          - {output: white, when: forward}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [front headlamp]}
    keys:
      F0:
        turns-on:
          - {output: white, when: {any: [forward, stopped]}}

Source: logic.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Severity, Undecided
from lampwright.model.keys import AllOf, Condition
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import TOO_LONG
from lampwright.rule.phrases import quoted


@rule(Severity.ERROR, needs_plan=True)
def impossible_condition(context: Context) -> Iterator[Verdict]:
    """An entry that no state satisfies."""
    for fact in context.logic.entries:
        place = fact.entry.condition_span or fact.entry.span
        if fact.is_possible is False:
            under = f" under {fact.key.name}" if fact.key is not None else ""
            yield Finding(place, f"no state meets {quoted(place.text)}{under}{_hint(fact.entry.condition)}")
        elif fact.is_possible is None and fact.is_readable:
            yield Undecided(place, TOO_LONG)


def _hint(condition: Condition | None) -> str:
    """For who wrote [forward, reverse] and meant both directions."""
    is_list = isinstance(condition, AllOf) and len(condition.parts) > 1
    return "; a list means all of it at once, {any: [...]} at least one" if is_list else ""
