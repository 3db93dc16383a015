"""A text that is no quantity: arithmetic, a sign, an exponent, a dash for a range, two numbers, nothing at all.

A quantity is digits with at most one decimal point, then one unit; a range is "13 V to 16 V".

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 13–16 V}
    #               ^^^^^^^ a range is written with "to", not with a dash; did you mean "13 V to 16 V"?
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps: {}
    outputs: {}
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 13 V to 16 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps: {}
    outputs: {}
    keys: {}

Fixed:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 13 V to 16 V}
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

_SENTENCES = {
    "empty": "a quantity belongs here, and there is nothing",
    "no-number": "{} has no number",
    "not-finite": "{} is no number that something can have",
    "exponent": "{} has an exponent; write the number out, or take another prefix",
    "sign": "{} has a sign; quantities here have none",
    "arithmetic": "{} is arithmetic; write its result",
    "dash-range": 'a range is written with "to", not with a dash',
    "plus-minus": 'a spread is written as a range with "to"',
    "range": "{} is a range, and one figure belongs here",
    "two-numbers": "{} holds more than one number, and one figure belongs here",
    "reversed-range": "the range {} runs backwards; the lowest figure comes first",
    "grouping": "the digits of {} are grouped; write them together",
    "leading-point": "{} lacks a digit beside the point",
    "trailing-point": "{} lacks a digit beside the point",
    "order": "the parts of {} are in another order; a number comes before its unit, a rating before a tolerance",
    "fraction": "{} is a fraction; only 1/8 W, 1/4 W and 1/2 W are written as such",
    "spaces": "the spaces in {} are in other places than the language puts them",
    "extra-words": "{} has words beside the figure",
    "size": "{} is a chip size; write it as size in a resistor of its own, {{resistor: …, size: …}}",
    "resistor-parts": "{} says more than a resistance; rating and tolerance are keys of their own",
    "foreign-digits": "{} has digits of another script",
    "too-long": "{} is longer than any quantity",
    "unknown-unit": "{} has a unit that nobody knows",
}


@rule(Severity.ERROR, has_fix=True, words_problems=True)
def unreadable_quantity(context: Context) -> Iterator[Finding]:
    """Arithmetic, signs, two numbers, infinities, anything else."""
    for problem in context.problems_of("unreadable-quantity"):
        misread = problem.data["misread"]
        sentence = _SENTENCES.get(misread.reason, "{} cannot be read as a quantity").format(quoted(misread.written))
        yield Finding(problem.span, sentence + meant_instead(misread), fixes=corrections(problem))
