"""What stands at a cursor: a key, a value or an item, under which keys; also where the text cannot be read as it is.

A word of our own is put where the cursor is, and what is open is closed, until the text can be read. Knows YAML only as
`syntax` reads it, and no lamps.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from lampwright.syntax import Mapping, Node, Scalar, Sequence, Tree, parse, path_at
from lampwright.text import Source

MARK = "zqcursorqz"
"""A word that stands in no plan."""

_BEGINNING = re.compile(r"(?:^|(?<=[\[{,]))[ \t]*(?:-[ \t]+)*|:[ \t]+|-[ \t]+")
_END = re.compile(r"[,\]}\r\n]|[ \t]+#|:(?=[ \t\r\n]|\Z)")
_ALLOWANCE = re.compile(r"#\s*lampwright\s*:\s*allow\s+(?:\w[\w-]*\s*,?\s*)*\Z")
_NAME = re.compile(r"[\w-]*\Z")


@dataclass(frozen=True, slots=True)
class Place:
    """A cursor. `start` to `end` is the word or the value that it is in, of which `typed` stands before it.

    `path` leads to the value, or to the mapping whose key it is; `tree` is of the text with MARK in the word's place,
    `node` the mapping or the list that the mark is in. `is_key` also where a mapping might begin.
    """

    start: int
    end: int
    typed: str
    path: tuple[str | int, ...]
    is_key: bool
    is_flow: bool
    tree: Tree
    node: Node | None

    def takes(self, text: str) -> bool:
        """Whether all can be read with `text` in the place of the word."""
        source = self.tree.source
        behind = source.text[self.start + len(MARK) :].removeprefix(": ")
        return not parse(Source(source.name, f"{source.text[: self.start]}{text}{behind}")).broken

    @property
    def siblings(self) -> tuple[str, ...]:
        """The other keys of the mapping, or the other texts of the list."""
        items = self.node if isinstance(self.node, Mapping | Sequence) else ()
        return tuple(str(item) for item in items if isinstance(item, Scalar) and item != MARK)


@dataclass(frozen=True, slots=True)
class RulePlace:
    """A cursor at the name of a rule in an allowance."""

    start: int
    end: int


def place_at(source: Source, offset: int) -> Place | RulePlace | None:
    """What stands at `offset`; None in comments, and where nothing can be made of the text."""
    text = source.text
    line = text.rfind("\n", 0, offset) + 1
    before = text[line:offset]
    if not before.strip() and text[offset : offset + 1] in {" ", "\t"} and text[offset:].split("\n", 1)[0].strip():
        # In the indentation of what stands there nothing can stand.
        return None
    comment = _comment_in(before)
    if comment is not None:
        if not _ALLOWANCE.match(before[comment:]):
            return None
        name = _NAME.search(before)
        return RulePlace(line + (name.start() if name is not None else len(before)), offset)
    start = line + _word_start(before)
    if text[start : start + 1] in {'"', "'"} and start < offset:
        start += 1
        quote = text[start - 1]
        closing = re.compile(rf"[\r\n]|{quote}").search(text, offset)
        end = closing.start() if closing is not None else len(text)
    else:
        found = _END.search(text, offset)
        end = found.start() if found is not None else len(text)
        # Before a blank nothing has been typed of the word behind it.
        end = offset if text[start : start + 1].isspace() else max(offset, start + len(text[start:end].rstrip()))
    return _read(source, start, end, offset)


def _comment_in(line: str) -> int | None:
    """Where a comment begins in `line`, which is cut at the cursor."""
    quote = ""
    for at, character in enumerate(line):
        if quote:
            quote = "" if character == quote else quote
        elif character in "\"'" and (at == 0 or line[at - 1] in " \t[{,:"):
            quote = character
        elif character == "#" and (at == 0 or line[at - 1] in " \t"):
            return at
    return None


def _word_start(before: str) -> int:
    """Where the word or value begins that `before` ends in."""
    return max((match.end() for match in _BEGINNING.finditer(before)), default=0)


def _read(source: Source, start: int, end: int, offset: int) -> Place | None:
    text = source.text
    head, tail = text[:start], text[end:]
    line_end = tail.find("\n")
    below = tail[line_end:] if line_end >= 0 else ""
    closing = _closing(head[head.rfind("\n", 0, start) + 1 :])
    # What can be read as it is need not be closed, and must not be broken.
    rests = (tail,) if not parse(source).broken else (tail, f"{closing}{below}", closing)
    for word in (MARK, f"{MARK}: "):
        for rest in rests:
            tree = parse(Source(source.name, f"{head}{word}{rest}"))
            if tree.broken:
                continue
            found = _found(tree, start)
            if found is not None:
                node, path, is_key = found
                is_flow = isinstance(node, Mapping | Sequence) and node.flow
                is_first = not text[text.rfind("\n", 0, start) + 1 : start].strip(" \t-")
                # A value on a line of its own may become a mapping, which has no keys yet.
                around = node if is_key or not is_first or isinstance(node, Sequence) else None
                return Place(start, end, text[start:offset], path, is_key or is_first, is_flow, tree, around)
    return None


def _closing(line: str) -> str:
    """What closes the brackets that are open at the end of `line`."""
    opened = []
    for character in line:
        if character in "[{":
            opened.append({"[": "]", "{": "}"}[character])
        elif character in "]}" and opened:
            opened.pop()
    return "".join(reversed(opened))


def _found(tree: Tree, start: int) -> tuple[Node | None, tuple[str | int, ...], bool] | None:
    """What the mark is in, the way to it, and whether it is a key."""
    for node, scalar, is_key in _scalars(tree.root):
        if scalar == MARK and scalar.start <= start <= scalar.end:
            path = path_at(tree, scalar.span)
            return node, path[:-1] if is_key else path, is_key
    return None


def _scalars(root: Node | None) -> Iterator[tuple[Node | None, Scalar, bool]]:
    waiting: list[tuple[Node | None, Node]] = [(None, root)] if root is not None else []
    while waiting:
        around, node = waiting.pop()
        if isinstance(node, Scalar):
            yield around, node, False
        elif isinstance(node, Mapping):
            yield from ((node, key, True) for key in node)
            waiting += ((node, value) for value in node.values())
        elif isinstance(node, Sequence):
            waiting += ((node, item) for item in node)
