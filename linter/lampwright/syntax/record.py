"""What a reading notes beside the tree: problems, what was left out, and whether anything is missing."""

from __future__ import annotations

from typing import Any

from lampwright.diagnostics import Problem
from lampwright.text import Source, Span


class Record:
    """Notes of one reading. A text has one syntax error at most, the first: what follows is often its echo."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.problems: list[Problem] = []
        self.syntax_error: Problem | None = None
        self.dropped: list[Span] = []
        self.complete = True

    def span(self, start: int, end: int) -> Span:
        """A span of the text."""
        return Span(self.source, start, end)

    def report(self, kind: str, start: int, end: int, **data: Any) -> None:
        """Notes a problem."""
        self.problems.append(Problem(kind, self.span(start, end), data))

    def unsupported(self, what: str, start: int, end: int) -> None:
        """Notes something that is YAML, but more of it than a plan needs."""
        self.report("unsupported-yaml", start, end, what=what)

    def blame(self, cause: str, start: int, end: int, **data: Any) -> None:
        """Notes a syntax error that the parser lets pass."""
        self.add(Problem("syntax-error", self.span(start, end), {"cause": cause, **data}))

    def add(self, problem: Problem) -> None:
        """Notes a problem; of syntax errors the first one stays."""
        if problem.kind != "syntax-error":
            self.problems.append(problem)
        elif self.syntax_error is None or problem.span.start < self.syntax_error.span.start:
            self.syntax_error = problem

    def leave_out(self, start: int, end: int, before: int, after: int | None = None) -> None:
        """Notes that an entry is dropped and forgets what was reported in it: the problems from `before` to `after`."""
        del self.problems[before:after]
        self.dropped.append(self.span(start, end))
        self.complete = False

    def told(self) -> tuple[Problem, ...]:
        """All problems in the order of the text."""
        error = [self.syntax_error] if self.syntax_error else []
        return tuple(sorted([*self.problems, *error], key=lambda problem: problem.span.start))
