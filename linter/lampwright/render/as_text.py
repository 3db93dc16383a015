"""A report as a person reads it in a terminal: each finding with its line, the culprit marked, and what to do.

Control characters of a file never reach the terminal; a name cannot move the cursor or change a colour.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.account.columns import width as columns
from lampwright.account.words import opened, place, summary
from lampwright.diagnostics import Finding, Report, Severity, Undecided
from lampwright.harmless import visible
from lampwright.records import dataclass
from lampwright.text import Position, Source, Span

WIDTH = 120
"""Columns where there is no terminal to ask: few plans are wider, and logs show as many."""

_COLOURS = {Severity.ERROR: "31", Severity.WARNING: "33", Severity.NOTE: "36"}
_OTHER_PLACE, _CURE, _FAINT = "34", "32", "2"
_GUTTER = "      | "
_MOST_LINES = 10


def render_text(report: Report, *, colour: bool, width: int = WIDTH, pages: str | None = None) -> str:
    """The report, with a line end after each line; `width` columns are there to print on.

    With `pages` each finding links to its rule's page, for terminals that know OSC 8.
    """
    terminal = _Terminal(colour, width, pages)
    blocks = ["\n".join(_finding(finding, terminal)) for finding in opened(report)]
    blocks += ["\n".join(_undecided(report.undecided, terminal))] if report.undecided else []
    return "\n\n".join([*blocks, summary(report)]) + "\n"


@dataclass(frozen=True, slots=True)
class _Terminal:
    """What the report is printed on."""

    has_colour: bool
    width: int
    pages: str | None

    def paint(self, text: str, code: str) -> str:
        """`text` in a colour, if there is any."""
        return f"\x1b[{code}m{text}\x1b[0m" if self.has_colour else text

    def link(self, text: str, rule: str) -> str:
        """`text` so that a click on it opens the page of `rule`, if there is one."""
        if self.pages is None:
            return text
        from lampwright.account.pages import page_of

        return f"\x1b]8;;{page_of(self.pages, rule)}\x1b\\{text}\x1b]8;;\x1b\\"


# --- Findings ---------------------------------------------------------------------------------------------------------


def _finding(finding: Finding, terminal: _Terminal) -> Iterator[str]:
    level = terminal.paint(f"{finding.level.word}:", f"1;{_COLOURS[finding.level]}")
    rule = terminal.link(terminal.paint(f"[{finding.rule}]", _FAINT), finding.rule)
    lines = _by_line(finding)
    yield f"{place(finding.span, lines[0][0].start)}: {level} {visible(finding.message)} {rule}"
    shown = finding.span.source
    for spots in lines:
        source = spots[0].span.source
        if source is not shown:
            yield f"      {place(spots[0].span, spots[0].start)}"
        shown = source
        yield from _frame(spots, terminal)
    for fix in finding.fixes:
        yield f"      {terminal.paint('fix:', _CURE)} {visible(fix.title)}"


# --- Frames -----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Spot:
    """A place of a finding, where it starts, how it is marked, and what is said beside the marks."""

    span: Span
    start: Position
    mark: str
    colour: str
    message: str = ""


def _by_line(finding: Finding) -> list[list[_Spot]]:
    """The places of a finding, those of one line together; the culprit's line is the first."""
    lines: dict[tuple[Source, int], list[_Spot]] = {}
    spots = [_Spot(finding.span, _start(finding.span), "^", _COLOURS[finding.level])]
    spots += [_Spot(note.span, _start(note.span), "-", _OTHER_PLACE, visible(note.message)) for note in finding.notes]
    for spot in spots:
        lines.setdefault((spot.span.source, spot.start.line), []).append(spot)
    return list(lines.values())


def _start(span: Span) -> Position:
    return span.source.position(span.start)


def _frame(spots: list[_Spot], terminal: _Terminal) -> Iterator[str]:
    """A line with the marks of its places; a long one again where a place lies beyond what is shown of it."""
    line: _Line | None = None
    for spot in spots:
        if line is None or not line.holds(spot):
            line = _line(spot, terminal)
            yield line.shown
        yield _marked(line, spot, terminal)


# --- Lines with marks -------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of a source, shown from one character to another as far as there is room for it."""

    source: Source
    number: int
    text: str
    first: int
    last: int

    @property
    def shown(self) -> str:
        """The line with its number, and dots where something of it is left out."""
        before, after = "… " if self.first else "", " …" if self.last < len(self.text) else ""
        return f"{self.number:>5} | {before}{_drawn(self.text[self.first : self.last])}{after}".rstrip()

    def holds(self, spot: _Spot) -> bool:
        """Whether `spot` begins in what is shown."""
        before = spot.start.column - 1
        is_here = spot.span.source is self.source and spot.start.line == self.number
        return is_here and self.first <= before and (before < self.last or self.last == len(self.text))


def _line(spot: _Spot, terminal: _Terminal) -> _Line:
    """The line that `spot` begins on, shown where it begins."""
    text = spot.span.source.line(spot.start.line).rstrip()
    window = _window(text, spot.start.column - 1, terminal.width - len(_GUTTER))
    return _Line(spot.span.source, spot.start.line, text, *window)


def _window(line: str, first: int, room: int) -> tuple[int, int]:
    """From where to where a line is shown, in characters, so that character `first` is among them."""
    # Nothing is narrower than its number of characters by more than half, so that endless lines need no measuring.
    if len(line) <= room and columns(_drawn(line)) <= room:
        return 0, len(line)
    room -= 4
    cut = max(0, min(first - room // 4, len(line) - room))
    stop = cut + room
    while columns(_drawn(line[cut:stop])) > room and stop > first + 1:
        stop -= 1
    return cut, stop


def _drawn(text: str) -> str:
    """What is shown of a piece of a line: a tab as an arrow, which is one column wide."""
    return visible(text.replace("\t", "→"))


def _marked(line: _Line, spot: _Spot, terminal: _Terminal) -> str:
    """Marks under `spot`, and its message beside them: behind them, or before them if only there is room for it."""
    span, start, message = spot.span, spot.start, spot.message
    # What ends on a later line ends beyond all that is shown.
    last = min(line.last, start.column - 1 + span.end - span.start)
    before = (2 if line.first else 0) + columns(_drawn(line.text[line.first : start.column - 1]))
    count = max(1, columns(_drawn(line.text[start.column - 1 : last])))
    marks = terminal.paint(spot.mark * count, spot.colour)
    needed = columns(message) + 1
    is_too_wide = len(_GUTTER) + before + count + needed > terminal.width
    if is_too_wide and message and needed <= before:
        return f"{_GUTTER}{' ' * (before - needed)}{message} {marks}"
    return f"{_GUTTER}{' ' * before}{marks} {message}".rstrip(" ")


# --- What is left -----------------------------------------------------------------------------------------------------


def _undecided(items: tuple[Undecided, ...], terminal: _Terminal) -> Iterator[str]:
    """One entry for each file and thing that it lacks, with the rules that cannot tell."""
    rules: dict[tuple[Span, str], list[str]] = {}
    for item in items:
        rules.setdefault((item.span, item.lacks), []).append(item.rule)
    places: dict[tuple[str, str, tuple[str, ...]], list[Span]] = {}
    for (span, lacks), unable in rules.items():
        places.setdefault((span.source.name, lacks, tuple(unable)), []).append(span)
    yield "Not decided:"
    for (_, lacks, names), spans in places.items():
        yield f"  {place(spans[0])}: lacks {visible(lacks)}{_also(spans)}"
        # A report without undecided places has nothing to wrap.
        import textwrap

        room = textwrap.TextWrapper(terminal.width, " " * 6, " " * 6, break_on_hyphens=False)
        yield from room.wrap(", ".join(names))


def _also(spans: list[Span]) -> str:
    """That the same is true of other lines."""
    _, *others = dict.fromkeys(span.source.position(span.start).line for span in spans)
    if not others:
        return ""
    more = f" and {len(others) - _MOST_LINES} more" if len(others) > _MOST_LINES else ""
    return f" (also line{'s' if len(others) > 1 else ''} {', '.join(map(str, others[:_MOST_LINES]))}{more})"
