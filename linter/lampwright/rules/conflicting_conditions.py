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

from lampwright.analysis.conflicts import Conflict
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.values import Figure, Name
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import in_state, state_data
from lampwright.rule.phrases import all_quoted, listed, quoted
from lampwright.units import Dimension, say


@rule(Severity.ERROR, needs_plan=True)
def conflicting_conditions(context: Context) -> Iterator[Verdict]:
    """Two entries of one key that name different looks for one output in the same state."""
    conflicts = context.logic.conflicts_of_one_key
    for _, of_one_entry in groupby(conflicts.found, key=lambda conflict: conflict.later.entry.span):
        yield _finding(*of_one_entry)
    for fact in conflicts.undecided:
        yield Undecided(fact.entry.span, "an answer within the time for one question")


def _finding(first: Conflict, *others: Conflict) -> Finding:
    """One finding for a later entry, however many earlier ones it is at odds with."""
    key = first.later.key
    assert key is not None
    notes = [Note(first.earlier.entry.span, "the other one is wanted here")]
    notes += [Note(other.earlier.entry.span, f"and another one here, {in_state(other.state)}") for other in others]
    return Finding(
        first.later.entry.span,
        f"{key.name} wants two looks of {all_quoted(first.outputs)} {in_state(first.state)}: {_looks(first)}",
        tuple(notes),
        data={"state": state_data(first.state)},
    )


def _looks(conflict: Conflict) -> str:
    one, other = conflict.earlier.entry.look, conflict.later.entry.look
    pairs = ((name, getattr(one, name), getattr(other, name)) for name in conflict.properties)
    return listed([f"{name} {_value(name, first)} and {_value(name, second)}" for name, first, second in pairs])


def _value(name: str, value: Name | Figure) -> str:
    if isinstance(value, Name):
        return quoted(value.text)
    return say(value.usual, Dimension.SHARE if name == "brightness" else Dimension.RATE)
