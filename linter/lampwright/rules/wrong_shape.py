"""Something of another shape stands where the format wants a list, a mapping, a name or a number.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {outputs: {white: {number: one}}}
    #                                   ^^^ a whole number belongs here, not "one"
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

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, built-in-resistor: 1.5 kohm}}
    outputs:
      white: {circuit: front headlamp}
      #                ^^^^^^^^^^^^^^ a list belongs here, not "front headlamp"
    keys: {}

Fixed:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, built-in-resistor: 1.5 kohm}}
    outputs:
      white: {circuit: [front headlamp]}
    keys: {}

Source: the plan language.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Fix, Problem, Severity
from lampwright.rule import Context, rule
from lampwright.rule.phrases import all_quoted, listed, quoted
from lampwright.text import Edit

_WANTED = {
    "mapping": "a mapping, with a key and a colon on each line,",
    "list": "a list",
    "text": "a text",
    "name": "a name",
    "whole-number": "a whole number",
    "bits": "a bit from 0 to 7, or a range such as 0 to 5,",
    "pair": "a list of two outputs",
}
_FAULTS = {
    "condition": "is a word of the conditions",
    "quantity": "reads as a quantity",
    "no-letter": "has no letter",
}


@rule(Severity.ERROR, has_fix=True)
def wrong_shape(context: Context) -> Iterator[Finding]:
    """A list where a mapping belongs, a number where a name belongs."""
    for problem in context.problems_of("wrong-shape"):
        yield Finding(problem.span, _message(problem), fixes=_fixes(problem))


def _message(problem: Problem) -> str:
    expected, found, culprit = problem.data["expected"], problem.data["found"], quoted(problem.span.text)
    if expected == "one-of":
        return f"only one of {all_quoted(problem.data['choices'])} may stand here, and {culprit} is one too many"
    if expected == "name" and found in _FAULTS:
        return f"{culprit} can be no name: it {_FAULTS[found]}"
    if expected == "name" and found.startswith("character "):
        sign = found.removeprefix("character ")
        return f"{culprit} can be no name: letters, digits, spaces, hyphens and full stops can, {_sign(sign)} cannot"
    wanted = listed([_WANTED.get(part, "something else") for part in expected.split("/")], "or")
    return f"{wanted} belongs here, not {_found(found, culprit)}"


def _found(found: str, culprit: str) -> str:
    return {"nothing": "nothing", "mapping": "a mapping", "list": "a list"}.get(found, culprit)


def _sign(character: str) -> str:
    return quoted(character) if character.isprintable() and character.strip() else f"U+{ord(character):04X}"


def _fixes(problem: Problem) -> tuple[Fix, ...]:
    text = problem.span.text
    # A comma or a bracket in the text would be taken for a part of the list.
    is_one_item = (
        problem.data["expected"] == "list" and problem.data["found"] == "text" and not set(text) & set(",[]{}\n")
    )
    return (Fix("Put it in brackets", (Edit(problem.span, f"[{text}]"),), sure=True),) if is_one_item else ()
