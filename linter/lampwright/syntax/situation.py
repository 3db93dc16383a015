"""What is known when the parser gives up, and the closed set of causes that are guessed from it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from lampwright.diagnostics import Problem
from lampwright.syntax.layout import before_spaces, line_end
from lampwright.syntax.nodes import Node, Scalar
from lampwright.text import Source, Span

# Each cause with the place that is reported for it.
CAUSES = {
    "tab": "a tab where YAML wants spaces: the tab",
    "missing-space": "`key:value`: all of it",
    "missing-colon": "a line that should have been a key: its text",
    "missing-comma": "two entries in brackets with nothing between: the beginning of the second",
    "extra-comma": "a comma with nothing before it, or outside brackets: the comma",
    "second-colon": "a value with a colon in it: the value",
    "unclosed-quote": "a quote that never ends, or ends in the next one: the opening quote",
    "text-after-quote": "text after the closing quote, as in 'Fred's engine': from the opening quote on",
    "bad-escape": "a backslash in double quotes that means nothing: the backslash with its letter",
    "unclosed-bracket": "[ or { that never ends, or ends in the other one: the bracket",
    "unopened-bracket": "] or } without its partner: the bracket",
    "text-after-bracket": "text after a value in brackets: from the bracket on",
    "bad-indentation": "a line that fits no level above it: its blanks",
    "item-among-keys": "a list item on a level of keys: its dash",
    "key-among-items": "a key on a level of list items: its text",
    "reserved-character": "@ ` % & * ! | > - ? where they mean something else: the character",
    "no-break-space": "indentation by blanks that are no spaces: the indentation",
    "control-character": "a character that no YAML may hold: the character",
    "merge-conflict": "a line that version control left behind: the line",
    "other": "anything else: the word at which the parser stopped",
}

_UP_TO_COMMENT = re.compile(r"(?:(?![ \t]#)[^\r\n])*")
_UP_TO_COMMENT_OR_BRACKET = re.compile(r"(?:(?![ \t]#)[^\r\n,\[\]{}])*")


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
        """Where the text from `start` ends on its line, without a comment and, between brackets, before the next one."""
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
