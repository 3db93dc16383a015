"""Shapes of what has not changed in a text, as they stand in the new one: not read again, but moved.

Who types changes one entry with each key, and the others mean what they meant.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from operator import attrgetter
from typing import Any

from lampwright.diagnostics import Problem
from lampwright.plan.elements import UnreadText
from lampwright.plan.lists import ListShape
from lampwright.plan.shapes import Shape
from lampwright.records import replace
from lampwright.syntax import Mapping, Node, Scalar, Sequence, Tree
from lampwright.text import Source, Span

Moved = dict[int, Any]
"""What containers of a tree mean, by their identity."""


def moved(before: Shape, problems: Iterable[Problem], tree: Tree) -> Moved:
    """What is known of `tree` because `before`, read of an older text with `problems`, has it too.

    An entry with a problem is read again: its problem has to stand elsewhere now.
    """
    taken = tree.taken
    if taken is None or taken.before is not before.span.source:
        return {}
    faults = [problem.span.start for problem in problems]
    found: Moved = {}

    def take(key: Scalar, node: Node, value: Any) -> bool:
        """Whether all of an entry has not changed, and is known now."""
        copy, shift = taken.copies.get(id(node), (None, 0))
        if copy is None or value is None or any(key.start <= fault <= node.span.end for fault in faults):
            return False
        found[id(copy)] = _Move(tree.source, shift, taken.copies).of(value)
        return True

    for key, node, value in _entries(before):
        if not take(key, node, value) and isinstance(node, Mapping) and isinstance(value, dict):
            for (inner, child), meaning in zip(node.items(), value.values(), strict=True):
                take(inner, child, meaning)
    return found


def _entries(shape: Shape) -> Iterator[tuple[Scalar, Node, Any]]:
    """Key, node and meaning of each entry of a file."""
    for name, key, _ in shape.readings():
        owner, node = shape.node.key(key), shape.node.value(key)
        if owner is not None and node is not None:
            yield owner, node, getattr(shape, name)


class _Move:
    """Takes what was read to where it stands in another text: so much further on."""

    def __init__(self, source: Source, shift: int, copies: dict[int, tuple[Mapping | Sequence, int]]) -> None:
        self._source, self._shift, self._copies = source, shift, copies

    def of(self, value: Any) -> Any:
        """The same, elsewhere."""
        if value is None:
            return None
        kind = value.__class__
        move = _MOVES.get(kind)
        if move is None:
            move = _MOVES[kind] = _move_of(kind)
        return move(self, value)

    def span(self, span: Span) -> Span:
        """The same piece of text."""
        return Span(self._source, span.start + self._shift, span.end + self._shift)

    def shape(self, shape: Any) -> Any:
        """A mapping or a list with all that is in it."""
        result = shape.__class__()
        known, given = result.__dict__, shape.__dict__
        for name in given:
            known[name] = self._copies[id(given[name])][0] if name == "_node" else self.of(given[name])
        return result

    def list(self, items: list[Any]) -> list[Any]:
        """Each of them."""
        return [self.of(item) for item in items]

    def dict(self, entries: dict[Any, Any]) -> dict[Any, Any]:
        """Names and values."""
        return {self.of(name): self.of(value) for name, value in entries.items()}

    def unread(self, text: UnreadText) -> UnreadText:
        """A text that nobody could read."""
        node = text.node
        start, end = node.start + self._shift, node.end + self._shift
        return replace(text, node=Scalar.at(node, self._source, start, end, node.style))


_Mover = Callable[[_Move, Any], Any]
_MOVES: dict[type, _Mover] = {list: _Move.list, dict: _Move.dict, UnreadText: _Move.unread, frozenset: lambda _, it: it}
"""By what they move."""


def _move_of(kind: type) -> _Mover:
    return _Move.shape if issubclass(kind, Shape | ListShape) else _move_of_leaf(kind)


def _move_of_leaf(kind: type) -> _Mover:
    """Of a record, which says what was read, and at last where."""
    *names, place = kind.__match_args__  # type: ignore[attr-defined]
    assert place == "span", kind
    rest = attrgetter(*names)
    # A name alone gives a value, several give a tuple.
    if len(names) == 1:
        return lambda move, leaf: kind(rest(leaf), move.span(leaf.span))
    return lambda move, leaf: kind(*rest(leaf), move.span(leaf.span))
