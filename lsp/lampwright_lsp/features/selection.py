"""What a selection grows to, step by step: the word, the value, the entry, all that holds it."""

from __future__ import annotations

from collections.abc import Iterator

from lsprotocol import types

from lampwright.syntax import Mapping, Node, Sequence, Tree
from lampwright.text import Span
from lampwright_lsp.documents import Snapshot
from lampwright_lsp.feature import Feature


def selection_ranges(snapshot: Snapshot, params: types.SelectionRangeParams) -> list[types.SelectionRange]:
    """For each position its ranges, each inside of the next one."""
    source, positions = snapshot.source, snapshot.positions
    found = []
    for position in params.positions:
        offset = positions.offset(source, position)
        grown: types.SelectionRange | None = None
        for span in _spans(snapshot.tree, offset):
            grown = types.SelectionRange(positions.range(span), grown)
        found.append(grown or types.SelectionRange(types.Range(position, position)))
    return found


FEATURE = Feature(types.TEXT_DOCUMENT_SELECTION_RANGE, selection_ranges)


def _spans(tree: Tree, offset: int) -> Iterator[Span]:
    """What holds `offset`, outermost first, each smaller than the one before."""
    last = tree.source.span(0, len(tree.source.text))
    yield last
    node = tree.root
    while node is not None:
        for span, below in _parts(node, offset):
            if last.holds(span) and span.end - span.start < last.end - last.start:
                yield span
                last = span
            node = below


def _parts(node: Node, offset: int) -> list[tuple[Span, Node | None]]:
    """The node, and of what it holds the entry around `offset`; with where to go on."""
    steps: list[tuple[Span, Node | None]] = [(node.span, None)]
    if isinstance(node, Mapping):
        for key, value in node.items():
            whole = key.span.to(value.span) if value.span.end > key.span.end else key.span
            if whole.start <= offset <= whole.end:
                is_key = key.span.start <= offset <= key.span.end
                return [*steps, (whole, value), *([(key.span, None)] if is_key else [])]
    elif isinstance(node, Sequence):
        for item in node:
            if item.span.start <= offset <= item.span.end:
                return [*steps, (item.span, item)]
    return steps
