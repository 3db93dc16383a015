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
          # ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ F0 wants two looks of "white" with F0 on, forward: brightness
          #  100 % and 40 %

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
    for conflict in conflicts.found:
        key = conflict.later.key.name if conflict.later.key is not None else "always"
        yield Finding(
            conflict.later.entry.span,
            f"{key} wants two looks of {all_quoted(conflict.outputs)} {in_state(conflict.state)}: {_looks(conflict)}",
            (Note(conflict.earlier.entry.span, "the other one is wanted here"),),
            data={"state": state_data(conflict.state)},
        )
    for fact in conflicts.undecided:
        yield Undecided(fact.entry.span, "an answer within the time for one question")


def _looks(conflict: Conflict) -> str:
    one, other = conflict.earlier.entry.look, conflict.later.entry.look
    pairs = ((name, getattr(one, name), getattr(other, name)) for name in conflict.properties)
    return listed([f"{name} {_value(name, first)} and {_value(name, second)}" for name, first, second in pairs])


def _value(name: str, value: Name | Figure) -> str:
    if isinstance(value, Name):
        return quoted(value.text)
    return say(value.usual, Dimension.SHARE if name == "brightness" else Dimension.RATE)
