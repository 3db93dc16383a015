"""A comma where the point of a decimal fraction belongs.

In brackets and braces YAML itself splits a list at the comma, so that "1,5 V" would become two things; some programs
read it as 15 V. A comma before exactly three digits may also have been meant to group them: then both are offered.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14,5 V}
    #               ^^^^^^ a decimal fraction is written with a point, not as "14,5 V"; did you mean "14.5 V"?
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
def decimal_comma(context: Context) -> Iterator[Finding]:
    """A comma for the decimal point."""
    for problem in context.problems_of("decimal-comma"):
        misread = problem.data["misread"]
        said = f"a decimal fraction is written with a point, not as {quoted(misread.written)}"
        yield Finding(problem.span, said + meant_instead(misread), fixes=corrections(problem, sure=True))
