"""A lamp, part, output, effect, condition or word of a closed list that is defined nowhere.

Names are compared letter by letter, capitals included. A thing that is defined but has a mistake of its own is known.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, frnt headlamp]}
      #                                 ^^^^^^^^^^^^^ there is no lamp "frnt headlamp"; did you mean "front headlamp"?
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, front headlamp]}
    keys: {}

Fixed:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, front headlamp]}
    keys: {}

Source: the plan language.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Fix, Severity
from lampwright.rule import Context, rule
from lampwright.rule.phrases import meant_or_possible, quoted
from lampwright.text import Edit, nearest

_NO = {
    "flag": "neither true nor false",
    "return": "no place to return to",
    "mapping": "no mapping method",
    "field": "nothing that a register holds",
    "condition": "no condition",
    "key": "no function key",
    "digit": "no digit",
    "scale": "no scale",
    "shell": "no material of a shell",
    "interface": "no interface",
    "size": "no chip size",
    "series": "no series of IEC 60063",
    "level": "no level",
    "colour": "no colour whose forward voltage is known",
}


@rule(Severity.ERROR, has_fix=True)
def unknown_name(context: Context) -> Iterator[Finding]:
    """A name that is not defined."""
    for problem in context.problems_of("unknown-name"):
        what, written, choices = problem.data["what"], problem.data["written"], problem.data["choices"]
        close = nearest(written, choices)
        culprit = quoted(written)
        said = f"{culprit} is {_NO[what]}" if what in _NO else f"there is no {what} {culprit}"
        yield Finding(
            problem.span,
            said + meant_or_possible(written, choices, choices),
            fixes=tuple(Fix(f"Write {name}", (Edit(problem.span, name),)) for name in close),
        )
