"""Places that move: what hangs on an anchor stands further on when the text before it has grown.

So an entry that nobody has changed is in the next text the very object that it was in the last one, and so is all that
was found out about it. Only who edits reads a text again and needs this.
"""

from __future__ import annotations

from typing import Self

from lampwright.syntax.nodes import Scalar, Style
from lampwright.text import Source, Span


class Ground:
    """The text that anchors stand in: from one reading to the next, it is another one for all of them."""

    __slots__ = ("source",)

    def __init__(self, source: Source) -> None:
        self.source = source


class Anchor:
    """Where an entry begins."""

    __slots__ = ("ground", "offset")

    def __init__(self, ground: Ground, offset: int) -> None:
        self.ground = ground
        self.offset = offset


class AnchoredSpan(Span):
    """A span that counts from an anchor. It is equal to the span that stands at the same place now.

    So is its hash: a set or a table of such spans is good for one text, and must not be kept for the next.
    """

    __slots__ = ("anchor", "first", "last")

    # As fast as other objects are made; what is frozen takes twice as long.
    __setattr__ = object.__setattr__

    def __init__(self, anchor: Anchor, first: int, last: int) -> None:
        self.anchor = anchor
        self.first = first
        self.last = last

    @property
    def source(self) -> Source:
        """The text that it is in now."""
        return self.anchor.ground.source

    @property
    def start(self) -> int:
        """Where it begins now."""
        return self.anchor.offset + self.first

    @property
    def end(self) -> int:
        """Where it ends now, exclusive."""
        return self.anchor.offset + self.last

    def moves_with(self, other: Span) -> bool:
        """Whether `other` is this place and stays so in any newer text."""
        is_beside = isinstance(other, AnchoredSpan) and other.anchor is self.anchor
        return is_beside and self == other

    def pinned(self) -> Span:
        """A span that stays where this one is now."""
        return Span(self.source, self.start, self.end)

    def part(self, start: int, end: int) -> Span:
        """A piece of this piece, which moves with it."""
        return AnchoredSpan(self.anchor, self.first + start, self.first + end)

    def to(self, other: Span) -> Span:
        """From the start of this span to the end of `other`; moves if both hang on one anchor."""
        if isinstance(other, AnchoredSpan) and other.anchor is self.anchor:
            return AnchoredSpan(self.anchor, self.first, other.last)
        return Span(self.source, self.start, other.end)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Span):
            return NotImplemented
        return self.start == other.start and self.end == other.end and self.source is other.source

    def __hash__(self) -> int:
        return hash((self.source, self.start, self.end))


class AnchoredScalar(Scalar):
    """A scalar that counts from an anchor."""

    __slots__ = ("anchor", "first", "last")

    anchor: Anchor
    first: int
    last: int

    @classmethod
    def hung(cls, value: str, anchor: Anchor, first: int, last: int, style: Style) -> Self:
        """A scalar of that value, so far behind `anchor`."""
        scalar = str.__new__(cls, value)
        scalar.anchor = anchor
        scalar.first = first
        scalar.last = last
        scalar.style = style
        return scalar

    @property
    def source(self) -> Source:  # type: ignore[override]  # moves, where other scalars stand
        """The text that it is in now."""
        return self.anchor.ground.source

    @property
    def start(self) -> int:  # type: ignore[override]  # moves, where that of other scalars is set
        """Where it begins now."""
        return self.anchor.offset + self.first

    @property
    def end(self) -> int:  # type: ignore[override]  # the same
        """Where it ends now, exclusive."""
        return self.anchor.offset + self.last

    @property
    def span(self) -> Span:
        """Where it stands; moves with it."""
        return AnchoredSpan(self.anchor, self.first, self.last)
