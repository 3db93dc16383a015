"""Finds what stands at a place of a tree: the path to it, and the entry that a comment stands above."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator

from lampwright.syntax.layout import item_start, line_end, next_line, past_blanks, past_empty_lines
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


def entry_starts(tree: Tree, span: Span) -> tuple[int, ...]:
    """Where each key and each list item on the way to `span` begins, outermost first."""
    starts: list[int] = []
    node = tree.root
    while isinstance(node, Mapping | Sequence) and (step := _step(node, span)) is not None:
        name, value = step
        if isinstance(node, Mapping):
            key = node.key(str(name))
            assert key is not None
            starts.append(key.start)
        else:
            starts.append(item_start(node, int(name)))
        node = value
    return tuple(starts)


def scope_below(tree: Tree, comment: Comment) -> Span | None:
    """What a comment on a line of its own speaks of: the key with its value, or the list item, that begins below it."""
    return scopes_below(tree).get(comment)


def scopes_below(tree: Tree) -> dict[Comment, Span]:
    """`scope_below` for all comments on lines of their own; those with nothing below them are left out."""
    text = tree.source.text
    entries = sorted(_entries(tree), key=lambda span: (span.start, -span.end))
    starts = [span.start for span in entries]
    below: dict[int, int] = {}
    scopes: dict[Comment, Span] = {}
    # From the last one upwards, so that a comment above another one knows at once what stands below both.
    for comment in reversed([comment for comment in tree.comments if comment.own_line]):
        at = past_empty_lines(text, comment.span.end)
        at = below[comment.span.start] = below.get(at) or _past_document_start(text, past_blanks(text, at))
        first = bisect_left(starts, at)
        if first < len(starts) and starts[first] < line_end(text, at):
            scopes[comment] = entries[first]
    return scopes


def _past_document_start(text: str, at: int) -> int:
    while text.startswith("---", at) and not text[at + 3 : at + 4].strip():
        at = past_blanks(text, next_line(text, at))
    return at


def _step(node: Mapping | Sequence, span: Span) -> tuple[str | int, Node | None] | None:
    """The key or index whose entry holds `span`, and its value unless `span` is at the key."""
    if isinstance(node, Sequence):
        index = bisect_right(node, span.start, key=lambda item: item.span.start) - 1
        return (index, node[index]) if index >= 0 and node[index].span.holds(span) else None
    keys = list(node)
    at = bisect_right(keys, span.start, key=lambda key: key.start) - 1
    if at < 0:
        return None
    key, value = keys[at], node[keys[at]]
    if span.end > max(key.end, value.span.end):
        return None
    return str(key), value if value.span.holds(span) else None


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
