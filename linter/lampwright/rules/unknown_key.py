"""A key that the format does not have here, and that therefore does nothing.

Nearly always a slip of the finger, or a key that belongs one level higher or lower.

Bad:

    vehicle: {name: Quarry switcher 7, scael: HO}
    #                                  ^^^^^ "scael" is no key of this place; did you mean "scale"?
    supply: {track: 14.5 V}
    decoder: {outputs: {white: {number: 1}}}
    lamps: {}
    outputs: {}
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7, scale: HO}
    supply: {track: 14.5 V}
    decoder: {outputs: {white: {number: 1}}}
    lamps: {}
    outputs: {}
    keys: {}

Fixed:

    vehicle: {name: Quarry switcher 7, scale: HO}
    supply: {track: 14.5 V}
    decoder: {outputs: {white: {number: 1}}}
    lamps: {}
    outputs: {}
    keys: {}

Source: the plan language.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Fix, Severity
from lampwright.rule import Context, rule
from lampwright.rule.phrases import meant_or_possible, quoted
from lampwright.syntax import inside_quotes
from lampwright.text import Edit, nearest


@rule(Severity.ERROR, has_fix=True, words_problems=True)
def unknown_key(context: Context) -> Iterator[Finding]:
    """A key that the format lacks."""
    for problem in context.problems_of("unknown-key"):
        written, choices = problem.data["written"], problem.data["choices"]
        meant = problem.data.get("meant")
        close = (meant,) if meant else nearest(written, choices)
        possible = problem.data["known"]
        instead = f"; did you mean {quoted(meant)}?" if meant else meant_or_possible(written, choices, possible)
        place = inside_quotes(problem.span)
        yield Finding(
            problem.span,
            f"{quoted(written)} is no key of this place{instead}",
            # With one likely word the plan can only mean that; with several somebody has to choose.
            fixes=tuple(Fix(f"Write {name}", (Edit(place, name),), sure=len(close) == 1) for name in close),
        )
