"""A comment that excuses a finding, but gives no reason, names no rule, or has nothing to excuse.

An excuse without a reason helps nobody a year later, and one that outlives its finding will hide the next mistake in
the same place.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, front headlamp]}  # lampwright: allow unprotected-led -- it has one now
      #                                                                       ^^^^^^^^^^^^^^^ there is no
      #  unprotected-led here to be excused
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, front headlamp]}
    keys: {}

Fixed:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, front headlamp]}
    keys: {}

Source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Fix, Problem, Severity
from lampwright.rule import Context, rule
from lampwright.rule.phrases import meant_or_possible, quoted
from lampwright.text import Edit, Span


@rule(Severity.WARNING, has_fix=True, words_problems=True)
def useless_allowance(context: Context) -> Iterator[Finding]:
    """An allowance without reason, of no such rule, or that excuses nothing."""
    for problem in context.problems_of("useless-allowance"):
        yield Finding(problem.span, _message(problem), fixes=_fixes(problem))


def _message(problem: Problem) -> str:
    name = problem.span.text
    match problem.data["reason"]:
        case "no-reason":
            return 'this allowance gives no reason and excuses nothing; write one after " -- "'
        case "no-rule":
            return "this allowance names no rule"
        case "verb":
            return f'{quoted(name)} does nothing here; did you mean "allow"?'
        case "unknown":
            choices = problem.data["choices"]
            return f"there is no rule {quoted(name)}{meant_or_possible(name, choices, ())}"
    return f"there is no {name} here to be excused"


def _fixes(problem: Problem) -> tuple[Fix, ...]:
    match problem.data["reason"]:
        case "nothing":
            return (Fix("Remove the allowance", (Edit(_removal(problem), ""),), sure=True),)
        case "verb":
            return (Fix("Write allow", (Edit(problem.span, "allow"),)),)
    return ()


def _removal(problem: Problem) -> Span:
    """What to take out: the rule's name if the comment names others as well, else the comment, with its line."""
    comment, source = problem.data["comment"], problem.span.source
    before = source.text[comment.span.start : problem.span.start].rstrip(", ")
    after = source.text[problem.span.end : comment.span.end].partition("--")[0]
    if after.strip(", "):
        return source.span(problem.span.start, problem.span.end + len(after) - len(after.lstrip(", ")))
    if before.partition("allow")[2]:
        return source.span(comment.span.start + len(before), problem.span.end)
    position = source.position(comment.span.start)
    line_start = comment.span.start - position.column + 1
    if not comment.own_line:
        code = source.text[line_start : comment.span.start].rstrip()
        return source.span(line_start + len(code), comment.span.end)
    is_last = position.line == len(source.line_starts)
    return source.span(line_start, len(source.text) if is_last else source.line_starts[position.line])
