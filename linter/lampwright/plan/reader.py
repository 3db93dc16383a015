"""What is noted while the shapes of one file are built: problems, losses, and where entries may be missing.

Knows the tree as `syntax` left it, not what its keys mean.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from lampwright.diagnostics import Problem
from lampwright.lazily import cached_property
from lampwright.syntax import Mapping, Node, Sequence, Tree
from lampwright.text import Span


class Reader:
    """Collects the problems of one file; it is handed to whatever reads a part of it.

    `known` has by their identity what nodes mean that need not be read.
    """

    def __init__(self, tree: Tree, known: dict[int, Any] | None = None) -> None:
        self.problems: list[Problem] = []
        self.known = known
        self.has_losses = False
        self._tree = tree

    def report(self, kind: str, span: Span, **data: Any) -> None:
        """Note a problem that drops what stands at `span`."""
        self.has_losses = True
        self.remark(kind, span, **data)

    def remark(self, kind: str, span: Span, **data: Any) -> None:
        """Note a problem that drops nothing."""
        self.problems.append(Problem(kind, span, data))

    def apart(self) -> Reader:
        """Another one for the same file, to try how something would be read."""
        return Reader(self._tree)

    @property
    def is_complete(self) -> bool:
        """Whether nothing of the YAML was left out."""
        return self._tree.complete

    def is_root(self, node: Node) -> bool:
        """Whether `node` is the whole file."""
        return node is self._tree.root

    def lacks_entries(self, node: Mapping | Sequence) -> bool:
        """Whether entries of `node` itself may be missing: the text broke off in it, or some were left out."""
        if self.is_complete:
            return False
        if id(node) in self._open:
            return True
        children: Iterable[Node] = node.values() if isinstance(node, Mapping) else node
        inside = [span for span in self._left_out if node.span.holds(span)]
        return any(not any(child.span.holds(span) for child in children) for span in inside)

    @cached_property
    def _open(self) -> set[int]:
        """The containers that were open, or had just been closed, when the text broke off; by identity."""
        node = self._tree.root if _break(self._tree) is not None else None
        found: set[int] = set()
        while isinstance(node, Mapping | Sequence):
            found.add(id(node))
            items = list(node.values() if isinstance(node, Mapping) else node)
            node = items[-1] if items else None
        return found

    @cached_property
    def _left_out(self) -> list[Span]:
        """Entries that were left out, without those that only say again what stands there already."""
        again = {problem.span.start for problem in self._tree.problems if problem.kind == "duplicate-key"}
        return [span for span in self._tree.dropped if span.start not in again]


def without_echoes(tree: Tree, problems: Iterable[Problem]) -> list[Problem]:
    """`problems` without those that only come of the text breaking off: what touches the place or is behind it."""
    end = _break(tree)
    return [problem for problem in problems if end is None or not _is_echo(problem, end)]


def _break(tree: Tree) -> int | None:
    """Where the text broke off. What is behind a second document is left out too, but nothing is missing by that."""
    kinds = ("syntax-error", "unreadable-file")
    return next((problem.span.start for problem in tree.problems if tree.broken and problem.kind in kinds), None)


def _is_echo(problem: Problem, end: int) -> bool:
    if problem.kind in ("syntax-error", "unreadable-file", "unsupported-yaml"):
        return False
    span = problem.span
    awaits_value = problem.data.get("found") == "nothing" and not span.source.text[span.end : end].strip(": \t\r\n")
    return span.end >= end or awaits_value
