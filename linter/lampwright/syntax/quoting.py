"""A text as one line of YAML that every reader of YAML takes for that text, whatever stands in it."""

from __future__ import annotations

from lampwright.patterns import pattern

_PLAIN = pattern(r"[^\W\d_](?:[\w .-]*[\w.-])?\Z")
# What readers of YAML 1.1 and 1.2 take for something other than a text.
_WORDS = frozenset({"y", "n", "yes", "no", "on", "off", "true", "false", "null"})
_ESCAPES = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\r": "\\r", "\t": "\\t", "\0": "\\0"}


def scalar(text: str) -> str:
    """`text` as it may stand as a key or a value, also between brackets: as it is, or in double quotes."""
    if _PLAIN.match(text) and text.casefold() not in _WORDS and text.isprintable():
        return text
    return f'"{"".join(map(_escaped, text))}"'


def _escaped(character: str) -> str:
    if character in _ESCAPES:
        return _ESCAPES[character]
    # What is not printable may be no YAML at all, or be taken for a line break, or not be seen.
    if character.isprintable():
        return character
    number = ord(character)
    return f"\\u{number:04x}" if number <= 0xFFFF else f"\\U{number:08x}"
