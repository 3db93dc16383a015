"""A key that is needed here is absent.

Without it nothing can be said about the thing: a bulb without its current, an output without a circuit. The finding
stands at the key of the thing that lacks it.

Bad:

    vehicle: {name: Quarry switcher 7}
    decoder: {outputs: {white: {number: 1}}}
    lamps:
      cab lamp:
        bulb: {voltage: 12 V}
    #   ^^^^ "bulb" lacks the key "current"
    outputs:
      white: {circuit: [100 ohm, cab lamp]}
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {outputs: {white: {number: 1}}}
    lamps:
      cab lamp:
        bulb: {voltage: 14 V, current: 30 mA}
    outputs:
      white: {circuit: [100 ohm 1/4 W, cab lamp]}
    keys: {}

Source: the plan language.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Severity
from lampwright.rule import Context, rule
from lampwright.rule.phrases import all_quoted, quoted


@rule(Severity.ERROR, words_problems=True)
def missing_key(context: Context) -> Iterator[Finding]:
    """A required key that is absent."""
    for problem in context.problems_of("missing-key"):
        names, owner = problem.data["names"], problem.data.get("owner")
        if problem.data.get("all"):
            yield Finding(problem.span, f"there is nothing here; a plan needs {all_quoted(names)}")
            continue
        lacks = f"lacks the key {quoted(names[0])}" if len(names) == 1 else f"needs one of {all_quoted(names, 'or')}"
        thing = "this file" if problem.data.get("is_file") else quoted(owner) if owner else "this"
        yield Finding(problem.span, f"{thing} {lacks}")
