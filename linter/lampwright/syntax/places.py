"""Finds what stands at a place of a tree: the path to it, and the entry that a comment stands above."""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.syntax.layout import item_start, line_end, next_line, past_blanks
from lampwright.syntax.nodes import Comment, Mapping, Node, Sequence, Tree
from lampwright.text import Span


def path_at(tree: Tree, span: Span) -> tuple[str | int, ...]:
    """The keys by name and items by index on the way to the innermost key, value or item that holds `span`."""
    path: list[str | int] = []
    node = tree.root
    while isinstance(node, Mapping | Sequence):
        step = _step(node, span)
        if step is None:
            break
        path.append(step[0])
        node = step[1]
    return tuple(path)


def scope_below(tree: Tree, comment: Comment) -> Span | None:
    """What a comment on a line of its own speaks of: the key with its value, or the list item, that begins below it."""
    text = tree.source.text
    at = past_blanks(text, comment.span.start)
    while text.startswith("---", at) and not text[at + 3 : at + 4].strip():
        at = past_blanks(text, next_line(text, at))
    end = line_end(text, at)
    starting = [span for span in _entries(tree) if at <= span.start < end]
    return min(starting, key=lambda span: (span.start, -span.end), default=None)


def _step(node: Mapping | Sequence, span: Span) -> tuple[str | int, Node | None] | None:
    """The key or index whose entry holds `span`, and its value unless `span` is at the key."""
    if isinstance(node, Sequence):
        return next(((index, item) for index, item in enumerate(node) if item.span.holds(span)), None)
    for key, value in node.items():
        if key.span.start <= span.start and span.end <= max(key.span.end, value.span.end):
            return str(key), value if value.span.holds(span) else None
    return None


def _entries(tree: Tree) -> Iterator[Span]:
    """The places of all entries and items, with those that were dropped."""
    yield from tree.dropped
    source = tree.source
    waiting: list[Node | None] = [tree.root]
    while waiting:
        node = waiting.pop()
        if isinstance(node, Sequence):
            for index, item in enumerate(node):
                yield source.span(item_start(node, index), item.span.end)
            waiting += node
        elif isinstance(node, Mapping):
            for key, value in node.items():
                yield source.span(key.span.start, max(key.span.end, value.span.end))
            waiting += node.values()
