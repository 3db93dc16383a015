"""The tree of a YAML text: strings, dicts and lists that know where they stand, and the comments between them.

Every scalar is text as written; what it means is read on higher floors.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Literal, Self, TypeAlias

from lampwright.diagnostics import Problem
from lampwright.lazily import cached_property
from lampwright.records import dataclass
from lampwright.text import Source, Span

if TYPE_CHECKING:
    from lampwright.syntax.anchored import Ground

Style = Literal["plain", "quoted", "block"]


class Scalar(str):
    """A piece of text: unescaped, NFC-normalised and without outer whitespace.

    `span` includes the quotes. Where nothing is written it is the nearest text that stands for it: the key, or the
    dash of a list item.
    """

    # A span of its own for each would double the time that reading takes: most are never asked for.
    __slots__ = ("end", "source", "start", "style")

    source: Source
    start: int
    end: int
    style: Style

    def __new__(cls, value: str, span: Span, style: Style = "plain") -> Self:
        """A scalar of that value, which is taken as it is."""
        return cls.at(value, span.source, span.start, span.end, style)

    @classmethod
    def at(cls, value: str, source: Source, start: int, end: int, style: Style) -> Self:
        """The same from the parts of its span."""
        scalar = str.__new__(cls, value)
        scalar.source = source
        scalar.start = start
        scalar.end = end
        scalar.style = style
        return scalar

    @property
    def span(self) -> Span:
        """Where it stands, never empty."""
        return Span(self.source, self.start, self.end)

    @property
    def is_empty(self) -> bool:
        """Whether no text is written for it, not even quotes."""
        return not self and self.style == "plain"

    def part(self, start: int, end: int) -> Span:
        """Where the characters `start` to `end` of the value stand; the whole span if they do not stand literally."""
        written = self.span.text
        if self.style == "plain":
            offset = 0 if written == self else -1
        elif self.style == "quoted":
            inner = written[1:-1]
            offset = 1 + len(inner) - len(inner.lstrip()) if inner.strip() == self else -1
        else:
            offset = written.find(self, written.find("\n") + 1)
        return self.span if offset < 0 else self.span.part(offset + start, offset + end)


class Mapping(dict[Scalar, "Node"]):
    """Keys and values in the order of the text, without later duplicates. `owner` is the key it stands under."""

    __slots__ = ("flow", "owner", "span", "written")

    span: Span
    owner: Scalar | None
    flow: bool
    written: dict[str, Scalar]

    def value(self, text: str) -> Node | None:
        """What stands under the key of that text."""
        return self.get(text)  # type: ignore[call-overload,no-any-return]  # a Scalar is equal to its text

    def key(self, text: str) -> Scalar | None:
        """The key of that text as written, with its span."""
        return self.written.get(text)


class Sequence(list["Node"]):
    """The items of a list. `owner` is the key it stands under."""

    __slots__ = ("flow", "owner", "span")

    span: Span
    owner: Scalar | None
    flow: bool


@dataclass(frozen=True, slots=True)
class Unread:
    """A node that a problem was already reported for; readers drop it in silence."""

    span: Span


Node: TypeAlias = Scalar | Mapping | Sequence | Unread


@dataclass(frozen=True, slots=True)
class Comment:
    """A comment from its `#` to the end of the line; `own_line` if nothing stands before it."""

    span: Span
    text: str
    own_line: bool


@dataclass(frozen=True, eq=False)
class Tree:
    """All that was read of a text. `complete` is False if it ended in a syntax error or any node was dropped.

    `scan` finds its comments: few who have a tree ask for them. `dropped` are the places of entries that were left out:
    later duplicates, merge keys, keys that are no text. `broken` is True if reading stopped before the end of the text.
    `ground` is what its places hang on if it was read after an older text, whose entries it has taken over.
    """

    source: Source
    root: Node | None
    scan: Callable[[], tuple[Comment, ...]] = tuple
    problems: tuple[Problem, ...] = ()
    complete: bool = True
    dropped: tuple[Span, ...] = ()
    broken: bool = False
    ground: Ground | None = None

    @cached_property
    def comments(self) -> tuple[Comment, ...]:
        """All of them, in the order of the text."""
        return self.scan()

    @property
    def is_spent(self) -> bool:
        """Whether a newer tree has taken over its entries, whose places are those in the newer text now."""
        return self.ground is not None and self.ground.source is not self.source
