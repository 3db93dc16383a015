"""A lamp, part, output, effect, condition or word of a closed list that is defined nowhere.

Names are compared letter by letter, capitals included. A thing that is defined but has a mistake of its own is known.
Of a wire that is never an output the message says what it is by the colour code.

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

Source: the plan language; the colour code of NMRA RP-9.1.1 and NEM 650.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Fix, Severity
from lampwright.model.wires import WIRES, Wire
from lampwright.rule import Context, rule
from lampwright.rule.phrases import meant_or_possible, quoted
from lampwright.syntax import inside_quotes
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

_WIRES = {
    Wire.RIGHT_RAIL: "the pick-up of the right rail",
    Wire.LEFT_RAIL: "the pick-up of the left rail",
    Wire.MOTOR_PLUS: "the plus of the motor",
    Wire.MOTOR_MINUS: "the minus of the motor",
    Wire.COMMON: "the common plus of all lamps",
}


@rule(Severity.ERROR, has_fix=True, words_problems=True)
def unknown_name(context: Context) -> Iterator[Finding]:
    """A name that is not defined."""
    for problem in context.problems_of("unknown-name"):
        what, written, choices = problem.data["what"], problem.data["written"], problem.data["choices"]
        # What is listed to choose from is shorter than what a slip is compared with, where the words follow a rule.
        known = problem.data.get("known", () if what == "flag" else choices)
        meant = problem.data.get("meant")
        close = (meant,) if meant else nearest(written, choices)
        culprit = quoted(written)
        said = f"{culprit} is {_NO[what]}" if what in _NO else f"there is no {what} {culprit}"
        place = inside_quotes(problem.span)
        wire = WIRES.get(written.casefold()) if what == "output" else None
        if wire in _WIRES:
            said += f"; by the colour code that wire is {_WIRES[wire]}"
        yield Finding(
            problem.span,
            said + (f"; did you mean {quoted(meant)}?" if meant else meant_or_possible(written, choices, known)),
            fixes=tuple(
                Fix(f"Write {name}", (Edit(place, name),)) for name in close if name == meant or _is_plain(name)
            ),
        )


def _is_plain(name: str) -> bool:
    """Whether a name can be written without quotes; one with a fault of its own may not be."""
    return name[0].isalnum() and name.isprintable() and not set(name) & set(":#,[]{}\"'&*!|>%@`")
