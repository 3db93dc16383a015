"""Reads a YAML text into a tree, with what is no YAML, what is too much YAML, and duplicate keys as problems.

Never raises and never recurses. Knows no keys by name; what a mapping may say is the plan floor's matter.
"""

from __future__ import annotations

import unicodedata
from functools import partial

from lampwright.syntax.characters import readable
from lampwright.syntax.comments import comments, is_within
from lampwright.syntax.events import Event, Failure, NextEvent, event_reader, failure
from lampwright.syntax.extents import anchor_and_tag, block_scalar_end
from lampwright.syntax.layout import line_end, past_blanks, past_colon
from lampwright.syntax.nodes import Mapping, Node, Scalar, Sequence, Style, Tree, Unread
from lampwright.syntax.opened import Opened, OpenedMapping, OpenedSequence
from lampwright.syntax.record import Record
from lampwright.text import Source, Span

MAXIMUM_DEPTH = 100

_STYLES: dict[str | None, Style] = {
    None: "plain",
    "": "plain",
    "'": "quoted",
    '"': "quoted",
    "|": "block",
    ">": "block",
}


def parse(source: Source, *, pure: bool = False, before: Tree | None = None) -> Tree:
    """The tree of `source`. `pure` takes the parser that is otherwise the fallback; the result is the same.

    So it is with `before`, the tree of an older text of that file, from which as much is taken as has not changed.
    """
    if before is not None:
        # Only who edits reads a text again.
        from lampwright.syntax.rereading import reread

        tree = reread(source, before, parse)
        if tree is not None:
            return tree
    reading = _Reading(source)
    reading.read(event_reader(reading.text, pure=pure))
    return reading.tree()


class _Reading:
    """A text that is being read: its containers that are open, outermost first, and what was found so far."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.readable = readable(source.text)
        self.text = self.readable.text
        self.is_literal = self.text == source.text
        self.record = Record(source)
        self.root: Node | None = None
        self.opened: list[Opened] = []
        self.starts: list[int] = []
        self.ends: list[int] = []
        self.last: Node | None = None
        self.documents = 0
        self.is_over = False
        self.is_broken = False

    def read(self, next_event: NextEvent) -> None:
        """Takes all events, up to the end or to what cannot be read."""
        take = {
            "ScalarEvent": self._take_scalar,
            "MappingStartEvent": self._open,
            "MappingEndEvent": self._close,
            "SequenceStartEvent": self._open,
            "SequenceEndEvent": self._close,
            "AliasEvent": self._take_alias,
            "DocumentStartEvent": self._start_document,
            "StreamEndEvent": self._end,
        }.get
        while not self.is_over:
            try:
                event = next_event()
            except Exception as error:  # noqa: BLE001 - whatever the parser raises is about the user's text
                self._give_up(failure(error, self.ends[-1] if self.ends else 0, len(self.text)))
                return
            taking = take(type(event).__name__)
            if taking is not None:
                taking(event)

    def tree(self) -> Tree:
        """What was read."""
        self._blame_characters()
        record = self.record
        read = (self.ends[-1] if self.ends else 0) if self.is_broken else len(self.text)
        scan = partial(comments, self.source, self.starts, self.ends, read)
        complete = record.complete and not self.is_broken
        return Tree(self.source, self.root, scan, record.told(), complete, tuple(record.dropped), self.is_broken)

    def _blame_characters(self) -> None:
        """Reports what was put aside before the parser saw it."""
        at = self.readable.strange
        if at is not None:
            character = self.source.text[at]
            self.record.blame("control-character", at, at + 1, character=character, code=f"U+{ord(character):04X}")
        for start, end in self.readable.wide:
            if not is_within(start, self.starts, self.ends):
                self.record.blame("no-break-space", start, end)
                return

    def _holds_strange(self, start: int, end: int) -> bool:
        """Whether the character that is blamed stands there; one on a line of its own is in no value."""
        strange = self.readable.strange
        return strange is not None and start <= strange < end

    def _place(self, node: Node, start: int, end: int, problems: int) -> None:
        """Puts a node into the container that is open. `start` may be an anchor's; `problems` were there before it."""
        self.last = node
        if self.opened:
            self.opened[-1].take(node, start, end, problems)
        else:
            self.root = node

    def _take_scalar(self, event: Event) -> None:
        start, end, problems = event.start_mark.index, event.end_mark.index, len(self.record.problems)
        begin = start if event.anchor is None and event.ctag is None else min(self._past_properties(event), end)
        style = _STYLES[event.style]
        if style == "plain":
            if begin == end:
                self._take_nothing(start, end, problems)
                return
        elif style == "block":
            end = block_scalar_end(self.text, begin, end)
        self.starts.append(begin)
        self.ends.append(end)
        value = event.value.strip() if self.is_literal else self.readable.restored(event.value).strip()
        if not value.isascii():
            value = unicodedata.normalize("NFC", value).strip()
        node: Node = Scalar.at(value, self.source, begin, end, style)
        if not self.is_literal and (self.readable.holds_forbidden(value) or self._holds_strange(begin, end)):
            node = Unread(Span(self.source, begin, end))
            self.record.complete = False
        self._place(node, start, end, problems)

    def _take_nothing(self, start: int, end: int, problems: int) -> None:
        """An empty node; what stands for it is its key, its anchor, or the mark before it."""
        if not self.opened:
            return
        top = self.opened[-1]
        if isinstance(top, OpenedMapping) and top.key is not None:
            span = top.key.span if isinstance(top.key, Scalar) else Span(self.source, top.entry, top.end)
            past = max(end if end > start else 0, past_colon(self.text, span.end))
        elif end > start:
            span, past = Span(self.source, start, end), end
        else:
            at = past_blanks(self.text, top.end) if top.end > top.begin else top.begin
            span, past = Span(self.source, at, at + 1), at + 1
        self._place(Scalar("", span), span.start, past, problems)

    def _take_alias(self, event: Event) -> None:
        start, end, problems = event.start_mark.index, event.end_mark.index, len(self.record.problems)
        self.record.unsupported("alias", start, end)
        self.record.complete = False
        self._place(Unread(Span(self.source, start, end)), start, end, problems)

    def _open(self, event: Event) -> None:
        start, problems = event.start_mark.index, len(self.record.problems)
        if len(self.opened) >= MAXIMUM_DEPTH:
            self.record.report("unreadable-file", start, start + 1, what="depth")
            self._stop()
            return
        begin = start if event.anchor is None and event.ctag is None else self._past_properties(event)
        top = self.opened[-1] if self.opened else None
        owner = top.key if isinstance(top, OpenedMapping) and isinstance(top.key, Scalar) else None
        node = Mapping() if type(event).__name__ == "MappingStartEvent" else Sequence()
        node.flow, node.owner = bool(event.flow_style), owner
        if isinstance(node, Mapping):
            node.written = {}
            self.opened.append(OpenedMapping(self.record, node, start, begin, problems))
        else:
            self.opened.append(OpenedSequence(self.record, node, start, begin, problems))

    def _close(self, event: Event) -> None:
        opened = self.opened.pop()
        opened.settle()
        start, end = event.start_mark.index, event.end_mark.index
        # A block ends with its last child. So does a pair without braces, as in [a: b], which is a flow mapping.
        if not opened.node.flow or start == end:
            end = opened.end
        opened.node.span = Span(self.source, opened.begin, end)
        self._place(opened.node, opened.start, end, opened.problems)

    def _past_properties(self, event: Event) -> int:
        """Reports the anchor and the tag before a node; where the node itself begins."""
        awaited = {mark for mark, given in (("&", event.anchor), ("!", event.ctag)) if given is not None}
        end = event.start_mark.index
        for start, stop in anchor_and_tag(self.text, end, awaited):
            self.record.unsupported("anchor" if self.text[start] == "&" else "tag", start, stop)
            end = stop
        return past_blanks(self.text, end)

    def _end(self, _: Event) -> None:
        self.is_over = True

    def _start_document(self, event: Event) -> None:
        self.documents += 1
        if self.documents > 1:
            start = max(self.text.find("---", event.start_mark.index), event.start_mark.index)
            self.record.unsupported("document", start, start + 3)
            self._stop()
        elif event.tags:
            start = self.text.find("%TAG")
            self.record.unsupported("directive", start, line_end(self.text, start))

    def _give_up(self, failed: Failure) -> None:
        """Reports the syntax error and keeps what was read before it."""
        # No right plan needs the looks for mistakes.
        from lampwright.syntax.mistakes import is_half_read, mistake
        from lampwright.syntax.situation import Around, Situation

        around = tuple(
            Around(opened.begin, opened.node.flow, isinstance(opened.node, Mapping)) for opened in self.opened
        )
        situation = Situation(self.source, failed.at, failed.since, failed.words, self.last, around)
        problem = mistake(situation)
        self.record.add(problem)
        if is_half_read(situation, problem.span):
            self._forget_last()
        self._stop()

    def _forget_last(self) -> None:
        if not self.opened:
            self.root = None
            return
        top = self.opened[-1]
        if not (isinstance(top, OpenedMapping) and top.key is not None):
            top.leave_last()

    def _stop(self) -> None:
        """Closes what is open; a key that waits for its value and a container that holds nothing yet are left out."""
        self.is_over = self.is_broken = True
        while self.opened:
            opened = self.opened.pop()
            opened.settle()
            above = self.opened[-1] if self.opened else None
            is_value = not isinstance(above, OpenedMapping) or above.key is not None
            if opened.node and is_value:
                opened.node.span = Span(self.source, opened.begin, opened.end)
                self._place(opened.node, opened.start, opened.end, opened.problems)
            elif isinstance(above, OpenedMapping):
                above.key = None
