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

from lampwright.analysis.entries import EntryFact
from lampwright.analysis.looks import Lack
from lampwright.analysis.questions import Answer, State
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import in_state, lacking, state_data
from lampwright.rule.phrases import all_quoted


@rule(Severity.NOTE, needs_plan=True)
def momentary_light(context: Context) -> Iterator[Verdict]:
    """A steady light on a momentary key."""
    for fact in context.logic.entries:
        if fact.key is None or not fact.key.momentary or not fact.is_readable or fact.is_possible is False:
            continue
        states: dict[str, State] = {}
        for output in fact.outputs:
            answer = _burns_alone(context, fact, output)
            if isinstance(answer, State):
                states[output] = answer
            elif answer is not None:
                yield Undecided(fact.entry.span, lacking(answer))
                break
        else:
            if states:
                yield _finding(fact, states)


def _burns_alone(context: Context, fact: EntryFact, output: str) -> State | Lack | None:
    """The state in which only the pressed key lights `output`, and steadily; None if there is none, or no lamp."""
    defined = context.plan.outputs.get(output)
    if defined is None or defined.is_empty:
        return None
    answer = context.logic.steady_alone(fact, output)
    if isinstance(answer, State) and not context.logic.is_told(output):
        return Lack.UNREADABLE
    return Lack.TIME if isinstance(answer, Answer) else answer


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
