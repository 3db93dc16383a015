"""Two entries of one key that want different looks of one output in the same state.

The decoder can show only one of them, and which one is the maker's secret. Either the conditions are meant to exclude
each other and do not, or one of the entries is left over. An entry that names no look asks for none and conflicts with
nothing.

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
          - {output: white, when: forward, brightness: 100 %}
          - {output: white, when: stopped, brightness: 40 %}
          # ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ F0 wants two looks of "white" with F0 on, forward:
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
      F0:
        turns-on:
          - {output: white, when: [forward, moving], brightness: 100 %}
          - {output: white, when: stopped, brightness: 40 %}

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
def conflicting_conditions(context: Context) -> Iterator[Verdict]:
    """Two entries of one key that name different looks for one output in the same state."""
    conflicts = context.logic.conflicts_of_one_key
    for _, of_one_entry in groupby(conflicts.found, key=lambda conflict: conflict.later.entry.span):
        yield _finding(list(of_one_entry))
    for fact in conflicts.undecided:
        yield Undecided(fact.entry.span, TOO_LONG)


def _finding(conflicts: list[Conflict]) -> Finding:
    """One finding for a later entry, however many earlier ones it is at odds with."""
    first = conflicts[0]
    key = first.later.key
    assert key is not None
    return Finding(
        first.later.entry.span,
        f"{key.name} wants two looks of {all_quoted(first.outputs)} {in_state(first.state)}: {both_looks(first)}",
        earlier_entries(conflicts),
        data={"state": state_data(first.state)},
    )
