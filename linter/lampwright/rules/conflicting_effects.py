"""Entries of two keys, or of a key and `always`, that want different looks of one output in the same state.

Each key for itself is right; pressed together they ask for two things at once, and the decoder shows one of them, which
one being the maker's secret. Say in a condition which key gives way. An entry that names no look asks for none, so that
a key may dim what another one turns on.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [front headlamp]}
    keys:
      F0: {turns-on: [{output: white, when: forward, brightness: 100 %}]}
      F6:
        turns-on:
          - {output: white, brightness: 40 %}
          # ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ F0 and F6 want two looks of "white" with F0 and F6 on, forward:
          #  brightness 100 % and 40 %

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [front headlamp]}
    keys:
      F0: {turns-on: [{output: white, when: [forward, not F6], brightness: 100 %}]}
      F6:
        turns-on:
          - {output: white, brightness: 40 %}

Source: logic.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from lampwright.analysis.logic.conflicts import Conflict
from lampwright.diagnostics import Finding, Severity, Undecided
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import TOO_LONG, in_state, state_data
from lampwright.rule.looks import both_looks, earlier_entries
from lampwright.rule.phrases import all_quoted


@rule(Severity.ERROR, needs_plan=True)
def conflicting_effects(context: Context) -> Iterator[Verdict]:
    """Entries of two keys, or with `always`, that name different looks for one output in the same state."""
    conflicts = context.logic.conflicts_between_keys
    for _, of_one_entry in groupby(conflicts.found, key=lambda conflict: conflict.later.entry.span):
        yield _finding(list(of_one_entry))
    for fact in conflicts.undecided:
        yield Undecided(fact.entry.span, TOO_LONG)


def _finding(conflicts: list[Conflict]) -> Finding:
    """One finding for a later entry, however many earlier ones it is at odds with."""
    first = conflicts[0]
    return Finding(
        first.later.entry.span,
        f"{_askers(first)} two looks of {all_quoted(first.outputs)} {in_state(first.state)}: {both_looks(first)}",
        earlier_entries(conflicts),
        data={"state": state_data(first.state)},
    )


def _askers(conflict: Conflict) -> str:
    keys = conflict.earlier.key, conflict.later.key
    names = list(dict.fromkeys(key.name if key is not None else "always" for key in keys))
    return f"{' and '.join(names)} {'want' if len(names) > 1 else 'wants'}"
