"""What is noted while the shapes of one file are built: problems, losses, and where entries may be missing.

Knows the tree as `syntax` left it, not what its keys mean.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from typing import Any

from lampwright.diagnostics import Problem
from lampwright.syntax import Mapping, Node, Sequence, Tree
from lampwright.text import Span


class Reader:
    """Collects the problems of one file; pydantic hands it to every validator."""

    def __init__(self, tree: Tree) -> None:
        self.problems: list[Problem] = []
        self.has_losses = False
        self._tree = tree

    def report(self, kind: str, span: Span, **data: Any) -> None:
        """Note a problem that drops what stands at `span`."""
        self.has_losses = True
        self.remark(kind, span, **data)

    def remark(self, kind: str, span: Span, **data: Any) -> None:
        """Note a problem that drops nothing."""
        self.problems.append(Problem(kind, span, data))

    def told(self) -> list[Problem]:
        """The problems, without the echo of a text that broke off: those behind it, and a last key without value."""
        end, root = self._break, self._tree.root
        if end is None or root is None:
            return self.problems
        return [
            problem
            for problem in self.problems
            if problem.span.start <= end
            and not (problem.data.get("found") == "nothing" and problem.span.end >= root.span.end - 1)
        ]

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
        root = self._tree.root
        if self._break is not None and root is not None and node.span.end >= root.span.end:
            return True
        children: Iterable[Node] = node.values() if isinstance(node, Mapping) else node
        inside = [span for span in self._left_out if node.span.holds(span)]
        return any(not any(child.span.holds(span) for child in children) for span in inside)

    @cached_property
    def _break(self) -> int | None:
        """Where the text broke off."""
        for problem in self._tree.problems:
            # Only where the parser gave up, its own words are there; other errors of syntax were read past.
            gave_up = problem.kind == "syntax-error" and "detail" in problem.data
            if gave_up or problem.kind == "unreadable-file":
                return problem.span.start
        return None

    @cached_property
    def _left_out(self) -> list[Span]:
        """Entries that were left out, without those that only say again what stands there already."""
        again = {problem.span.start for problem in self._tree.problems if problem.kind == "duplicate-key"}
        return [span for span in self._tree.dropped if span.start not in again]
