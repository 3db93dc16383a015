"""A key whose CV cannot address that output.

Each CV of the function matrix has eight bits, and they do not begin at output 1 for every key: F4 to F8 have outputs 4
to 11, F9 to F12 outputs 7 to 14. Higher keys have no CV at all. Take another output, another key, or set the decoder's
shift off if it has one, and write the windows that hold then on its sheet.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {green: {number: 3}}, keys: {mapping: function-matrix}, registers: []}
    lamps:
      step lamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      green: {circuit: [step lamp]}
    keys:
      F4: {turns-on: [{output: green}]}
      #                        ^^^^^ F4 cannot turn on "green", which is output 3: its CV has bits for outputs 4 to 11

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {green: {number: 3}}, keys: {mapping: function-matrix}, registers: []}
    lamps:
      step lamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      green: {circuit: [step lamp]}
    keys:
      F3: {label: Step lamps, turns-on: [{output: green}]}

Source: S-9.2.2 (2012), table 2, CV33 to CV46, read; the methods by function and by output are of RCN-227, second-hand.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.programming import Unreachable
from lampwright.diagnostics import Finding, Note, Severity
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.phrases import all_quoted, quoted
from lampwright.rule.programming import not_judged, weak_caveat, weak_ceiling


@rule(Severity.ERROR, needs_plan=True)
def unreachable_output(context: Context) -> Iterator[Verdict]:
    """A key whose CV cannot address that output."""
    yield from not_judged(context, "unreachable-output")
    for fault in context.programming.faults:
        if isinstance(fault, Unreachable):
            yield _finding(fault)


def _finding(fault: Unreachable) -> Finding:
    key, name = fault.key.name, quoted(fault.output.text)
    message = f"{key} cannot turn on {name}, which is output {fault.number.value}: {_why(fault)}"
    if fault.reached:
        message += f", such as {all_quoted(fault.reached, 'or')}"
    return Finding(
        fault.output.span,
        message + weak_caveat(is_second_hand=fault.is_second_hand),
        (Note(fault.number.span, "its number stands here"),),
        ceiling=weak_ceiling(is_second_hand=fault.is_second_hand),
    )


def _why(fault: Unreachable) -> str:
    if fault.window is None:
        return f"the mapping of this decoder ends at F{fault.last_key}"
    first, last = fault.window
    return f"its CV has bits for outputs {first} to {last}"
