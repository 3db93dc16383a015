"""Where everything of a circuit lies: boxes in boxes, series from left to right, parallels one below the other.

A long circuit goes on in the next row. All wires meet at the ends of the elements, so that a picture can be read back.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from itertools import count
from typing import Protocol

from lampwright.account.wiring import End, Ends, Label, label_of
from lampwright.model.circuit import Chain, Element, Parallel
from lampwright.records import dataclass
from lampwright.render.wiring_as_svg.paper import COLOURS, Paper
from lampwright.render.wiring_as_svg.symbols import BODY, WIDTH, shapes

_LEAD = 6.0
_CELL = WIDTH + 2 * _LEAD
_ABOVE, _BELOW, _LINE = 32.0, 32.0, 13.0
_BUS = 16.0
_GAP = 8.0
_END = 118.0
_ROW = 760.0
"""The width of a row, after which the next one begins: three quarters of a page."""
_LETTERS, _SMALL_LETTERS, _END_LETTERS, _NAME_LINES = 16, 21, 22, 2
"""How many letters of 11 and of 9 pixels fit below an element, and beside an end; a bold one is 7 pixels wide."""


class Box(Protocol):
    """Something with a wire through it from left to right; `up` and `down` are what it needs above and below that."""

    @property
    def width(self) -> float:
        """From the beginning of its wire to the end."""

    @property
    def up(self) -> float:
        """Above its wire."""

    @property
    def down(self) -> float:
        """Below its wire."""

    def draw(self, paper: Paper, x: float, y: float) -> None:
        """Draw it, with its wire at the height `y` and beginning at `x`."""


def laid_out(circuit: Chain, ends: Ends, *, has_sleeves: bool) -> _Page:
    """A circuit with its ends. `has_sleeves` shows where the bare leads of lamps are to be insulated.

    What returns to a rail inside it shows that anyway.
    """
    numbers = count()
    parts = [_box(part, f"{place}", numbers, has_sleeves) for place, part in enumerate(circuit.elements)]
    return _Page(tuple(_rows(parts)), ends)


def _box(element: Element, path: str, numbers: Iterator[int], has_sleeves: bool) -> Box:  # noqa: FBT001
    match element:
        case Chain(elements=parts):
            has_sleeves = has_sleeves or element.rail_span is not None
            inside = [_box(part, f"{path}.series.{place}", numbers, has_sleeves) for place, part in enumerate(parts)]
            return _Series(tuple(inside), from_rail=element.rail_span is not None)
        case Parallel(branches=branches):
            return _Parallel(tuple(_branches(branches, path, numbers, has_sleeves)))
    label = label_of(element)
    return _Cell(label, path, next(numbers), has_sleeves and label.kind in ("led", "bulb"))


def _branches(
    branches: Sequence[Chain],
    path: str,
    numbers: Iterator[int],
    has_sleeves: bool,  # noqa: FBT001
) -> Iterator[_Series]:
    for number, branch in enumerate(branches):
        is_bare = has_sleeves or branch.rail_span is not None
        inside = [
            _box(part, f"{path}.parallel.{number}.{place}", numbers, is_bare)
            for place, part in enumerate(branch.elements)
        ]
        yield _Series(tuple(inside), from_rail=branch.rail_span is not None)


def _rows(parts: Sequence[Box]) -> Iterator[_Series]:
    row: list[Box] = []
    for part in parts:
        if row and sum(each.width for each in row) + part.width > _ROW:
            yield _Series(tuple(row))
            row = []
        row.append(part)
    yield _Series(tuple(row))


# --- The boxes --------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Cell:
    """One element with what is written below it."""

    label: Label
    path: str
    number: int
    has_sleeves: bool

    @property
    def width(self) -> float:
        return _CELL

    @property
    def up(self) -> float:
        return _ABOVE

    @property
    def down(self) -> float:
        return _BELOW + _LINE * len(self._lines)

    @property
    def _lines(self) -> list[tuple[str, int]]:
        """What is written below the symbol, each line with its size."""
        name, *rest = self.label.lines
        said = [*_wrapped(name), *(line for text in rest for line in textwrap.wrap(text, _LETTERS))]
        small = textwrap.wrap(" ".join(self.label.bands), _SMALL_LETTERS)
        if self.has_sleeves:
            small.append("sleeves on both leads")
        return [*((line, 11) for line in said), *((line, 9) for line in small)]

    def draw(self, paper: Paper, x: float, y: float) -> None:
        """The symbol between two leads."""
        paper.wire((x, y), (x + _LEAD, y))
        paper.wire((x + _LEAD + WIDTH, y), (x + _CELL, y))
        about = {
            "data-kind": self.label.kind,
            "data-number": f"{self.number}",
            "data-path": self.path,
            **({"data-reversed": "yes"} if self.label.is_reversed else {}),
        }
        said = [*self.label.lines, *([f"bands {' '.join(self.label.bands)}"] if self.label.bands else [])]
        group = paper.group(x + _LEAD, y, about, ", ".join(said), ())
        self._draw_symbol(group)
        if self.has_sleeves:
            for left in (4.0, WIDTH - 30.0):
                group.box(
                    left, -5, 26, 10, rx="4", fill="none", stroke="#777", stroke_width="1", stroke_dasharray="3 2"
                )
        names = _wrapped(self.label.name) if self.label.kind in ("led", "bulb") else []
        for line, (text, size) in enumerate(self._lines):
            weight = "bold" if line < len(names) else "normal"
            paper.words(x + _CELL / 2, y + _BELOW + _LINE * line, text, size=size, weight=weight)

    def _draw_symbol(self, group: Paper) -> None:
        for shape in shapes(self.label.kind):
            if self.label.is_reversed:
                shape.set("transform", f"matrix(-1 0 0 1 {WIDTH:g} 0)")
            group.picture.append(shape)
        if self.label.kind == "led":
            plus, minus = (WIDTH - 14, 14) if self.label.is_reversed else (14, WIDTH - 14)
            for place, sign in ((plus, "+"), (minus, "\N{MINUS SIGN}")):
                group.sign(place, -8, sign)
        begin, end = BODY
        step = (end - begin) / (len(self.label.bands) + 1)
        for number, colour in enumerate(self.label.bands, 1):
            shown = COLOURS[colour]
            group.box(begin + step * number - 2, -9, 4, 18, fill=shown, stroke="#111", stroke_width="0.5")


@dataclass(frozen=True, slots=True)
class _Series:
    """Boxes in a row; `from_rail` where a rail feeds them instead of what is on their left."""

    parts: tuple[Box, ...]
    from_rail: bool = False

    @property
    def width(self) -> float:
        return sum(part.width for part in self.parts) + (_END / 2 if self.from_rail else 0.0)

    @property
    def up(self) -> float:
        return max((part.up for part in self.parts), default=_GAP)

    @property
    def down(self) -> float:
        return max((part.down for part in self.parts), default=_GAP)

    def draw(self, paper: Paper, x: float, y: float) -> None:
        """One after the other."""
        if self.from_rail:
            x += _END / 2
            paper.words(x - 2, y - 6, "from a rail", anchor="end", size=9)
            paper.joint(x - 2, y)
        for part in self.parts:
            part.draw(paper, x, y)
            x += part.width


@dataclass(frozen=True, slots=True)
class _Parallel:
    """Branches one below the other, between two upright wires."""

    branches: tuple[_Series, ...]

    @property
    def width(self) -> float:
        return max((branch.width for branch in self.branches), default=0.0) + 2 * _BUS

    @property
    def _height(self) -> float:
        return sum(branch.up + branch.down for branch in self.branches) + _GAP * (len(self.branches) - 1)

    @property
    def _lines(self) -> list[float]:
        """The height of the wire of each branch below the top of the first."""
        lines, top = [], 0.0
        for branch in self.branches:
            lines.append(top + branch.up)
            top += branch.up + branch.down + _GAP
        return lines

    @property
    def up(self) -> float:
        lines = self._lines
        return (lines[0] + lines[-1]) / 2 if lines else _GAP

    @property
    def down(self) -> float:
        return self._height - self.up if self.branches else _GAP

    def draw(self, paper: Paper, x: float, y: float) -> None:
        """The branches begin at the left wire; a wire leads on from each to the right one."""
        right = x + self.width
        heights = [y - self.up + line for line in self._lines]
        upright = sorted(
            {y, *(height for height, each in zip(heights, self.branches, strict=True) if not each.from_rail)}
        )
        paper.wire(*((x, height) for height in upright))
        paper.wire(*((right, height) for height in sorted({y, *heights})))
        paper.joint(x, y)
        paper.joint(right, y)
        for height, branch in zip(heights, self.branches, strict=True):
            if not branch.from_rail:
                paper.wire((x, height), (x + _BUS, height))
            branch.draw(paper, x + _BUS, height)
            paper.wire((x + _BUS + branch.width, height), (right, height))


@dataclass(frozen=True, slots=True)
class _Page:
    """The rows of a circuit, with both ends."""

    rows: tuple[_Series, ...]
    ends: Ends

    @property
    def width(self) -> float:
        return max(row.width for row in self.rows) + 2 * _END

    @property
    def height(self) -> float:
        return sum(row.up + row.down for row in self.rows) + 2 * _GAP * (len(self.rows) - 1)

    def draw(self, paper: Paper, x: float, top: float) -> None:
        """From the upper left corner."""
        left, right = x + _END, x + self.width - _END
        above: float | None = None
        for row in self.rows:
            y = top + row.up
            if above is None:
                _draw_end(paper, self.ends.left, x, y, is_left=True)
            else:
                between = top - _GAP
                paper.wire((right, above), (right + _BUS, above), (right + _BUS, between), (left - _BUS, between))
                paper.wire((left - _BUS, between), (left - _BUS, y), (left, y))
            row.draw(paper, left, y)
            paper.wire((left + row.width, y), (right, y))
            above = y
            top += row.up + row.down + 2 * _GAP
        assert above is not None
        _draw_end(paper, self.ends.right, right, above, is_left=False)


def _draw_end(paper: Paper, end: End, x: float, y: float, *, is_left: bool) -> None:
    """A wire of the decoder, in its colour and with its name."""
    paper.wire((x, y), (x + _END, y), colour=COLOURS[end.colour] if end.colour is not None else None)
    lines = textwrap.wrap(end.words, _END_LETTERS)[:_NAME_LINES]
    for line, text in enumerate(lines):
        height = y - 8 - _LINE * (len(lines) - 1 - line)
        paper.words(x if is_left else x + _END, height, text, anchor="start" if is_left else "end", size=10)


def _wrapped(name: str) -> list[str]:
    """A name in as many lines as there is room for; the end of a long one is in the title only."""
    lines = textwrap.wrap(name, _LETTERS) or [""]
    return (
        lines
        if len(lines) <= _NAME_LINES
        else [*lines[: _NAME_LINES - 1], lines[_NAME_LINES - 1][: _LETTERS - 1] + "…"]
    )
