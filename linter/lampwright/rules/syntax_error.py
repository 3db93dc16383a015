"""The text is no YAML, so that nothing after this place can be read.

The message says what is most likely wrong: a tab, a missing space after a colon, a quotation mark or a bracket that
is never closed. What stands before the place is still checked; rules for which absence is the evidence rest.

Bad:

    vehicle:
      name: Quarry switcher 7
      scale:HO
    # ^^^^^^^^ a space is missing after the colon of "scale:HO"
    supply: {track: 14.5 V}

Good:

    vehicle:
      name: Quarry switcher 7
      scale: HO
    supply: {track: 14.5 V}
    decoder: {outputs: {white: {number: 1}}}
    lamps: {}
    outputs: {}
    keys: {}

Source: YAML 1.2.2.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from lampwright.diagnostics import Finding, Note, Severity
from lampwright.rule import Context, rule
from lampwright.rule.phrases import quoted
from lampwright.text import Span


@rule(Severity.ERROR)
def syntax_error(context: Context) -> Iterator[Finding]:
    """Text that is no YAML."""
    for problem in context.problems_of("syntax-error"):
        opened = problem.data.get("opened")
        notes = (Note(opened, "it is opened here"),) if isinstance(opened, Span) and opened != problem.span else ()
        yield Finding(problem.span, _message(problem.span, problem.data), notes)


def _message(span: Span, data: Mapping[str, Any]) -> str:
    culprit = quoted(span.text) if span.text.strip() else "this place"
    match data.get("cause"):
        case "tab":
            return "a tab stands here; YAML indents with spaces only"
        case "missing-space":
            return f"a space is missing after the colon of {culprit}"
        case "unclosed-quote":
            return "this quotation mark is never closed"
        case "unclosed-bracket":
            return f"the bracket {culprit} is never closed"
        case "second-colon":
            return f"a second colon stands in one line at {culprit}; a value with a colon and a space needs quotes"
        case "bad-indentation":
            return f"{culprit} is not indented like its neighbours"
        case "reserved-character":
            return f"a text cannot begin with {quoted(str(data.get('character', '')))}; put it in quotes"
        case "control-character":
            return f"the control character U+{ord(str(data.get('character', chr(0)))):04X} may not stand in YAML"
    detail = str(data.get("detail", "")).strip()
    return f"the text is no YAML from {culprit} on" + (f" ({detail})" if detail else "")
