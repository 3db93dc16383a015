"""Text that others wrote becomes text that does no harm where it is shown: in a terminal, a log, a page.

Knows characters and what obeys them; no reports and no lamps.
"""

from __future__ import annotations

import re
import unicodedata

from lampwright.patterns import pattern

# Cc and Cf hold escape sequences and the marks that turn the direction of text round; Cs are lone surrogates.
_OBEYED = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}

# The fillers of Hangul are letters that nobody sees.
_UNSEEN = set("\u115f\u1160\u3164\uffa0")

# With these, and with the wide ones of East Asian keyboards, spreadsheets let a formula begin.
_FORMULA = frozenset("=+-@\uff1d\uff0b\uff0d\uff20")

# Build services take `##[name]` and `##name[...]` for a command wherever it stands in a line of the log.
_COMMAND = pattern(r"#(?=#[A-Za-z]*\[)")

_IN_JSON = pattern(rf"[^\x00-\x7e]|{_COMMAND.pattern}")


def visible(text: str) -> str:
    """`text` with every character that a terminal or a log would obey or hide written as its code."""
    shown = text if _is_plain(text) else "".join(map(_shown, text))
    return _COMMAND.sub(lambda match: _code(match[0]), shown)


def visible_name(name: str) -> str:
    """The name of a file where it begins a line, which no reader may take for a command, a formula or an option."""
    shown = visible(name)
    return shown if shown[:1].isalnum() or shown[:1] in {".", "_", "/", "\\"} else f"./{shown}"


def harmless_json(text: str) -> str:
    """A JSON text that says the same, with codes for the characters that a terminal or a log would obey or hide."""
    return _IN_JSON.sub(_in_json, text)


def code_span(text: str) -> str:
    """`text` as a code span of Markdown, in which there is no markup, no HTML and no mention of people.

    Its fences are longer than any within, and blanks stand where a backtick would touch one.
    """
    shown = visible(text)
    fence = "`" * (1 + max(map(len, re.findall("`+", shown)), default=0))
    edge = " " if shown[:1] in {"`", " "} or shown[-1:] in {"`", " "} else ""
    return f"{fence}{edge}{shown}{edge}{fence}"


def harmless_cell(text: str) -> str:
    """A cell of a table for spreadsheets, by RFC 4180: nothing to obey, and no formula, whose first sign gets a `'`."""
    shown = visible(text)
    if shown[:1] in _FORMULA:
        shown = f"'{shown}"
    return '"' + shown.replace('"', '""') + '"' if any(mark in shown for mark in ',;"') else shown


def _is_plain(text: str) -> bool:
    return text.isascii() and text.isprintable()


def _shown(character: str) -> str:
    if _is_plain(character) or (unicodedata.category(character) not in _OBEYED and character not in _UNSEEN):
        return character
    return _code(character)


def _code(character: str) -> str:
    number = ord(character)
    return f"\\u{number:04x}" if number <= 0xFFFF else f"\\U{number:08x}"


def _in_json(match: re.Match[str]) -> str:
    if match[0] == "#":
        return _code("#")
    if match[0].isprintable() and match[0] not in _UNSEEN:
        return match[0]
    # JSON has codes of 16 bits only; what is beyond them is two.
    units = match[0].encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{units[at : at + 2].hex()}" for at in range(0, len(units), 2))
