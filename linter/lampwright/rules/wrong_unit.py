"""A quantity of another kind than the one that belongs here, such as volts where amperes belong.

A unit of the right kind that the language leaves out, such as hertz or kilowatts, is offered in one that it has.
Everything else has no fix: what was meant, only the writer knows.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 mA}
    #               ^^^^^^^ "14.5 mA" is a current; a voltage belongs here
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps: {}
    outputs: {}
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps: {}
    outputs: {}
    keys: {}

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps:
      beacon: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [beacon], rate: 1 Hz}
      #                                ^^^^ "1 Hz" is in hertz; a rate belongs here; did you mean "60 per minute"?
    keys: {}

Fixed:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps:
      beacon: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [beacon], rate: 60 per minute}
    keys: {}

Source: the plan language.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Severity
from lampwright.rule import Context, rule
from lampwright.rule.phrases import corrections, meant_instead, quoted
from lampwright.units import Dimension


@rule(Severity.ERROR, has_fix=True, words_problems=True)
def wrong_unit(context: Context) -> Iterator[Finding]:
    """Volts where amperes belong."""
    for problem in context.problems_of("wrong-unit"):
        misread = problem.data["misread"]
        is_kind = any(misread.found == dimension.word for dimension in Dimension)
        found = f"is a {misread.found}" if is_kind else f"is in {misread.found}"
        wanted = misread.dimension.word
        message = f"{quoted(misread.written)} {found}; a {wanted} belongs here{meant_instead(misread)}"
        yield Finding(problem.span, message, fixes=corrections(problem))
