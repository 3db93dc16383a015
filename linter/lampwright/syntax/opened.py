"""Containers that are still being read: what becomes of each key, value and item that arrives.

Joins the two halves of a decimal comma that YAML split inside brackets, and leaves out later duplicates of a key.
"""

from __future__ import annotations

from typing import Literal, NamedTuple, TypeAlias

from lampwright.patterns import pattern
from lampwright.syntax.editing import removal
from lampwright.syntax.layout import past_colon
from lampwright.syntax.nodes import Mapping, Node, Scalar, Sequence, Unread
from lampwright.syntax.record import Record

# No quantity is longer; a long list of numbers must not be copied again for each of them.
_LONGEST_NUMBER = 100
_KEY_WITH_BRACKET = pattern(r"(?P<key>[^\[{:]*[^\[{:\s])(?P<colon>:)?\s*(?P<bracket>[\[{])[^\]}]*\Z")
_KEY_GLUED_TO_VALUE = pattern(r"[^\s:][^:]*:[^ \t\r\n]")


class OpenedSequence:
    """A list so far. `start` is where it or its anchor begins, `begin` where it does, `end` that of its last item."""

    __slots__ = ("begin", "end", "node", "problems", "record", "start")

    def __init__(self, record: Record, node: Sequence, start: int, begin: int, problems: int) -> None:
        self.record, self.node, self.start, self.begin, self.problems = record, node, start, begin, problems
        self.end = begin

    def take(self, node: Node, start: int, end: int, problems: int) -> None:  # noqa: ARG002 - as of a mapping
        """The next item."""
        items = self.node
        if items and items.flow and (whole := _joined(items[-1], node)):
            items[-1] = whole
        else:
            items.append(node)
        self.end = end

    def leave_last(self) -> None:
        """Forgets the last item."""
        del self.node[-1:]

    def settle(self, problems: int | None = None) -> None:
        """Nothing waits for its end in a list."""


class OpenedMapping:
    """A mapping so far. `key` is the one that waits for its value, False one that is left out with its value."""

    __slots__ = (
        "begin",
        "end",
        "entry",
        "entry_problems",
        "key",
        "later",
        "newest",
        "node",
        "problems",
        "record",
        "start",
    )

    def __init__(self, record: Record, node: Mapping, start: int, begin: int, problems: int) -> None:
        self.record, self.node, self.start, self.begin, self.problems = record, node, start, begin, problems
        self.end = begin
        self.key: Scalar | Literal[False] | None = None
        self.newest: Scalar | None = None
        self.later: _Later | None = None
        self.entry = self.entry_problems = 0

    def take(self, node: Node, start: int, end: int, problems: int) -> None:
        """The next key or its value; there were `problems` before it."""
        key, self.end = self.key, end
        if key is None:
            if self.later and not _joined(self.later.value, node):
                self.settle(problems)
                problems = len(self.record.problems)
            self.entry = start
            self.entry_problems = problems
            self.key = self._accepted(node)
            return
        self.key = None
        if key is False:
            self._leave_out(end)
        elif self.node.flow and isinstance(node, Scalar) and node.is_empty:
            self._take_lone_key(key, node, end)
        else:
            self._add(key, node, end)

    def _accepted(self, node: Node) -> Scalar | Literal[False]:
        """The key, or False if it is none that a plan can have."""
        is_merge = node == "<<" and isinstance(node, Scalar) and node.style == "plain"
        if isinstance(node, Scalar) and node and not is_merge:
            if ("{" not in node and "[" not in node) or self.node.flow or not self._swallows_bracket(node):
                return node
        elif not isinstance(node, Unread):
            del self.record.problems[self.entry_problems :]
            self.record.unsupported("merge-key" if is_merge else "key", node.span.start, node.span.end)
        self.entry_problems = len(self.record.problems)
        return False

    def _swallows_bracket(self, key: Scalar) -> bool:
        """Reports a key with a bracket without partner in it, as in `white {circuit: x}` or `white:{circuit: x}`."""
        glued = _KEY_WITH_BRACKET.match(key) if key.style == "plain" else None
        if glued is None:
            return False
        place = key.part(0, glued.end("bracket") if glued["colon"] else glued.end("key"))
        self.record.blame("missing-space" if glued["colon"] else "missing-colon", place.start, place.end)
        return True

    def _leave_out(self, end: int) -> None:
        self.record.leave_out(self.entry, end, self.entry_problems)
        self.newest = None

    def _take_lone_key(self, key: Scalar, value: Scalar, end: int) -> None:
        """A key without value may be the rest of the decimal number before it, or lack the blank after its colon."""
        whole = self.newest is not None and _joined(self._newest_value(self.newest), key)
        if past_colon(self.record.source.text, key.end) > key.end:
            self._add(key, value, end)
        elif self.newest is not None and whole:
            self._set_newest(self.newest, whole, end)
        elif key.style == "plain" and _KEY_GLUED_TO_VALUE.match(key):
            self.record.blame("missing-space", key.start, key.end)
            self._leave_out(end)
        else:
            self._add(key, value, end)

    def _add(self, key: Scalar, value: Node, end: int) -> None:
        if self.later:
            self.settle()
        self.newest = key
        if key not in self.node:
            self.node[key] = value
            self.node.written[key] = key
            return
        self.later = _Later(key, value, self.entry, end, self.entry_problems)
        if not self.node.flow:
            self.settle()

    def _newest_value(self, newest: Scalar) -> Node:
        return self.later.value if self.later else self.node[newest]

    def _set_newest(self, newest: Scalar, value: Node, end: int) -> None:
        if self.later:
            self.later = self.later._replace(value=value, end=end)
        else:
            self.node[newest] = value

    def leave_last(self) -> None:
        """Forgets the last value with its key."""
        if self.later:
            self.later = None
        elif self.newest is not None:
            del self.node[self.newest]
            del self.node.written[self.newest]
        self.newest = None

    def settle(self, problems: int | None = None) -> None:
        """Reports the duplicate that was read last, now that its whole value is known, up to `problems`."""
        if not self.later:
            return
        later, self.later, self.newest = self.later, None, None
        self.record.leave_out(later.start, later.end, later.problems, problems)
        first, kept = self.node.written[later.key], self.node[later.key]
        self.record.report(
            "duplicate-key",
            later.key.start,
            later.key.end,
            first=first.span,
            first_value=kept.span,
            value=later.value.span,
            equal=later.value == kept,
            remove=removal(self.record.span(later.start, later.end), flow=self.node.flow),
        )


class _Later(NamedTuple):
    """An entry with a key that is there already, and how many problems there were before it."""

    key: Scalar
    value: Node
    start: int
    end: int
    problems: int


Opened: TypeAlias = OpenedMapping | OpenedSequence


def _joined(before: Node, after: Node) -> Scalar | None:
    """`1` and `9 V` are one text if nothing but a comma stands between their digits."""
    if not (isinstance(before, Scalar) and isinstance(after, Scalar) and before.style == after.style == "plain"):
        return None
    if len(before) > _LONGEST_NUMBER:
        return None
    text, comma = before.source.text, before.end
    touching = after.start == comma + 1 and text[comma] == ","
    if not touching or text[comma - 1] not in "0123456789" or text[comma + 1] not in "0123456789":
        return None
    return Scalar(f"{before},{after}", before.span.to(after.span))
