"""Text with places in it: offsets become lines and columns, spans become edits.

Offsets and columns count Unicode code points. Knows no YAML and no lamps; `lampwright_lsp` asks it for UTF-16.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from itertools import accumulate, islice

from lampwright.lazily import cached_property
from lampwright.patterns import pattern
from lampwright.records import dataclass, field

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Literal

    Encoding = Literal["utf-8", "utf-16", "utf-32"]
else:
    Encoding = str

# Comparing takes long, and nobody looks for the rest.
_MOST_COMPARED, _LONGEST_COMPARED = 500, 100

# Below this likeness (0 to 1) two words are different words: "rear" and "near" are 0.75, "fro" and "front" 0.75.
_NEAR = 0.7

# The Language Server Protocol knows these three line ends; YAML knows more (U+0085, U+2028), which are text to us.
_LINE_END = pattern(r"\r\n|\r|\n")


@dataclass(frozen=True, slots=True, order=True)
class Position:
    """A line and a column, both from 1; the column counts code points."""

    line: int
    column: int


@dataclass(frozen=True, eq=False)
class Source:
    """A text with the name that the user sees for it. `text` never holds the byte order mark; `bom` tells of it.

    `fault` tells why the text is not what the file holds: "encoding" (at `fault_offset`) or "size".
    """

    name: str
    text: str = field(repr=False)
    bom: bool = False
    fault: str | None = None
    fault_offset: int = 0

    @cached_property
    def line_starts(self) -> list[int]:
        """The offset at which each line begins."""
        if "\r" in self.text:
            return [0, *[match.end() for match in _LINE_END.finditer(self.text)]]
        # An editor asks anew with each key; this takes a third of the time.
        *lines, _ = self.text.split("\n")
        return list(accumulate([len(line) + 1 for line in lines], initial=0))

    def position(self, offset: int) -> Position:
        """The line and column of `offset`, which is brought into the text first."""
        offset = min(max(offset, 0), len(self.text))
        line = bisect_right(self.line_starts, offset)
        return Position(line, offset - self.line_starts[line - 1] + 1)

    def offset(self, position: Position) -> int:
        """The offset of `position`; a column past the end of its line means the end of that line."""
        if position.line > len(self.line_starts):
            return len(self.text)
        start = self.line_starts[max(position.line, 1) - 1]
        return min(start + max(position.column, 1) - 1, start + len(self.line(position.line)))

    def line(self, number: int) -> str:
        """Line `number`, from 1, without its line end."""
        start = self.line_starts[number - 1]
        end = self.line_starts[number] if number < len(self.line_starts) else len(self.text)
        return self.text[start:end].rstrip("\r\n")

    def units_before(self, offset: int, encoding: Encoding) -> int:
        """How many code units of `encoding` stand on the line of `offset` before it."""
        return self.units_at(self.position(offset), encoding)

    def units_at(self, position: Position, encoding: Encoding) -> int:
        """How many code units of `encoding` stand on the line of `position`, which is in the text, before it."""
        start = self.line_starts[position.line - 1]
        return _units(self.text[start : start + position.column - 1], encoding)

    def offset_of_units(self, line: int, units: int, encoding: Encoding) -> int:
        """The offset `units` code units of `encoding` into `line` (from 1); one inside a character means its start."""
        if line > len(self.line_starts):
            return len(self.text)
        return self.line_starts[line - 1] + index_of_units(self.line(line), units, encoding)

    def span(self, start: int, end: int) -> Span:
        """The span from `start` to `end`, both offsets, the end exclusive."""
        return Span(self, start, end)


def _units(text: str, encoding: Encoding) -> int:
    if encoding == "utf-32" or text.isascii():
        return len(text)
    if encoding == "utf-16":
        return len(text) + sum(character > "\uffff" for character in text)
    return len(text.encode("utf-8", "surrogatepass"))


def index_of_units(line: str, units: int, encoding: Encoding) -> int:
    """How many characters of `line` stand before `units`, brought into it; inside a character means its start."""
    if units <= 0:
        return 0
    if encoding == "utf-32" or line.isascii():
        return min(units, len(line))
    if encoding == "utf-16":
        data = line.encode("utf-16-le", "surrogatepass")
        is_second = 2 * units < len(data) and 0xDC <= data[2 * units + 1] <= 0xDF
        if is_second and 0xD8 <= data[2 * units - 1] <= 0xDB:
            units -= 1
        return len(data[: 2 * units].decode("utf-16-le", "surrogatepass"))
    data = line.encode("utf-8", "surrogatepass")
    while units < len(data) and data[units] & 0xC0 == 0x80:
        units -= 1
    return len(data[:units].decode("utf-8", "surrogatepass"))


@dataclass(frozen=True, slots=True)
class Span:
    """A piece of a source: `start` to `end`, exclusive, in code points."""

    source: Source
    start: int
    end: int

    @property
    def text(self) -> str:
        """What stands there."""
        return self.source.text[self.start : self.end]

    def moves_with(self, other: Span) -> bool:
        """Whether `other` is this place and stays so in any newer text."""
        return other.__class__ is self.__class__ and self == other

    def pinned(self) -> Span:
        """The same place, which stays in this text whatever becomes of its entry in a newer one."""
        return self

    def part(self, start: int, end: int) -> Span:
        """A piece of this piece, by offsets from its own start."""
        return Span(self.source, self.start + start, self.start + end)

    def to(self, other: Span) -> Span:
        """From the start of this span to the end of `other`."""
        return Span(self.source, self.start, other.end)

    def holds(self, other: Span) -> bool:
        """Whether `other` lies in this span."""
        return self.source is other.source and self.start <= other.start and other.end <= self.end


@dataclass(frozen=True, slots=True)
class Edit:
    """Put `text` in the place of `span`; an empty span inserts."""

    span: Span
    text: str


def apply(source: Source, edits: Iterable[Edit]) -> str:
    """The text of `source` after `edits`.

    Raises ValueError if two of them overlap or one belongs to another source: a fix is applied whole or not at all.
    """
    pieces: list[str] = []
    at = 0
    for edit in sorted(edits, key=lambda edit: (edit.span.start, edit.span.end)):
        if edit.span.source is not source:
            raise ValueError(f"an edit of {edit.span.source.name} cannot be applied to {source.name}")
        if edit.span.start < at:
            raise ValueError(f"edits of {source.name} overlap at offset {edit.span.start}")
        pieces += source.text[at : edit.span.start], edit.text
        at = edit.span.end
    return "".join([*pieces, source.text[at:]])


def nearest(word: str, choices: Iterable[str]) -> tuple[str, ...]:
    """The choices that `word` was probably meant to be, best first, at most three; capitals do not count.

    One that differs in nothing but capitals, spaces, hyphens and underscores leaves no doubt.
    """
    # Only a mistake needs this import, and every right plan would pay for it.
    from difflib import SequenceMatcher

    folded = word.strip().casefold()[:_LONGEST_COMPARED]
    same: list[str] = []
    scored: list[tuple[float, str]] = []
    for choice in islice(choices, _MOST_COMPARED):
        other = choice.casefold()[:_LONGEST_COMPARED]
        if choice != word and _bare(folded) == _bare(other):
            same.append(choice)
        ratio = SequenceMatcher(None, folded, other).ratio()
        if ratio >= _NEAR or _is_one_slip(folded, other):
            scored.append((-ratio, choice))
    return tuple(same or [choice for _, choice in sorted(scored)])[:3]


def _bare(word: str) -> str:
    return word.translate(_LOOSE)


# A nought and an o, a one and an l look alike: H0 is meant to be HO.
_LOOSE = str.maketrans("01", "ol", " -_")


def _is_one_slip(word: str, other: str) -> bool:
    """Whether one letter stands for another, or two have changed places: likeness alone misses that in short words."""
    if len(word) != len(other) or not (word.isalpha() and other.isalpha()):
        return False
    wrong = [index for index, (one, two) in enumerate(zip(word, other, strict=True)) if one != two]
    if len(wrong) == 1:
        return len(word) > 2
    are_neighbours = len(wrong) == 2 and wrong[1] == wrong[0] + 1
    return are_neighbours and sorted(word[at] for at in wrong) == sorted(other[at] for at in wrong)
