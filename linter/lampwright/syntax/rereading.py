"""Reads a text of which one entry has changed since it was read before: that entry anew, all others as they were.

Who types changes one entry with each key. Where it cannot be told that all else means what it meant, nothing is said.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Callable
from typing import NamedTuple

from lampwright.patterns import pattern
from lampwright.syntax.characters import readable
from lampwright.syntax.comments import comments
from lampwright.syntax.nodes import Mapping, Node, Scalar, Sequence, Taken, Tree, Unread
from lampwright.text import Source, Span

_MOST_LEVELS = 2
"""Of entries within entries that are tried, innermost first: a new entry belongs to the one around it."""

_DEEPEST = 50
"""Containers in each other that an entry may have. A tree has its limit, and nothing right comes near it."""

# A document's beginning, its end, or a directive: what is below it has another meaning.
_MARK = pattern(r"^(---|\.\.\.|%)", re.MULTILINE)

Parse = Callable[[Source], Tree]


class _Change(NamedTuple):
    """Between `start` and `end` the old text is another one; what is behind it has moved by `shift`."""

    start: int
    end: int
    shift: int


class _Entry(NamedTuple):
    """An entry of a block mapping: its key, and the whole lines from that of the key to the next one of its level."""

    key: Scalar
    start: int
    end: int


def reread(source: Source, before: Tree, parse: Parse) -> Tree | None:
    """The tree of `source`, given that of an older text; None if all of it has to be read.

    It equals the one that `parse` gives of the whole text. `parse` is asked for the entry alone.
    """
    if before.problems or not before.complete or not isinstance(before.root, Mapping) or before.root.flow:
        return None
    # What is put aside for the parser may depend on all of a text.
    if readable(source.text).text != source.text:
        return None
    change = _change(before.source.text, source.text)
    path = _path(before.root, before.source.text, change)
    for level in range(len(path) - 1, max(-1, len(path) - 1 - _MOST_LEVELS), -1):
        entry = path[level]
        text = source.text[entry.start : entry.end + change.shift]
        is_whole = text.endswith("\n") or entry.end == len(before.source.text)
        part = _read(text, entry, parse) if is_whole else None
        if part is not None:
            return _Rereading(source, path[: level + 1], change.shift, part).tree(before.root)
    return None


def _change(old: str, new: str) -> _Change:
    """Where two texts differ, all differences together."""
    shorter = min(len(old), len(new))
    start = bisect_left(range(shorter), True, key=lambda size: old[: size + 1] != new[: size + 1])  # noqa: FBT003
    most = shorter - start
    same = bisect_left(range(most), True, key=lambda size: old[-size - 1 :] != new[-size - 1 :])  # noqa: FBT003
    return _Change(start, len(old) - same, len(new) - len(old))


def _path(root: Mapping, text: str, change: _Change) -> list[_Entry]:
    """The entry of `root` that holds the whole change, the one of its value that does, and so on."""
    path: list[_Entry] = []
    mapping, end = root, len(text)
    while True:
        entry = _entry(mapping, text, change, end)
        if entry is None:
            return path
        path.append(entry)
        value = mapping[entry.key]
        if not isinstance(value, Mapping) or value.flow or change.start <= entry.key.end:
            return path
        mapping, end = value, entry.end


def _entry(mapping: Mapping, text: str, change: _Change, end: int) -> _Entry | None:
    """The entry of `mapping`, which reaches to `end`, that holds the change; None if none does."""
    keys = list(mapping.written.values())
    place = bisect_right(keys, change.start, key=lambda key: key.start)
    if place < len(keys) and _line_start(text, keys[place]) <= change.start:
        place += 1
    if place == 0:
        return None
    key = keys[place - 1]
    follower = keys[place] if place < len(keys) else None
    start, end = _line_start(text, key), _line_start(text, follower) if follower is not None else end
    stand_alone = all(_stands_alone(text, each) for each in (key, follower) if each is not None)
    return _Entry(key, start, end) if stand_alone and start <= change.start and change.end <= end else None


def _line_start(text: str, key: Scalar) -> int:
    return text.rfind("\n", 0, key.start) + 1


def _stands_alone(text: str, key: Scalar) -> bool:
    """Whether nothing but spaces stands before it on its line."""
    return not text[_line_start(text, key) : key.start].strip(" ")


def _read(text: str, entry: _Entry, parse: Parse) -> Mapping | None:
    """The mapping that has the changed entry alone; None if that says nothing of the whole."""
    column = entry.key.start - entry.start
    if text[:column].strip(" ") or _MARK.search(text):
        return None
    tree = parse(Source(entry.key.source.name, text))
    root = tree.root
    if tree.problems or not tree.complete or not isinstance(root, Mapping) or root.flow or len(root) != 1:
        return None
    return root if next(iter(root)).start == column and _depth(root) < _DEEPEST else None


def _depth(node: Node) -> int:
    if isinstance(node, Mapping):
        return 1 + max(map(_depth, node.values()), default=0)
    return 1 + max(map(_depth, node), default=0) if isinstance(node, Sequence) else 0


class _Rereading:
    """A tree that is put together of the changed entry, at the end of `path`, and copies of all others."""

    def __init__(self, source: Source, path: list[_Entry], shift: int, part: Mapping) -> None:
        self.source, self.path, self.shift, self.part = source, path, shift, part
        self.starts: list[int] = []
        self.ends: list[int] = []
        self.copies: dict[int, tuple[Mapping | Sequence, int]] = {}

    def tree(self, root: Mapping) -> Tree | None:
        """All of it; None if the changed entry has the key of another one now."""
        copied = self._around(root, None, 0)
        if copied is None:
            return None
        found = comments(self.source, self.starts, self.ends, len(self.source.text))
        return Tree(self.source, copied, found, taken=Taken(root.span.source, self.copies))

    def _around(self, mapping: Mapping, owner: Scalar | None, level: int) -> Mapping | None:
        """The mapping that has the entry of this level of the path."""
        result, changed, shift = _empty(mapping, owner), self.path[level].key, 0
        for key, value in mapping.items():
            if key is changed:
                entry = self._changed(key, value, level)
                shift = self.shift
            else:
                copied = self._scalar(key, shift)
                entry = copied, self._copied(value, copied, shift)
            if entry is None or entry[0] in result:
                return None
            name, last = entry
            result[name] = last
            result.written[name] = name
        # A block ends with its last child, which may be the one that has changed.
        end = self._end_of_changed(last, level) if key is changed else mapping.span.end + shift
        result.span = Span(self.source, mapping.span.start, end)
        return result

    def _changed(self, key: Scalar, value: Node, level: int) -> tuple[Scalar, Node] | None:
        """The entry of the path at this level."""
        if level == len(self.path) - 1:
            start = self.path[level].start
            ((new_key, new_value),) = self.part.items()
            copied = self._scalar(new_key, start)
            return copied, self._copied(new_value, copied, start)
        assert isinstance(value, Mapping)
        copied = self._scalar(key, 0)
        inner = self._around(value, copied, level + 1)
        return (copied, inner) if inner is not None else None

    def _end_of_changed(self, value: Node, level: int) -> int:
        is_last = level == len(self.path) - 1
        return self.part.span.end + self.path[level].start if is_last else value.span.end

    def _copied(self, node: Node, owner: Scalar | None, shift: int) -> Node:
        """A node as it stands in the new text, which it does so much further on."""
        if isinstance(node, Scalar):
            return self._scalar(node, shift)
        assert not isinstance(node, Unread)
        copied: Mapping | Sequence
        if isinstance(node, Mapping):
            copied = _empty(node, owner)
            for key, value in node.items():
                new = self._scalar(key, shift)
                copied[new] = self._copied(value, new, shift)
                copied.written[new] = new
        else:
            copied = Sequence([self._copied(item, None, shift) for item in node])
            copied.flow, copied.owner = node.flow, owner
        copied.span = Span(self.source, node.span.start + shift, node.span.end + shift)
        self.copies[id(node)] = copied, shift
        return copied

    def _scalar(self, scalar: Scalar, shift: int) -> Scalar:
        style = scalar.style
        # As `Scalar.at` would, which is most of the time that a key takes here.
        copied = str.__new__(Scalar, scalar)
        copied.source = self.source
        copied.start = start = scalar.start + shift
        copied.end = end = scalar.end + shift
        copied.style = style
        if scalar or style != "plain":
            self.starts.append(start)
            self.ends.append(end)
        return copied


def _empty(mapping: Mapping, owner: Scalar | None) -> Mapping:
    result = Mapping()
    result.flow, result.owner, result.written = mapping.flow, owner, {}
    return result
