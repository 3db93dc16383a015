"""Guesses at mistakes outside brackets: keys without colon, values with one, and lines on no level."""

from __future__ import annotations

from lampwright.diagnostics import Problem
from lampwright.patterns import pattern
from lampwright.syntax.brackets import is_closed
from lampwright.syntax.layout import begins_line, line_start, past_blanks, past_spaces, past_tabs
from lampwright.syntax.levels import odd_line
from lampwright.syntax.nodes import Mapping, Scalar, Sequence
from lampwright.syntax.situation import Situation, is_multi_line
from lampwright.text import Span

_GLUED_DASH = pattern(r"-[^\s-]")
_GLUED_COLON = pattern(r"[^\s:][^:\r\n]*:[^ \t\r\n]")
_ENTRY_MARKS = pattern(r"[ \t]*(?:-[ \t]+)*")
_DASH = pattern(r"-(?![^ \t\r\n])")
_DOCUMENT_END = pattern(r"(?<![^\r\n])\.\.\.(?!\S)")
_STRUCTURE = pattern(r"block (end|collection|mapping|node)|document (start|end)|node content")


def guess_in_block(situation: Situation) -> Problem | None:
    """What was likely mistyped, if the place is outside brackets."""
    if "expected ':'" in situation.words:
        return _no_key(situation, situation.start)
    if "mapping values" in situation.words:
        return _second_colon(situation)
    return _structure(situation) if _STRUCTURE.search(situation.words) else None


def _no_key(situation: Situation, start: int) -> Problem:
    """A line that should be a key or an item, but lacks a blank or its colon."""
    text, end = situation.text, situation.value_end(start)
    if text[start] in "[{" and not is_closed(text, start):
        return situation.syntax_error("unclosed-bracket", start, start + 1, **situation.opener(start))
    in_list = bool(situation.around) and not situation.around[-1].is_mapping
    is_glued = (in_list and _GLUED_DASH.match(text, start, end)) or _GLUED_COLON.match(text, start, end)
    return situation.syntax_error("missing-space" if is_glued else "missing-colon", start, end)


def _second_colon(situation: Situation) -> Problem | None:
    """A colon where the value goes on: from the line above, or from the same line."""
    text, at, last = situation.text, situation.at, situation.last_here
    if last is None:
        return situation.syntax_error("second-colon", at, situation.value_end(at))
    if is_multi_line(last.span):
        if _ENTRY_MARKS.fullmatch(text, line_start(text, last.span.start), last.span.start):
            return _no_key(situation, last.span.start)
        return _indentation(situation, at)
    end = situation.value_end(at)
    if text[end - 1] in "]}" and _has_stray_closer(text[last.span.start : end]):
        return situation.syntax_error("unopened-bracket", end - 1, end, character=text[end - 1])
    return situation.syntax_error("second-colon", last.span.start, end)


def _has_stray_closer(value: str) -> bool:
    opener = "[" if value[-1] == "]" else "{"
    return value.count(value[-1]) > value.count(opener)


def _structure(situation: Situation) -> Problem | None:
    """Something that can neither go on with what is before it nor begin a new entry."""
    text, at, last = situation.text, situation.at, situation.last
    if "document " in situation.words and _DOCUMENT_END.search(text, last.span.end if last else 0, at):
        return Problem("unsupported-yaml", Span(situation.source, at, situation.value_end(at)), {"what": "document"})
    if situation.here in ("]", "}"):
        return situation.syntax_error("unopened-bracket", at, at + 1, character=situation.here)
    if situation.here == ",":
        return situation.syntax_error("extra-comma", at, at + 1)
    if begins_line(text, at):
        return _level(situation)
    if isinstance(situation.last_here, Mapping | Sequence) and situation.last_here.flow:
        start = situation.last_here.span.start
        return situation.syntax_error("text-after-bracket", start, situation.value_end(at), **situation.opener(start))
    return None


def _level(situation: Situation) -> Problem | None:
    """A line whose level has the other kind of entries, or that is on no level."""
    text, at = situation.text, situation.at
    is_item = _DASH.match(text, at) is not None
    column = _column(text, at)
    last = situation.last
    if isinstance(last, Scalar) and begins_line(text, last.start) and _column(text, last.start) == column:
        return _no_key(situation, last.start)
    for container in reversed(situation.around):
        if _column(text, container.start) == column and container.is_mapping == is_item:
            end = at + 1 if is_item else situation.value_end(at)
            return situation.syntax_error("item-among-keys" if is_item else "key-among-items", at, end)
    return _indentation(situation, at if column else past_blanks(text, 0))


def _column(text: str, at: int) -> int:
    return at - line_start(text, at)


def _indentation(situation: Situation, at: int) -> Problem | None:
    """The blanks before the line of `at`, or of the line that all its neighbours differ from.

    A tab among them is the likelier mistake.
    """
    text = situation.text
    start = odd_line(text, line_start(text, at))
    end = past_spaces(text, start)
    if start == end:
        return None
    tab = text.find("\t", start, end)
    if tab >= 0:
        return situation.syntax_error("tab", tab, past_tabs(text, tab))
    return situation.syntax_error("bad-indentation", start, end)
