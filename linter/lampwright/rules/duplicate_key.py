"""The same key stands twice in one mapping; only the first is read.

Whoever wrote the second one meant something by it, and it is silently without effect. Two lamps of one name, or one
output wired twice, are the usual stories.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, front headlamp]}
      white: {circuit: [1.5 kohm 1/4 W, front headlamp]}
    # ^^^^^ "white" stands here a second time; only the first is read
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

Source: YAML 1.2.2, section 3.2.1.1, which requires unique keys.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Fix, Note, Severity
from lampwright.rule import Context, rule
from lampwright.rule.phrases import quoted


@rule(Severity.ERROR, has_fix=True, words_problems=True)
def duplicate_key(context: Context) -> Iterator[Finding]:
    """The same key twice in one mapping."""
    for problem in context.problems_of("duplicate-key"):
        key = quoted(problem.span.text)
        fixes: tuple[Fix, ...] = ()
        if problem.data["equal"]:
            fixes = (Fix(f"Remove the second {key}, which says the same", (problem.data["remove"],), sure=True),)
        yield Finding(
            problem.span,
            f"{key} stands here a second time; only the first is read",
            (Note(problem.data["first"], "the first stands here"),),
            fixes,
        )
