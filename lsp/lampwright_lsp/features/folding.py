"""What can be folded away: the entries and items that go over several lines, and runs of comments."""

from __future__ import annotations

from collections.abc import Iterator

from lsprotocol import types

from lampwright.syntax import Mapping, Node, Sequence, Tree
from lampwright_lsp.documents import Snapshot
from lampwright_lsp.feature import Feature


def folding_ranges(snapshot: Snapshot, _params: types.FoldingRangeParams) -> list[types.FoldingRange]:
    """The ranges, outer ones before inner ones, up to a syntax error if there is one."""
    tree = snapshot.tree
    blocks = {start: types.FoldingRange(start, end) for start, end in _blocks(tree)}
    comments = [types.FoldingRange(start, end, kind="comment") for start, end in _comments(tree)]
    return sorted([*blocks.values(), *comments], key=lambda fold: (fold.start_line, -fold.end_line))


FEATURE = Feature(types.TEXT_DOCUMENT_FOLDING_RANGE, folding_ranges)


def _blocks(tree: Tree) -> Iterator[tuple[int, int]]:
    """First and last line, from 0, of what begins on one line and ends on another; inner ones first."""
    waiting: list[tuple[int, Node]] = [(tree.root.span.start, tree.root)] if tree.root is not None else []
    found: list[tuple[int, int]] = []
    while waiting:
        start, node = waiting.pop()
        if node is not tree.root:
            first, last = _line(tree, start), _line(tree, node.span.end)
            # The line with a bracket that closes stays in sight.
            last -= isinstance(node, Mapping | Sequence) and node.flow
            if last > first:
                found.append((first, last))
        if isinstance(node, Mapping):
            waiting += ((key.span.start, value) for key, value in node.items())
        elif isinstance(node, Sequence):
            waiting += ((item.span.start, item) for item in node)
    yield from reversed(found)


def _comments(tree: Tree) -> Iterator[tuple[int, int]]:
    """First and last line of each run of comments on lines of their own."""
    lines = [_line(tree, comment.span.start) for comment in tree.comments if comment.own_line]
    for line in lines:
        if line - 1 not in lines:
            last = line
            while last + 1 in lines:
                last += 1
            if last > line:
                yield line, last


def _line(tree: Tree, offset: int) -> int:
    return tree.source.position(offset).line - 1
