"""A bare number where a quantity belongs.

Is 680 ohms or kilohms, is 14.5 volts on the track or behind the decoder? A number without its unit is a guess, and the
program does not guess. The fix offers the likely unit; whether it is right, only the writer knows.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5}
    #               ^^^^ "14.5" has no unit; did you mean "14.5 V"?
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

Fixed:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps: {}
    outputs: {}
    keys: {}

Source: the plan language.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Severity
from lampwright.rule import Context, rule
from lampwright.rule.phrases import corrections, meant_instead, quoted


@rule(Severity.ERROR, has_fix=True, words_problems=True)
def missing_unit(context: Context) -> Iterator[Finding]:
    """A number where a quantity belongs."""
    for problem in context.problems_of("missing-unit"):
        misread = problem.data["misread"]
        message = f"{quoted(misread.written)} has no unit{meant_instead(misread)}"
        yield Finding(problem.span, message, fixes=corrections(problem))
