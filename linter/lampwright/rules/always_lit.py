"""An output that stands under a key, although no state turns it off: an entry of `always` keeps it on.

The key does nothing that can be seen. Mostly the entry of `always` is left over, or lacks its condition. A key that
gives the lamp another look is not meant: `always` may light a lamp that a key dims.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {brown: {number: 5}}}
    lamps:
      cab lamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      brown: {circuit: [cab lamp]}
    always:
      - {output: brown}
    keys:
      F7: {label: Cab, turns-on: [{output: brown}]}
      #                                    ^^^^^ F7 cannot turn "brown" off: it burns in every state, also with all
      #  keys off, forward

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {brown: {number: 5}}}
    lamps:
      cab lamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      brown: {circuit: [cab lamp]}
    always:
      - {output: brown, when: stopped}
    keys:
      F7: {label: Cab, turns-on: [{output: brown}]}

Source: logic.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from lampwright.analysis.logic.decision import TRUE
from lampwright.analysis.logic.entries import EntryFact
from lampwright.analysis.logic.questions import State
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.keys import LOOK_PROPERTIES
from lampwright.model.values import Name
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import TOO_LONG, in_state, state_data
from lampwright.rule.phrases import quoted

_MOST_NOTES = 3


@rule(Severity.WARNING, needs_plan=True)
def always_lit(context: Context) -> Iterator[Verdict]:
    """An output under a key that no state turns off."""
    kept_on = {output.text for entry in context.plan.always for output in entry.outputs}
    for fact in context.logic.entries:
        if fact.key is None or fact.is_possible is not True or _has_look(fact):
            continue
        # One that is named twice is one output.
        for name in {output.text: output for output in reversed(fact.entry.outputs)}.values():
            answer = context.logic.is_always_lit(name.text) if name.text in kept_on else False
            if answer is None:
                yield Undecided(name.span, TOO_LONG)
            elif answer:
                yield _finding(context, fact, name)


def _has_look(fact: EntryFact) -> bool:
    look = fact.entry.look
    return not look.is_readable or any(getattr(look, name) is not None for name in LOOK_PROPERTIES)


def _finding(context: Context, fact: EntryFact, name: Name) -> Finding:
    assert fact.key is not None
    state = context.logic.witness(TRUE)
    assert isinstance(state, State)
    keeping = (other for other in context.logic.entries_of[name.text] if other.key is None)
    notes = [Note(other.entry.span, "it is kept on here") for other in islice(keeping, _MOST_NOTES)]
    return Finding(
        name.span,
        f"{fact.key.name} cannot turn {quoted(name.text)} off: it burns in every state, also {in_state(state)}",
        tuple(notes),
        data={"state": state_data(state)},
    )
