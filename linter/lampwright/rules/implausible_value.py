"""A figure of the right kind, but of a size that the thing cannot have: a lamp of 15 A, a resistor of 1 Mohm.

Most often a slipped prefix, milli for nothing or mega for kilo. The bounds are wide; they find a slipped thousand,
not bad taste. A zero that no circuit can have, such as a bulb of 0 V, is left out of all computing.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps:
      cab lamp: {bulb: {voltage: 14 V, current: 30 A}}
      #                                         ^^^^ "30 A" is more than this can be (at most 2 A)
    outputs:
      white: {circuit: [cab lamp]}
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps:
      cab lamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [cab lamp]}
    keys: {}

Source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Severity
from lampwright.rule import Context, rule
from lampwright.rule.phrases import quoted
from lampwright.units import say


@rule(Severity.WARNING, words_problems=True)
def implausible_value(context: Context) -> Iterator[Finding]:
    """Right dimension, wrong thousand."""
    for problem in context.problems_of("implausible-value"):
        if any(problem.span.holds(slip) for slip in context.slipped):
            # measured-otherwise says more of it: what was meant.
            continue
        data, dimension = problem.data, problem.data["dimension"]
        low = data["value"] < data["lowest"]
        bound = say(data["lowest" if low else "highest"], dimension)
        said = f"less than this can be (at least {bound})" if low else f"more than this can be (at most {bound})"
        yield Finding(problem.span, f"{quoted(problem.span.text)} is {said}")
