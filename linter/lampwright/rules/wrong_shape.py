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
      #                ^^^^^^^^^^^^^^ a list belongs here, not "front headlamp";
      #  did you mean [front headlamp]?
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
    "path": "the path of a file",
    "word": "a word",
    "flag": "true or false",
    "key": "a function key",
    "condition": "a condition",
    "element": "an element (a lamp's name or a resistor)",
    "quantity": "a quantity",
    "whole-number": "a whole number",
    "bits": "a bit from 0 to 7, or a range such as 0 to 5,",
}
_FAULTS = {
    "condition": "is a word of the conditions",
    "quantity": "reads as a quantity",
    "no-letter": "has neither a letter nor a digit",
    "first": "does not start with a letter, as a lamp in a circuit must",
}

_FAULTS_OF_PATTERNS = {
    "comment": "it begins with #, and so it is a comment; \\# is the sign itself",
    "nothing": "it names nothing",
    "dots": "no path below this folder has a part . or ..",
    "backslash": "nothing stands behind its last backslash",
    "bracket": "its bracket is not closed; \\[ is the sign itself",
    "range": "a range in its brackets runs backwards",
}


@rule(Severity.ERROR, has_fix=True, words_problems=True)
def wrong_shape(context: Context) -> Iterator[Finding]:
    """A list where a mapping belongs, a number where a name belongs."""
    for problem in context.problems_of("wrong-shape"):
        yield Finding(problem.span, _message(problem), fixes=_fixes(problem))


def _message(problem: Problem) -> str:
    found, culprit = problem.data["found"], quoted(problem.span.text)
    match problem.data["expected"]:
        case "one-of":
            return f"only one of {all_quoted(problem.data['choices'])} may stand here, and {culprit} is one too many"
        case "name" if found in _FAULTS or found.startswith("character "):
            return f"{culprit} can be no name: {_fault_of_name(found)}"
        case "pattern" if found in _FAULTS_OF_PATTERNS:
            return f"{culprit} can be no pattern: {_FAULTS_OF_PATTERNS[found]}"
        case "lists":
            return "the items of this list are lists themselves; put brackets around each of them"
        case "pair":
            count = problem.data["count"]
            return "a pair is two different outputs" + ("" if count == 2 else f", and this one has {count}")
        case "fixed-mapping":
            return f'{culprit} goes with the mapping "fixed", and another mapping is named here'
        case expected:
            wanted = listed([_wanted(part, problem) for part in expected.split("/")], "or")
            meant = _meant(problem)
            hint = f"; did you mean {meant}?" if meant is not None else ""
            return f"{wanted} belongs here, {_found(found, culprit)}{hint}"


def _fault_of_name(found: str) -> str:
    if found in _FAULTS:
        return f"it {_FAULTS[found]}"
    sign = found.removeprefix("character ")
    shown = quoted(sign) if sign.isprintable() and sign.strip() else f"U+{ord(sign):04X}"
    return f"letters, digits, spaces, hyphens and full stops can, {shown} cannot"


def _wanted(expected: str, problem: Problem) -> str:
    bounds = problem.data.get("bounds", {})
    lowest, highest = bounds.get("lowest", 0), bounds.get("highest")
    wanted = _WANTED.get(expected, "something else")
    # Which numbers may stand here is of interest only where there is one.
    if not problem.span.text.strip("\"'").isdecimal() or (highest is None and not lowest):
        return wanted
    return f"{wanted} from {lowest} {'on' if highest is None else f'to {highest}'}"


def _found(found: str, culprit: str) -> str:
    if found == "nothing":
        return "and nothing is written"
    return f"not {({'mapping': 'a mapping', 'list': 'a list'}).get(found, culprit)}"


def _meant(problem: Problem) -> str | None:
    """The text in the form that was probably meant; None where a comma or a bracket in it would be read as such."""
    text, expected, short = problem.span.text, problem.data["expected"], problem.data.get("short")
    if problem.data["found"] != "text" or not problem.data.get("fits", True) or set(text) & set(",[]{}:\n"):
        return None
    item = f"{{{short}: {text}}}" if short is not None else text
    return {"list": f"[{item}]", "mapping": item if short is not None else None}.get(expected)


def _fixes(problem: Problem) -> tuple[Fix, ...]:
    meant = _meant(problem)
    return (Fix(f"Write {meant}", (Edit(problem.span, meant),), sure=True),) if meant is not None else ()
