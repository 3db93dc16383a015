"""A steady light on a momentary key: it goes out as soon as the finger is lifted.

A horn wants such a key, a lamp seldom does. A flash that lasts as long as the key is pressed is not meant, and neither
is a lamp that another key keeps on.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {brown: {number: 5}}}
    lamps:
      cab lamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      brown: {circuit: [cab lamp]}
    keys:
      F7:
        momentary: true
        turns-on:
          - {output: brown}
          # ^^^^^^^^^^^^^^^ F7 is momentary, so "brown" burns only while it is pressed, as with F7 on, forward

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {brown: {number: 5}}}
    lamps:
      cab lamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      brown: {circuit: [cab lamp]}
    keys:
      F7: {turns-on: [{output: brown}]}

Source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from lampwright.analysis.logic.entries import EntryFact
from lampwright.analysis.logic.looks import Lack
from lampwright.analysis.logic.momentary import MomentaryLight
from lampwright.analysis.logic.questions import State
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import in_state, lacking, state_data
from lampwright.rule.phrases import all_quoted


@rule(Severity.NOTE, needs_plan=True)
def momentary_light(context: Context) -> Iterator[Verdict]:
    """A steady light on a momentary key."""
    if not any(key.momentary for key in context.plan.keys.values()):
        return
    possible = (light for light in context.logic.momentary_lights if light.fact.is_possible is not False)
    lights = (light for light in possible if _is_lamp(context, light.output))
    for span, of_one_entry in groupby(lights, key=lambda light: light.fact.entry.span):
        answers = {light.output: (light.fact, _judged(context, light)) for light in of_one_entry}
        lack = next((answer for _, answer in answers.values() if isinstance(answer, Lack)), None)
        states = {output: answer for output, (_, answer) in answers.items() if isinstance(answer, State)}
        if lack is not None:
            yield Undecided(span, lacking(lack))
        elif states:
            yield _finding(next(fact for fact, _ in answers.values()), states)


def _is_lamp(context: Context, output: str) -> bool:
    """Whether anything hangs on it; if not, that is the rule empty-output."""
    defined = context.plan.outputs.get(output)
    return defined is not None and not defined.is_empty


def _judged(context: Context, light: MomentaryLight) -> State | Lack | None:
    """What the logic says, unless an entry that could not be read may light the output as well."""
    is_told = context.logic.is_told(light.output)
    return Lack.UNREADABLE if isinstance(light.state, State) and not is_told else light.state


def _finding(fact: EntryFact, states: dict[str, State]) -> Finding:
    assert fact.key is not None
    state = next(iter(states.values()))
    verb = "burns" if len(states) == 1 else "burn"
    return Finding(
        fact.entry.span,
        f"{fact.key.name} is momentary, so {all_quoted(states)} {verb} only while it is pressed, as {in_state(state)}",
        (Note(fact.key.span, "the key is momentary"),),
        data={"state": state_data(state)},
    )
