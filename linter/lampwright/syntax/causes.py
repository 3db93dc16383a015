"""The causes of syntax errors that are told apart, each with the place that is reported for it."""

from __future__ import annotations

CAUSES = {
    "tab": "a tab where YAML wants spaces: the tab",
    "missing-space": "`key:value`: all of it",
    "missing-colon": "a line that should have been a key: its text",
    "missing-comma": "two entries in brackets with nothing between: the beginning of the second",
    "extra-comma": "a comma with nothing before it, or outside brackets: the comma",
    "second-colon": "a value with a colon in it: the value",
    "long-key": "a key of more than 1,024 characters: the key",
    "unclosed-quote": "a quote that never ends, or ends in the next one: the opening quote",
    "text-after-quote": "text after the closing quote, as in 'Fred's engine': from the opening quote on",
    "bad-escape": "a backslash in double quotes that means nothing: the backslash with its letter",
    "unclosed-bracket": "[ or { that never ends, or ends in the other one: the bracket",
    "unopened-bracket": "] or } without its partner: the bracket",
    "text-after-bracket": "text after a value in brackets: from the bracket on",
    "bad-indentation": "a line that fits no level above it: its blanks",
    "item-among-keys": "a list item on a level of keys: its dash",
    "key-among-items": "a key on a level of list items: its text",
    "reserved-character": "@ ` % & * ! | > - ? where they mean something else: the character",
    "no-break-space": "indentation by blanks that are no spaces: the indentation",
    "control-character": "a character that no YAML may hold: the character",
    "merge-conflict": "a line that version control left behind: the line",
    "other": "anything else: the word at which the parser stopped",
}
