"""What is known when the parser gives up; the looks for mistakes guess the cause from it."""

from __future__ import annotations

from typing import Any

from lampwright.diagnostics import Problem
from lampwright.patterns import pattern
from lampwright.records import dataclass
from lampwright.syntax.layout import before_spaces, line_end
from lampwright.syntax.nodes import Node, Scalar
from lampwright.text import Source, Span

_UP_TO_COMMENT = pattern(r"(?:(?![ \t]#)[^\r\n])*")
_UP_TO_COMMENT_OR_BRACKET = pattern(r"(?:(?![ \t]#)[^\r\n,\[\]{}])*")


@dataclass(frozen=True, slots=True)
class Around:
    """A container that is open: where it begins and what it is."""

    start: int
    flow: bool
    is_mapping: bool


@dataclass(frozen=True, slots=True)
class Situation:
    """The parser gave up at `at`, over something that began at `since`; `words` are its own.

    `last` is the node that was read last. `around` are the containers that are open, outermost first.
    """

    source: Source
    at: int
    since: int | None
    words: str
    last: Node | None
    around: tuple[Around, ...]

    @property
    def text(self) -> str:
        """The whole text."""
        return self.source.text

    @property
    def here(self) -> str:
        """The character at which the parser stopped, "" at the end."""
        return self.text[self.at : self.at + 1]

    @property
    def start(self) -> int:
        """Where the thing began that the parser was reading."""
        return self.at if self.since is None else self.since

    @property
    def in_flow(self) -> bool:
        """Whether the place is between brackets."""
        return bool(self.around) and self.around[-1].flow

    @property
    def last_here(self) -> Node | None:
        """The node that was read last, if nothing but spaces is between it and the place."""
        if self.last is None or self.last.span.end > self.at:
            return None
        return None if self.text[self.last.span.end : self.at].strip(" \t") else self.last

    @property
    def quoted_here(self) -> Scalar | None:
        """The same, if it is in quotes."""
        last = self.last_here
        return last if isinstance(last, Scalar) and last.style == "quoted" else None

    def value_end(self, start: int) -> int:
        """Where the text from `start` ends on its line: before a comment and, between brackets, before the next one."""
        pattern = _UP_TO_COMMENT_OR_BRACKET if self.in_flow else _UP_TO_COMMENT
        match = pattern.match(self.text, start)
        return max(before_spaces(self.text, match.end()), start) if match else start

    def syntax_error(self, cause: str, start: int, end: int, **data: Any) -> Problem:
        """The problem, with a place that is empty only at the end of the text."""
        end = min(max(end, start + 1), len(self.text))
        span = Span(self.source, min(start, end), end)
        return Problem("syntax-error", span, {"cause": cause, **data, "detail": self.words})

    def opener(self, at: int) -> dict[str, Any]:
        """What to tell of the quote or bracket at `at`."""
        return {"character": self.text[at : at + 1], "opened": Span(self.source, at, at + 1)}


def is_multi_line(span: Span) -> bool:
    """Whether it goes on over a line end."""
    return line_end(span.source.text, span.start) < span.end
