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


@rule(Severity.ERROR, words_problems=True)
def syntax_error(context: Context) -> Iterator[Finding]:
    """Text that is no YAML."""
    for problem in context.problems_of("syntax-error"):
        opened = problem.data.get("opened")
        notes = (Note(opened, "it is opened here"),) if isinstance(opened, Span) and opened != problem.span else ()
        yield Finding(problem.span, _message(problem.span, problem.data), notes)


_SENTENCES = {
    "tab": "a tab stands here; YAML indents with spaces only",
    "missing-space": "a space is missing after the colon of {}",
    "missing-colon": "{} stands alone; a key has a colon behind it",
    "missing-comma": "a comma is missing before {}",
    "extra-comma": "this comma has nothing before it, or stands outside brackets",
    "second-colon": "a second colon stands in one line at {}; a value with a colon and a space needs quotes",
    "long-key": "{} is too long for a key, of which YAML takes 1,024 characters at most",
    "unclosed-quote": "this quotation mark is never closed",
    "text-after-quote": "text goes on behind the closing quotation mark in {}; one within is written twice",
    "bad-escape": "{} means nothing in double quotes; take single ones, or write the backslash twice",
    "unclosed-bracket": "the bracket {} is never closed",
    "unopened-bracket": "the bracket {} was never opened",
    "text-after-bracket": "text and brackets stand side by side from {} on; the text needs quotes",
    "bad-indentation": "this line is indented like none of its neighbours",
    "item-among-keys": "a list item stands among keys here",
    "key-among-items": "the key {} stands among the items of a list",
    "merge-conflict": "version control left this line behind where two changes met; keep one of them",
}


def _message(span: Span, data: Mapping[str, Any]) -> str:
    culprit = quoted(span.text) if span.text.strip() else "this place"
    cause = data.get("cause", "other")
    if cause in _SENTENCES:
        return _SENTENCES[cause].format(culprit)
    character = str(data.get("character", ""))
    match cause:
        case "reserved-character":
            return f"a text cannot begin with {quoted(character)}; put it in quotes"
        case "control-character":
            return f"the control character U+{ord(character):04X} may not stand in YAML"
        case "no-break-space":
            return f"a blank that is no space (U+{ord(span.text[0]):04X}) stands here; YAML indents with spaces only"
    detail = str(data.get("detail", "")).strip()
    return f"the text is no YAML from {culprit} on" + (f" ({detail})" if detail else "")
