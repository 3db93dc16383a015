"""What two texts of one file differ in, as a unified diff that `git apply` and `patch -p1` take, byte for byte."""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.text import Source

_ESCAPES = {"\n": "\\n", "\r": "\\r", "\t": "\\t", '"': '\\"', "\\": "\\\\"}


def render_diff(before: Source, after: Source) -> str:
    """The difference, nothing if there is none. Only a line feed ends a line, as for those who apply it."""
    from difflib import unified_diff

    lines = unified_diff(_lines(before), _lines(after), _named("a", before), _named("b", after))
    return "".join(_ended(line) for line in lines)


def _lines(source: Source) -> list[str]:
    text = ("\ufeff" if source.bom else "") + source.text
    *lines, last = text.split("\n")
    return [*(f"{line}\n" for line in lines), *([last] if last else [])]


def _named(side: str, source: Source) -> str:
    """The name of a file as git writes it: an odd one in quotes, and a tab after one with spaces."""
    name = f"{side}/{source.name}"
    if any(character in _ESCAPES or not character.isprintable() for character in name):
        return f'"{"".join(_escaped(name))}"'
    return f"{name}\t" if " " in name else name


def _escaped(name: str) -> Iterator[str]:
    for character in name:
        if character in _ESCAPES:
            yield _ESCAPES[character]
        elif character.isprintable():
            yield character
        else:
            yield from (f"\\{byte:03o}" for byte in character.encode("utf-8", "surrogateescape"))


def _ended(line: str) -> str:
    return line if line.endswith("\n") else f"{line}\n\\ No newline at end of file\n"
