"""A text made readable: what the parser would trip over is put aside, one character for one, so that offsets stay.

Knows characters and lines, no nodes. What was put aside comes back into the values through `restored`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from lampwright.patterns import pattern
from lampwright.records import dataclass, field

# YAML 1.2 section 5.1 lists what may stand in a text; U+FEFF may only begin it and is gone by now.
_FORBIDDEN = "\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufeff\ufffe\uffff"
# Line breaks of YAML 1.1, plain characters in YAML 1.2 section 5.4 and in editors.
_OLD_BREAKS = "\x85\u2028\u2029"
_NO_BREAK_SPACES = "\u00a0\u2000-\u200a\u202f\u205f\u3000"

_STRANGE = pattern(f"[{_FORBIDDEN}{_OLD_BREAKS}]")
_GLUED_COLON = pattern(r":(?=[^ \t\r\n,\[\]{}])")
# Patterns that few texts need stay text: they are compiled when the first such text turns up.
_STRANGE_LINE = f"(?<![^\r\n])[ \t{_FORBIDDEN}]+(?![^\r\n])"
_SPACE_RUN = r"(?<![ \t])[ \t]+"
_WIDE_INDENT = f"(?<![^\r\n])[ \t]*[{_NO_BREAK_SPACES}][ \t{_NO_BREAK_SPACES}]*"
# Directives, tags, anchors and aliases keep their colons; so does a colon after a quote or bracket, which ends a key.
_COLON_IN_WORD = (
    r"(?<![^\r\n])%[^\r\n]*|(?<![^ \t\r\n,\[\]{}])[&*!][^ \t\r\n]*"
    r"|(?P<put>(?<=[^ \t\r\n,\[\]{}\"']):(?=[^ \t\r\n,\[\]{}]))"
)
_QUESTION_IN_TEXT = r"(?<=[^ \t\r\n,\[\]{}:?-])(?P<gap>[ \t]*)(?P<put>\?+)"


@dataclass(slots=True)
class Readable:
    """A text for the parser, as long as the source's.

    `strange` is the first character that no YAML may hold, `wide` are the indentations with a no-break space in them.
    """

    text: str
    strange: int | None = None
    wide: tuple[tuple[int, int], ...] = ()
    forbidden: str | None = None
    aside: dict[int, str] = field(default_factory=dict)

    def restored(self, value: str) -> str:
        """A value as the source has it."""
        return value.translate(self.aside) if self.aside else value

    def holds_forbidden(self, value: str) -> bool:
        """Whether a value has a character that no YAML may hold."""
        return self.forbidden is not None and self.forbidden in value


def readable(text: str) -> Readable:
    """The text with what the parser would trip over put aside."""
    result = Readable(text)
    spare = _unused(text)
    if "\t" in text:
        result.text = re.sub(_SPACE_RUN, _without_idle_tabs(text), result.text)
    if not text.isascii():
        _set_wide_indents(result)
    if _STRANGE.search(text):
        _set_strange(result, spare)
    if _has_glued_colon(text):
        _set_aside(result, ":", _COLON_IN_WORD, next(spare))
    if "?" in text:
        _set_aside(result, "?", _QUESTION_IN_TEXT, next(spare))
    return result


def _has_glued_colon(text: str) -> bool:
    """Whether one stands anywhere but in a comment from the first column, as an address in a modeline does."""
    glued = (match.start() for match in _GLUED_COLON.finditer(text))
    return any(text[text.rfind("\n", 0, at) + 1] != "#" for at in glued)


def _without_idle_tabs(text: str) -> Callable[[re.Match[str]], str]:
    """Tabs in blank lines, before a comment of its own line and at the end of a line do no harm: spaces for them."""

    def spaces(run: re.Match[str]) -> str:
        start, end = run.span()
        own_line = start == 0 or text[start - 1] in "\r\n"
        idle = end == len(text) or text[end] in "\r\n" or (own_line and text[end] == "#")
        return " " * (end - start) if idle else run[0]

    return spaces


def _set_wide_indents(result: Readable) -> None:
    """Indentation pasted from a web page is read as the spaces it looks like."""
    ended = f"{result.text}\n"
    result.wide = tuple(
        indent.span() for indent in re.finditer(_WIDE_INDENT, ended) if ended[indent.end()] not in "\r\n#"
    )
    result.text = re.sub(_WIDE_INDENT, lambda indent: re.sub(f"[{_NO_BREAK_SPACES}]", " ", indent[0]), result.text)


def _set_strange(result: Readable, spare: Iterator[str]) -> None:
    forbidden = re.search(f"[{_FORBIDDEN}]", result.text)
    if forbidden:
        result.strange = forbidden.start()
        result.forbidden = next(spare)
        result.text = re.sub(_STRANGE_LINE, lambda line: re.sub(f"[{_FORBIDDEN}]", " ", line[0]), result.text)
        result.text = re.sub(f"[{_FORBIDDEN}]", result.forbidden, result.text)
    for character in _OLD_BREAKS:
        if character in result.text:
            placeholder = next(spare)
            result.aside[ord(placeholder)] = character
            result.text = result.text.replace(character, placeholder)


def _set_aside(result: Readable, character: str, where: str, placeholder: str) -> None:
    """In `12:30` and `Horn?` this parser sees an indicator when they stand in a flow collection; YAML 1.2 does not."""

    def put(match: re.Match[str]) -> str:
        if match["put"] is None:
            return match[0]
        return match[0][: -len(match["put"])] + placeholder * len(match["put"])

    result.text = re.sub(where, put, result.text)
    result.aside[ord(placeholder)] = character


def _unused(text: str) -> Iterator[str]:
    """Private-use characters that the text holds neither as such nor as an escape."""
    lowered = text.lower()
    for code in range(0xE000, 0xF8FF):
        if chr(code) not in text and f"{code:x}" not in lowered:
            yield chr(code)
