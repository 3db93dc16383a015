"""Where what stood in an older text of a file stands now: in the lines that nothing has changed. Knows no YAML."""

from __future__ import annotations

from dataclasses import dataclass

from lampwright.text import Source, Span


@dataclass(frozen=True, slots=True)
class Unchanged:
    """The whole lines at the start of two texts of a file that are alike, and those at the end: `head`, `tail` long."""

    older: Source
    newer: Source
    head: int
    tail: int

    def offset_then(self, offset: int) -> int | None:
        """Where in the older text the character was that stands at `offset` in the newer; None if it is new."""
        return _moved(offset, offset, self, len(self.newer.text), len(self.older.text))

    def span_now(self, span: Span) -> Span | None:
        """Where in the newer text stands what was at `span` in the older; None if any of it was changed."""
        start = _moved(span.start, span.end, self, len(self.older.text), len(self.newer.text))
        return None if start is None else self.newer.span(start, start + span.end - span.start)


def unchanged(older: Source, newer: Source) -> Unchanged:
    """What is alike in two texts; a line that was changed counts as a whole."""
    before, now = older.text.split("\n"), newer.text.split("\n")
    most = min(len(before), len(now))
    first = next((index for index in range(most) if before[index] != now[index]), most)
    ends = range(1, most - first + 1)
    last = next((index - 1 for index in ends if before[-index] != now[-index]), most - first)
    head = sum(len(line) + 1 for line in before[:first])
    return Unchanged(older, newer, min(head, len(older.text), len(newer.text)), _length(before[len(before) - last :]))


def _length(lines: list[str]) -> int:
    return sum(map(len, lines)) + max(len(lines) - 1, 0)


def _moved(start: int, end: int, kept: Unchanged, length: int, other: int) -> int | None:
    """`start` in a text of `length` as it is in the other one, if all up to `end` is in lines that were kept."""
    # The end of the head is the start of a line that was changed.
    if end < kept.head or (end == length == other == kept.head):
        return start
    if kept.tail and start >= length - kept.tail:
        return start - length + other
    return None
