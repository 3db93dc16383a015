"""The text is YAML, but of a kind that plans do without: anchors, aliases, tags, merge keys, several documents.

A plan is read by people at a bench. What is said in one place and used in another by a sign, or what depends on a
program's types, is easily misread; so each thing is written where it counts, as plain text, in UTF-8.

Bad:

    vehicle: {name: Quarry switcher 7}
    decoder: {outputs: {white: {number: 1}}}
    lamps:
      front headlamp: &warm {led: {forward-voltage: 3.0 V}}
      #               ^^^^^ anchors are not supported; write the value where it is needed
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, front headlamp]}
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    decoder: {outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, front headlamp]}
    keys: {}

Source: the plan language.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Severity
from lampwright.rule import Context, rule

_SENTENCES = {
    "anchor": "anchors are not supported; write the value where it is needed",
    "alias": "aliases are not supported; write the value here",
    "tag": "tags are not supported; everything is read as plain text",
    "merge-key": "merge keys are not supported; write the keys here",
    "document": "a second document begins here and is not read; put it in a file of its own",
    "key": "a key must be a plain text",
    "directive": "directives are not supported",
    "encoding": "the file is not encoded in UTF-8 from here on; save it as UTF-8",
}


@rule(Severity.ERROR, words_problems=True)
def unsupported_yaml(context: Context) -> Iterator[Finding]:
    """YAML beyond plain mappings, lists and texts."""
    for problem in context.problems_of("unsupported-yaml"):
        yield Finding(problem.span, _SENTENCES[problem.data["what"]])
