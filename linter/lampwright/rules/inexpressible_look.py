"""An effect, a brightness or a rate that no register of its output can hold, or two looks of one output.

A decoder keeps the look of an output in its registers: one effect, one brightness, one rate, whichever key turned it
on. What no register holds cannot be set, and what the register has no number for cannot either.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}, keys: {mapping: function-matrix}, registers: []}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [front headlamp], brightness: 40 %}
      #                                              ^^^^ no register of "white" holds a brightness: it burns at 100 %
    keys:
      F0: {label: Headlamps, turns-on: [{output: white, when: forward}]}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder:
      common: {drop: 1.4 V}
      outputs: {white: {number: 1}}
      keys: {mapping: function-matrix}
      registers: [{cv: {white: 131}, holds: [{what: brightness, bits: 0 to 5}]}]
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [front headlamp], brightness: 40 %}
    keys:
      F0: {label: Headlamps, turns-on: [{output: white, when: forward}]}

Source: the decoder's own sheet.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.programming import UnsayableLook
from lampwright.diagnostics import Finding, Note, Severity
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.phrases import listed, quoted
from lampwright.rule.programming import not_judged, said_look

_WITHOUT = {
    "effect": "holds an effect: it burns steadily",
    "brightness": "holds a brightness: it burns at 100 %",
    "rate": "holds a rate: the effect keeps its own",
}


@rule(Severity.ERROR, needs_plan=True)
def inexpressible_look(context: Context) -> Iterator[Verdict]:
    """An effect, brightness or rate that no register of that output can hold, or two looks where it knows one."""
    yield from not_judged(context, "inexpressible-look")
    for fault in context.programming.faults:
        if isinstance(fault, UnsayableLook):
            yield _finding(fault)


def _finding(fault: UnsayableLook) -> Finding:
    notes = (Note(fault.other, "and another value is wanted here"),) if fault.other is not None else ()
    return Finding(fault.span, _message(fault), notes, data={"suggested": fault.could[0]} if fault.could else {})


def _message(fault: UnsayableLook) -> str:
    name, wanted = quoted(fault.output), said_look(fault.what, fault.value)
    other = said_look(fault.what, fault.other_value)
    if fault.are_two:
        times = f"at times with {other} and at times with {wanted}"
        return f"{name} is to burn {times}, and this decoder knows one {fault.what} of it"
    if fault.other_value is not None:
        return f"this decoder burns {name} with {other}, not with {wanted}; that is fixed"
    if not fault.has_register:
        return f"no register of {name} {_WITHOUT[fault.what]}"
    could = listed([said_look(fault.what, value) for value in fault.could], "or")
    return f"the register of {name} cannot hold {wanted}" + (f"; it could hold {could}" if could else "")
