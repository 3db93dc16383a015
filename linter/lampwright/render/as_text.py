"""A report as a person reads it in a terminal: each finding with its line, the culprit marked, and what to do.

Control characters of a file never reach the terminal; a name cannot move the cursor or change a colour.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator

from lampwright.diagnostics import Finding, Report, Severity, Undecided
from lampwright.text import Span

_COLOURS = {Severity.ERROR: "31", Severity.WARNING: "33", Severity.NOTE: "36"}
_WIDEST_LINE = 160
"""Characters of a source line that a frame shows; the culprit is always among them."""


def render_text(report: Report, *, colour: bool) -> str:
    """The report, with a line end after each line."""
    paint = _Paint(colour)
    blocks = ["\n".join(_finding(finding, paint)) for finding in report.findings if finding.allowed is None]
    blocks += ["\n".join(_undecided(report.undecided))] if report.undecided else []
    return "\n\n".join([*blocks, _summary(report)]) + "\n"


class _Paint:
    """Wraps texts in colour, or leaves them as they are."""

    def __init__(self, colour: bool) -> None:  # noqa: FBT001  # private, and handed through
        self._colour = colour

    def __call__(self, text: str, code: str) -> str:
        return f"\x1b[{code}m{text}\x1b[0m" if self._colour else text


def visible(text: str) -> str:
    """`text` with every character that a terminal would obey or hide written as its code."""
    return "".join(character if _is_harmless(character) else f"\\u{ord(character):04x}" for character in text)


def _is_harmless(character: str) -> bool:
    # Cc and Cf hold escape sequences and the marks that turn the direction of text round; Cs are lone surrogates.
    return (character.isascii() and character.isprintable()) or unicodedata.category(character) not in _OBEYED


_OBEYED = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}


def _finding(finding: Finding, paint: _Paint) -> Iterator[str]:
    level = paint(f"{finding.level.word}:", f"1;{_COLOURS[finding.level]}")
    yield f"{_place(finding.span)}: {level} {visible(finding.message)} {paint(f'[{finding.rule}]', '2')}"
    yield from _frame(finding.span, paint, _COLOURS[finding.level])
    for note in finding.notes:
        same_file = note.span.source is finding.span.source
        yield f"      {_place(note.span, same_file=same_file)}: {visible(note.message)}"
        yield from _frame(note.span, paint, "34")
    for fix in finding.fixes:
        yield f"      {paint('fix:', '32')} {visible(fix.title)}"


def _place(span: Span, *, same_file: bool = False) -> str:
    position = span.source.position(span.start)
    if same_file:
        return f"line {position.line}"
    return f"{visible(span.source.name)}:{position.line}:{position.column}"


def _frame(span: Span, paint: _Paint, code: str) -> Iterator[str]:
    start, end = span.source.position(span.start), span.source.position(span.end)
    line = span.source.line(start.line)
    first = start.column - 1
    last = end.column - 1 if end.line == start.line else len(line.rstrip())
    cut = max(0, min(first - 20, len(line) - _WIDEST_LINE))
    shown = visible(line[cut : cut + _WIDEST_LINE].rstrip())
    before = _width(visible(line[cut:first]))
    marks = max(1, min(_width(visible(line[first:last])), _width(shown) - before))
    yield f"{start.line:>5} | {'… ' if cut else ''}{shown}{' …' if len(line) > cut + _WIDEST_LINE else ''}"
    yield f"      | {'  ' if cut else ''}{' ' * before}{paint('^' * marks, code)}"


def _width(text: str) -> int:
    """How many columns of a terminal `text` takes."""
    return sum(_character_width(character) for character in text)


def _character_width(character: str) -> int:
    if unicodedata.combining(character):
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1


def _undecided(items: tuple[Undecided, ...]) -> Iterator[str]:
    yield "Not decided:"
    grouped: dict[tuple[str, str], list[str]] = {}
    for item in items:
        grouped.setdefault((_place(item.span), item.lacks), []).append(item.rule)
    for (place, lacks), rules in grouped.items():
        yield f"  {place}: lacks {visible(lacks)} ({', '.join(rules)})"


def _summary(report: Report) -> str:
    levels = [finding.level for finding in report.findings if finding.allowed is None]
    counts = [_count(levels.count(level), level.word) for level in sorted(Severity, reverse=True)]
    parts = [f"{', '.join(counts)} in {_count(len(report.sources), 'file')}"]
    allowed = len(report.findings) - len(levels)
    parts += [f"{allowed} allowed"] if allowed else []
    parts += [f"{len(report.undecided)} not decided"] if report.undecided else []
    parts += [f"rules ignored: {', '.join(report.ignored)}"] if report.ignored else []
    return "; ".join(parts)


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
