"""One line each, `file:line:column: words`, for commands that say something of a place beside a report."""

from __future__ import annotations

from lampwright.diagnostics import Finding
from lampwright.harmless import visible
from lampwright.text import Span


def line_of(span: Span, words: str) -> str:
    """The place of `span` and `words`, with nothing in them that a terminal would obey."""
    position = span.source.position(span.start)
    return visible(f"{span.source.name}:{position.line}:{position.column}: {words}")


def line_of_finding(finding: Finding) -> str:
    """A finding as compilers write theirs."""
    return line_of(finding.span, f"{finding.level.word}: {finding.message} [{finding.rule}]")
