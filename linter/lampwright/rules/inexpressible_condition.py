"""A condition that the decoder's mapping and registers cannot say.

A decoder does not know every condition that can be thought of. The function matrix knows directions for F0 only;
anything more must be said by a code of the output's own register, and that holds for all keys of the output. The
message says what the key could do instead.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {green: {number: 3}}, keys: {mapping: function-matrix}, registers: []}
    lamps:
      step lamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      green: {circuit: [step lamp]}
    keys:
      F3: {turns-on: [{output: green, when: forward}]}
      #                                     ^^^^^^^ this decoder cannot turn on "green" by F3 when "forward"; it could
      #  with no condition

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder:
      common: {drop: 1.4 V}
      outputs: {green: {number: 3}}
      keys: {mapping: function-matrix}
      registers:
        - cv: {green: 121}
          holds: [{what: condition, digit: ones, codes: [{code: 0, when: []}, {code: 1, when: forward}]}]
    lamps:
      step lamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      green: {circuit: [step lamp]}
    keys:
      F3: {label: Step lamps, turns-on: [{output: green, when: forward}]}

Source: S-9.2.2 (2012), table 2, read, and the decoder's own sheet; the methods by function and by output are of
RCN-227, second-hand.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.programming import Unsayable
from lampwright.diagnostics import Finding, Note, Severity
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.phrases import all_quoted, listed, quoted
from lampwright.rule.programming import not_judged, said_condition, weak_caveat, weak_ceiling


@rule(Severity.ERROR, needs_plan=True)
def inexpressible_condition(context: Context) -> Iterator[Verdict]:
    """A condition that the decoder's mapping and registers cannot say."""
    yield from not_judged(context, "inexpressible-condition")
    for fault in context.programming.faults:
        if isinstance(fault, Unsayable):
            yield _finding(fault)


def _finding(fault: Unsayable) -> Finding:
    caveat = weak_caveat(is_second_hand=fault.is_second_hand)
    return Finding(
        fault.span,
        f"{_what(fault)}{_instead(fault)}{caveat}",
        tuple(Note(fact.entry.span, "this is wanted of it as well") for fact in fault.earlier),
        ceiling=weak_ceiling(is_second_hand=fault.is_second_hand),
    )


def _what(fault: Unsayable) -> str:
    name = quoted(fault.output)
    if fault.fact is None:
        return f"this decoder turns on {name} by itself, and no key of the plan does"
    if fault.fact.key is None:
        return f'this decoder turns on {name} by keys only, and "always" asks for none'
    said = fault.fact.entry.condition_span
    when = f"when {quoted(said.text)}" if said is not None else "with no condition"
    what = f"this decoder cannot turn on {name} by {fault.fact.key.name} {when}"
    if fault.shared:
        return f"{what}: one key forbids for all outputs of a row, and {all_quoted(fault.shared)} would not be right"
    return f"{what} beside what else is wanted of it" if fault.earlier else what


def _instead(fault: Unsayable) -> str:
    if fault.fact is None or fault.fact.key is None:
        return ""
    if not fault.could:
        return f"; {fault.fact.key.name} does nothing to it"
    more = ", and another key may forbid it" if fault.may_forbid else ""
    return f"; it could {listed([_could(said_condition(each)) for each in fault.could], 'or')}{more}"


def _could(condition: str) -> str:
    return f'when "{condition}"' if condition else "with no condition"
