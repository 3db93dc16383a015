"""Text that others wrote becomes text that does no harm where it is shown: in a terminal, a log, a page.

Knows characters and what obeys them; no reports and no lamps.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

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
    shown = text if text.isascii() and text.isprintable() else text.translate(_SHOWN)
    return _COMMAND.sub(lambda match: _code(match[0]), shown)


def harmless_text(lines: Iterable[str]) -> str:
    """`lines` as one text with a line end after each, in which nothing is obeyed and no line is a command."""
    return "".join(f"{no_command(visible(line))}\n" for line in lines)


def no_command(line: str) -> str:
    """`line` as one that no build service takes for a command: that begins with `::`, blanks before it do not count."""
    start = len(line) - len(line.lstrip())
    return f"{line[:start]}{_code(':')}{line[start + 1 :]}" if line.startswith("::", start) else line


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
    is_quoted = shown.startswith("::") or any(mark in shown for mark in ',;"')
    return '"' + shown.replace('"', '""') + '"' if is_quoted else shown


class _Shown(dict[int, str]):
    """How each character is shown, by its number; found out when it is met for the first time."""

    def __missing__(self, number: int) -> str:
        character = chr(number)
        is_obeyed = unicodedata.category(character) in _OBEYED or character in _UNSEEN
        shown = self[number] = _code(character) if is_obeyed else character
        return shown


_SHOWN = _Shown()


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
