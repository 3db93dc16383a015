"""The file says that it is written in a version of the format that this program does not know.

Nothing else in it is checked: another version may mean something else by the same words.

Bad:

    lighting-plan: 2
    #              ^ version 2 of this format is not known to this program, which knows version 1
    vehicle: {name: Quarry switcher 7}

Good:

    lighting-plan: 1
    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {outputs: {white: {number: 1}}}
    lamps: {}
    outputs: {}
    keys: {}

Source: the plan language.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Severity
from lampwright.rule import Context, rule


@rule(Severity.ERROR, words_problems=True)
def unsupported_version(context: Context) -> Iterator[Finding]:
    """A format number that this program does not know."""
    for problem in context.problems_of("unsupported-version"):
        written, newest = problem.data["written"], problem.data["newest"]
        yield Finding(
            problem.span,
            f"version {written} of this format is not known to this program, which knows version {newest}",
        )
