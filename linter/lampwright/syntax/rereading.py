"""Reads a text of which one entry has changed since it was read before: that entry anew, all others as they were.

Who types changes one entry with each key. Where it cannot be told that all else means what it meant, nothing is said.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Callable
from typing import NamedTuple, TypeGuard

from lampwright.patterns import pattern
from lampwright.syntax.anchored import Anchor, AnchoredScalar, AnchoredSpan, Ground
from lampwright.syntax.characters import readable
from lampwright.syntax.nodes import Comment, Mapping, Node, Scalar, Sequence, Tree, Unread
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

    It equals the one that `parse` gives of the whole text. `parse` is asked for the entry alone. What has not changed
    is taken over: then `before` is spent.
    """
    if before.is_spent or before.problems or not before.complete:
        return None
    if not isinstance(before.root, Mapping) or before.root.flow:
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
        if part is not None and _has_place(part, path[: level + 1], before.root):
            return _put_together(source, before, path[: level + 1], change.shift, part)
    return None


def _has_place(part: Tree, path: list[_Entry], root: Mapping) -> bool:
    """Whether what was read at the end of `path` does not have the key of another entry now."""
    mapping = root
    for entry in path[:-1]:
        value = mapping[entry.key]
        assert isinstance(value, Mapping)
        mapping = value
    key = next(iter(_entry_of(part)))
    return key == path[-1].key or key not in mapping


def _put_together(source: Source, before: Tree, path: list[_Entry], shift: int, part: Tree) -> Tree:
    assert isinstance(before.root, Mapping)
    found = _comments(source, before, path[-1], shift, part)
    ground = before.ground or Ground(source)
    # From here on `before` is spent.
    ground.source = source
    root = _Rereading(source, ground, path, shift, _entry_of(part)).root(before.root)
    return Tree(source, root, lambda: found, ground=ground)


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


def _read(text: str, entry: _Entry, parse: Parse) -> Tree | None:
    """The changed entry alone, in a mapping; None if that says nothing of the whole."""
    column = entry.key.start - entry.start
    if text[:column].strip(" ") or _MARK.search(text):
        return None
    tree = parse(Source(entry.key.source.name, text))
    root = tree.root
    if tree.problems or not tree.complete or not isinstance(root, Mapping) or root.flow or len(root) != 1:
        return None
    return tree if next(iter(root)).start == column and _depth(root) < _DEEPEST else None


def _entry_of(part: Tree) -> Mapping:
    assert isinstance(part.root, Mapping)
    return part.root


def _depth(node: Node) -> int:
    if isinstance(node, Mapping):
        return 1 + max(map(_depth, node.values()), default=0)
    return 1 + max(map(_depth, node), default=0) if isinstance(node, Sequence) else 0


class _Rereading:
    """A tree that is put together of the changed entry, at the end of `path`, and all others, which move into it."""

    def __init__(self, source: Source, ground: Ground, path: list[_Entry], shift: int, part: Mapping) -> None:
        self.source, self.ground, self.path, self.shift, self.part = source, ground, path, shift, part

    def root(self, root: Mapping) -> Mapping:
        """All of it."""
        result, shift = _empty(root, None), 0
        for key, value in root.items():
            if key is self.path[0].key:
                self._put(result, *self._changed_top(key, value))
                shift = self.shift
            else:
                self._put(result, *self._moved_top(key, value, shift))
        end = self._end(result, 0) if key is self.path[0].key else root.span.end + shift
        result.span = Span(self.source, root.span.start, end)
        return result

    def _end(self, mapping: Mapping, level: int) -> int:
        """Where a mapping ends whose last entry is the one of the path: a block ends with its last child."""
        if level == len(self.path) - 1:
            return self.part.span.end + self.path[level].start
        return next(reversed(mapping.values())).span.end

    @staticmethod
    def _put(mapping: Mapping, key: Scalar, value: Node) -> None:
        mapping[key] = value
        mapping.written[key] = key

    # --- Entries of the text, and those in them -----------------------------------------------------------------------

    def _changed_top(self, key: Scalar, value: Node) -> tuple[Scalar, Node]:
        """The entry of the text that holds the change."""
        if len(self.path) == 1:
            ((new_key, new_value),) = self.part.items()
            return self._hung_top(new_key, new_value, self.path[0].start)
        assert isinstance(value, Mapping)
        anchor, name = self._named(key)
        result, shift = _empty(value, name), 0
        for inner, child in value.items():
            if inner is self.path[1].key:
                self._put(result, *self._changed(inner, child))
                shift = self.shift
            else:
                self._put(result, *self._moved(inner, child, shift))
        end = self._end(result, 1) if inner is self.path[1].key else value.span.end + shift
        result.span = AnchoredSpan(anchor, value.span.start - anchor.offset, end - anchor.offset)
        return name, result

    def _moved_top(self, key: Scalar, value: Node, shift: int) -> tuple[Scalar, Node]:
        """An entry of the text that has not changed."""
        anchor = _own(key)
        if anchor is None:
            return self._hung_top(key, value, shift)
        anchor.offset += shift
        if shift and _has_own(value):
            for inner in value:
                inner.anchor.offset += shift
        return key, value

    def _moved(self, key: Scalar, value: Node, shift: int) -> tuple[Scalar, Node]:
        """An entry in the entry that holds the change."""
        anchor = _own(key)
        if anchor is None:
            return self._hung(key, value, shift)
        anchor.offset += shift
        return key, value

    def _hung_top(self, key: Scalar, value: Node, shift: int) -> tuple[Scalar, Node]:
        """An entry of the text on an anchor of its own, and each in it on one as well."""
        if not isinstance(value, Mapping) or value.flow:
            return self._hung(key, value, shift)
        anchor = Anchor(self.ground, key.start + shift)
        name = self._scalar(key, anchor, shift)
        result = _empty(value, name)
        for inner, child in value.items():
            self._put(result, *self._hung(inner, child, shift))
        result.span = self._span(value.span, anchor, shift)
        return name, result

    def _hung(self, key: Scalar, value: Node, shift: int) -> tuple[Scalar, Node]:
        """An entry on one anchor, which stands so much further on."""
        anchor = Anchor(self.ground, key.start + shift)
        name = self._scalar(key, anchor, shift)
        return name, self._copied(value, name, anchor, shift)

    def _changed(self, key: Scalar, value: Node) -> tuple[Scalar, Node]:
        """The entry in an entry of the text that holds the change."""
        anchor, name = self._named(key)
        return self._read_anew(anchor) if len(self.path) == 2 else (name, self._around(value, name, anchor, 2))

    def _named(self, key: Scalar) -> tuple[Anchor, Scalar]:
        """The anchor of an entry that holds the change, which stays where it is, and its key, which does too."""
        anchor = _own(key)
        if anchor is not None:
            return anchor, key
        anchor = Anchor(self.ground, key.start)
        return anchor, self._scalar(key, anchor, 0)

    # --- What is in those ---------------------------------------------------------------------------------------------

    def _around(self, mapping: Node, owner: Scalar, anchor: Anchor, level: int) -> Mapping:
        """A mapping that has the entry of this level of the path."""
        assert isinstance(mapping, Mapping)
        result, changed, shift = _empty(mapping, owner), self.path[level].key, 0
        for key, value in mapping.items():
            if key is not changed:
                name = self._scalar(key, anchor, shift)
                self._put(result, name, self._copied(value, name, anchor, shift))
            elif level == len(self.path) - 1:
                self._put(result, *self._read_anew(anchor))
                shift = self.shift
            else:
                name = self._scalar(key, anchor, 0)
                self._put(result, name, self._around(value, name, anchor, level + 1))
                shift = self.shift
        end = self._end(result, level) if key is changed else mapping.span.end + shift
        result.span = AnchoredSpan(anchor, mapping.span.start - anchor.offset, end - anchor.offset)
        return result

    def _read_anew(self, anchor: Anchor) -> tuple[Scalar, Node]:
        """The entry at the end of the path, as it was read."""
        ((key, value),) = self.part.items()
        shift = self.path[-1].start
        name = self._scalar(key, anchor, shift)
        return name, self._copied(value, name, anchor, shift)

    def _copied(self, node: Node, owner: Scalar | None, anchor: Anchor, shift: int) -> Node:
        """A node on `anchor`, which stands so much further on than the one that was read."""
        if isinstance(node, Scalar):
            return self._scalar(node, anchor, shift)
        assert not isinstance(node, Unread)
        copied: Mapping | Sequence
        if isinstance(node, Mapping):
            copied = _empty(node, owner)
            for key, value in node.items():
                name = self._scalar(key, anchor, shift)
                self._put(copied, name, self._copied(value, name, anchor, shift))
        else:
            copied = Sequence([self._copied(item, None, anchor, shift) for item in node])
            copied.flow, copied.owner = node.flow, owner
        copied.span = self._span(node.span, anchor, shift)
        return copied

    @staticmethod
    def _span(span: Span, anchor: Anchor, shift: int) -> Span:
        off = shift - anchor.offset
        return AnchoredSpan(anchor, span.start + off, span.end + off)

    @staticmethod
    def _scalar(scalar: Scalar, anchor: Anchor, shift: int) -> AnchoredScalar:
        off = shift - anchor.offset
        return AnchoredScalar.hung(scalar, anchor, scalar.start + off, scalar.end + off, scalar.style)


def _own(key: Scalar) -> Anchor | None:
    return key.anchor if isinstance(key, AnchoredScalar) else None


def _has_own(value: Node) -> TypeGuard[dict[AnchoredScalar, Node]]:
    """Whether each entry of `value`, which is that of an entry of the text, has an anchor of its own."""
    return isinstance(value, Mapping) and not value.flow


def _empty(mapping: Mapping, owner: Scalar | None) -> Mapping:
    result = Mapping()
    result.flow, result.owner, result.written = mapping.flow, owner, {}
    return result


# --- Comments ---------------------------------------------------------------------------------------------------------


def _comments(source: Source, before: Tree, entry: _Entry, shift: int, part: Tree) -> tuple[Comment, ...]:
    """Those of the changed entry as they were read, all others as far on as what they stand in."""
    above = bisect_left(before.comments, entry.start, key=_place)
    below = bisect_left(before.comments, entry.end, key=_place)
    return (
        *[_moved(comment, source, 0) for comment in before.comments[:above]],
        *[_moved(comment, source, entry.start) for comment in part.comments],
        *[_moved(comment, source, shift) for comment in before.comments[below:]],
    )


def _place(comment: Comment) -> int:
    return comment.span.start


def _moved(comment: Comment, source: Source, shift: int) -> Comment:
    span = comment.span
    return Comment(Span(source, span.start + shift, span.end + shift), comment.text, comment.own_line)
