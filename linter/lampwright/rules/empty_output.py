"""A key that turns on an output with nothing on it.

The lamp is on another wire, or was never soldered in; or the name of the output is a slip that happens to be the name
of another one.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}, green: {number: 3}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [front headlamp]}
    keys:
      F0: {turns-on: [{output: white, when: forward}]}
      F3: {turns-on: [{output: green}]}
      #                        ^^^^^ F3 turns on "green", but nothing hangs on it

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}, green: {number: 3}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
      step lamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [front headlamp]}
      green: {circuit: [step lamp]}
    keys:
      F0: {turns-on: [{output: white, when: forward}]}
      F3: {turns-on: [{output: green}]}

Source: logic.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.logic.entries import EntryFact
from lampwright.diagnostics import Finding, Severity, Undecided
from lampwright.model.values import Name
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.phrases import meant_or_possible, quoted

_MOST_COMPARED = 32


@rule(Severity.WARNING, needs_plan=True)
def empty_output(context: Context) -> Iterator[Verdict]:
    """A key that turns on an output with nothing on it."""
    plan = context.plan
    for fact in context.logic.entries:
        # One that never holds turns nothing on, and is a mistake of its own.
        for name in fact.entry.outputs if fact.is_possible is not False else ():
            output = plan.outputs.get(name.text)
            if output is None and not plan.outputs_are_known:
                yield Undecided(name.span, "outputs whose names can all be read")
            elif output is None or output.is_empty:
                yield Finding(name.span, f"{_turns_on(fact, name)}, but nothing hangs on it{_hint(context, name)}")


def _turns_on(fact: EntryFact, name: Name) -> str:
    who = fact.key.name if fact.key is not None else "an entry of always"
    return f"{who} turns on {quoted(name.text)}"


def _hint(context: Context, name: Name) -> str:
    """What the name may be a slip for, where no sheet says which outputs there are.

    Comparing names is slow, and a plan has few outputs.
    """
    plan = context.plan
    if (plan.decoder is not None and plan.decoder.outputs_are_listed) or len(plan.outputs) > _MOST_COMPARED:
        return ""
    return meant_or_possible(name.text, [output for output in plan.outputs if output != name.text], ())
