"""A unit that is written another way than the language writes it: wrong capitals, plurals, glued words.

Milli and mega differ only in a capital, and "15 ma" is milliyears to a program that takes it literally. So there is one
way to write each unit, and the fix writes it.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 volts DC}
    #               ^^^^^^^^^^^^^ "14.5 volts DC" is not how this unit is written; did you mean "14.5 V"?
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

Source: the plan language; the symbols are those of the SI.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Severity
from lampwright.rule import Context, rule
from lampwright.rule.phrases import corrections, meant_instead, quoted


@rule(Severity.ERROR, has_fix=True, words_problems=True)
def misspelt_unit(context: Context) -> Iterator[Finding]:
    """Wrong capitals, plurals and glued words."""
    for problem in context.problems_of("misspelt-unit"):
        misread = problem.data["misread"]
        message = f"{quoted(misread.written)} is not how this unit is written{meant_instead(misread)}"
        yield Finding(problem.span, message, fixes=corrections(problem, sure=True))
