"""Shapes of what has not changed in a text: the tree has their very nodes, so they mean what they meant.

Who types changes one entry with each key. Nothing is compared here but which object a node is.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from lampwright.diagnostics import Problem
from lampwright.plan.shapes import Shape
from lampwright.syntax import Mapping, Node, Scalar, Tree

Kept = dict[int, Any]
"""What containers of a tree mean, by their identity."""


def kept(before: Shape, problems: tuple[Problem, ...], tree: Tree) -> Kept:
    """What is known of `tree` because `before`, read of an older text with `problems`, has it too.

    An entry with a problem is read again, which says it again.
    """
    if tree.ground is None or not isinstance(tree.root, Mapping):
        return {}
    faults = [problem.span for problem in problems]
    if any(fault.source is not tree.source for fault in faults):
        # It hangs on nothing that has moved, so nobody knows what it is in now.
        return {}
    starts = [fault.start for fault in faults]
    found: Kept = {}

    def keep(key: Scalar, node: Node, now: Node | None, value: Any) -> bool:
        """Whether all of an entry is known now."""
        if node is not now or value is None or any(key.start <= start <= node.span.end for start in starts):
            return False
        found[id(node)] = value
        return True

    for key, node, value in _entries(before):
        now = tree.root.value(key)
        if not keep(key, node, now, value) and isinstance(node, Mapping) and isinstance(value, dict):
            inside = now if isinstance(now, Mapping) else {}
            for (inner, child), meaning in zip(node.items(), value.values(), strict=True):
                keep(inner, child, inside.get(inner), meaning)
    return found


def _entries(shape: Shape) -> Iterator[tuple[Scalar, Node, Any]]:
    """Key, node and meaning of each entry of a file."""
    for name, key, _ in shape.readings():
        owner, node = shape.node.key(key), shape.node.value(key)
        if owner is not None and node is not None:
            yield owner, node, getattr(shape, name)
