"""A sheet or catalogue that the plan refers to cannot be read, or this file itself is beyond what is read.

Without its decoder sheet a plan's limits are not known, and most electrical rules cannot tell. References stay inside
the repository (symbolic links resolved), so that a plan from somewhere else cannot make this program read other files.

Bad:

    vehicle: {name: Quarry switcher 7}
    decoder: bench-sixx.decoder.yaml
    #        ^^^^^^^^^^^^^^^^^^^^^^^ "bench-sixx.decoder.yaml" cannot be read: there is no such file
    lamps: {}
    outputs: {}
    keys: {}

Good:

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
from lampwright.rule.phrases import quoted

_REASONS = {
    "missing": "there is no such file",
    "size": "it is larger than 2 MB",
    "outside": "it lies outside this repository",
    "folder": "it is a folder",
    "permission": "you have no permission to read it",
    "no-file": "it is no regular file",
}


@rule(Severity.ERROR, words_problems=True)
def unreadable_file(context: Context) -> Iterator[Finding]:
    """A file that is missing, too large, or outside the root."""
    for problem in context.problems_of("unreadable-file"):
        what = problem.data["what"]
        if what == "depth":
            yield Finding(problem.span, "the file is nested deeper than 100 levels and is not read further")
        elif "written" not in problem.data:
            yield Finding(problem.span, "the file is larger than 2 MB and is not read")
        else:
            reason = f"its name must end in {problem.data['suffix']}" if what == "kind" else _REASONS.get(what, what)
            yield Finding(problem.span, f"{quoted(problem.data['written'])} cannot be read: {reason}")
