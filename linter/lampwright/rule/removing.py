"""How an entry of a key is taken out of a plan: by an edit that leaves every other line as it is."""

from __future__ import annotations

from bisect import bisect_left

from lampwright.syntax import Mapping, Node, Sequence, Tree, path_at, remove_entry, remove_item
from lampwright.text import Edit, Span


def taken_out(tree: Tree, entry: Span) -> Edit | None:
    """The edit that takes out the entry of a key, or of `always`, that stands at `entry`.

    The only one goes with the key of its list. None if it is not found in the text.
    """
    path = path_at(tree, entry)
    nodes: list[Node | None] = [tree.root]
    for step in path:
        nodes.append(_child(nodes[-1], step))
    if len(nodes) < 3 or nodes[-1] is None or nodes[-1].span != entry:
        return None
    owner, items, index = nodes[-3], nodes[-2], path[-1]
    if not isinstance(owner, Mapping) or not isinstance(items, Sequence) or not isinstance(index, int):
        return None
    if len(items) > 1:
        return remove_item(items, index)
    key = owner.key(str(path[-2]))
    return remove_entry(tree, owner, key.span, items.span) if key is not None else None


def loses_comments(tree: Tree, edit: Edit) -> bool:
    """Whether a comment goes with what `edit` takes out."""
    first = bisect_left(tree.comments, edit.span.start, key=lambda comment: comment.span.start)
    return any(edit.span.holds(comment.span) for comment in tree.comments[first : first + 1])


def _child(node: Node | None, step: str | int) -> Node | None:
    if isinstance(node, Mapping) and isinstance(step, str):
        return node.value(step)
    return node[step] if isinstance(node, Sequence) and isinstance(step, int) else None
