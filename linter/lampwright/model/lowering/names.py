"""Looks names up and notes those that are not defined."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from lampwright.diagnostics import Problem
from lampwright.plan.words import Word
from lampwright.text import Span


class Notes:
    """Collects the problems of one file while it is lowered."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def report(self, kind: str, span: Span, **data: Any) -> None:
        """Note a problem."""
        self.problems.append(Problem(kind, span, data))

    def unknown(self, what: str, word: Word, choices: Iterable[str]) -> None:
        """Note that `word` names no `what`; `choices` are those that exist."""
        self.report("unknown-name", word.span, what=what, written=word.text, choices=tuple(choices))
