"""Small edits of a YAML text that leave its comments, its layout and everything else as they are.

Each is an edit for `lampwright.text.apply`; none changes the tree. A text to put in is one line of YAML.
"""

from __future__ import annotations

import json

from lampwright.patterns import pattern
from lampwright.syntax.layout import (
    before_spaces,
    begins_line,
    item_start,
    line_break,
    line_end,
    line_start,
    next_line,
    past_blanks,
    past_colon,
    past_empty_lines,
    past_spaces,
)
from lampwright.syntax.nodes import Mapping, Sequence, Tree
from lampwright.text import Edit, Source, Span

# What YAML reads as the text that it is, in a block and between brackets.
_PLAIN = pattern(r"[^\W\d_][\w .()/+-]*(?<! )\Z")
_BLANKS = " \t\r\n"


def replace(span: Span, text: str) -> Edit:
    """Puts `text` in the place of `span`."""
    return Edit(span, text)


def inside_quotes(span: Span) -> Span:
    """`span` without the quotes around it, if it has any: what is put there instead keeps them."""
    text = span.text
    is_quoted = len(text) > 1 and text[0] == text[-1] and text[0] in "'\""
    return span.part(1, len(text) - 1) if is_quoted else span


def remove_entry(tree: Tree, mapping: Mapping, key_span: Span, value_span: Span | None) -> Edit:
    """Takes out a key with its value, also one that is not in the mapping because an earlier one has its name.

    In a block the line goes, in braces the entry with its comma. The only entry leaves `{}`.
    """
    source = tree.source
    start, end = key_span.start, past_colon(source.text, key_span.end)
    if value_span is not None:
        end = max(end, value_span.end)
    is_only = mapping.span.start >= _entry_start(source.text, start) and mapping.span.end <= end
    if is_only and not source.text.startswith("{", mapping.span.start):
        return Edit(mapping.span, "{}")
    return removal(source.span(start, end), flow=mapping.flow)


def removal(entry: Span, *, flow: bool) -> Edit:
    """Takes out an entry that is not the only one of a block mapping."""
    source, text, end = entry.source, entry.source.text, entry.end
    start = _entry_start(text, entry.start)
    if flow:
        return Edit(source.span(*_out_of_flow(text, start, end)), "")
    if begins_line(text, start):
        return Edit(source.span(before_spaces(text, start), next_line(text, end)), "")
    # The first entry of a list item shares the line with the dash: the next one moves up to it, but not its comment.
    below = past_empty_lines(text, next_line(text, end))
    if text.startswith("#", below):
        return Edit(source.span(before_spaces(text, start), line_end(text, end)), "")
    return Edit(source.span(start, below), "")


def remove_item(sequence: Sequence, index: int) -> Edit:
    """Takes out one of several items: of a block its lines, between brackets the item with a comma."""
    item = sequence[index].span
    start = item.start if sequence.flow else item_start(sequence, index)
    return removal(item.source.span(start, item.end), flow=sequence.flow)


def insert_before_item(sequence: Sequence, index: int, text: str) -> Edit:
    """Puts a new item before that of `index`, above the comments that belong to it; at the end if there is none."""
    if index >= len(sequence):
        return append_item(sequence, text)
    source = sequence.span.source
    start = item_start(sequence, index)
    if sequence.flow:
        start = _entry_start(source.text, start)
    indent = " " * (start - line_start(source.text, start))
    new = f"{text}," if sequence.flow else f"- {text}"
    if begins_line(source.text, start):
        above = _comments_above(source.text, start)
        return _insert(source, above, f"{indent}{new}{line_break(source.text)}")
    return _insert(source, start, f"{new} " if sequence.flow else f"{new}{line_break(source.text)}{indent}")


def append_item(sequence: Sequence, text: str) -> Edit:
    """Puts a new item at the end."""
    source = sequence.span.source
    if not sequence:
        return _insert(source, sequence.span.start + 1, text)
    end = sequence[-1].span.end
    if sequence.flow:
        return _insert(source, end, f", {text}")
    dash = item_start(sequence, len(sequence) - 1)
    indent = " " * (dash - line_start(source.text, dash))
    return _insert(source, line_end(source.text, end), f"{line_break(source.text)}{indent}- {text}")


def append_entry(mapping: Mapping, text: str) -> Edit | None:
    """Puts a new key with its value at the end; of several lines only in a block. None if there is no way to.

    The lines after the first stand as far to the right of the first one as they say.
    """
    source, whole = mapping.span.source, mapping.span.source.text
    if not mapping:
        return _insert(source, mapping.span.start + 1, text) if mapping.flow else None
    key, value = next(reversed(mapping.items()))
    end = before_spaces(whole, max(past_colon(whole, key.end), value.span.end), _BLANKS)
    is_below = begins_line(whole, key.start)
    indent = line_break(whole) + whole[line_start(whole, key.start) : key.start] if is_below else ""
    if mapping.flow:
        return _appended_to_flow(source, end, indent, text)
    first = next(iter(mapping))
    indent = line_break(whole) + " " * (first.start - line_start(whole, first.start))
    return _insert(source, line_end(whole, end), indent + text.replace("\n", indent))


def insert_first_entry(mapping: Mapping, text: str) -> Edit | None:
    """Puts a new key with its value, on one line, before the first one; None for an entry with a tag or an anchor."""
    source = mapping.span.source
    if mapping.flow:
        # A mapping that starts with its tag is none of ours.
        is_plain = source.text.startswith("{", mapping.span.start)
        return _insert(source, mapping.span.start + 1, f"{text}, " if mapping else text) if is_plain else None
    start = next(iter(mapping)).start
    if not begins_line(source.text, start):
        return None
    indent = source.text[line_start(source.text, start) : start]
    return _insert(source, start, f"{text}{line_break(source.text)}{indent}")


def as_value(text: str) -> str:
    """`text` as a value on one line: as it is where that is safe, else in double quotes."""
    return text if _PLAIN.match(text) else json.dumps(text, ensure_ascii=False)


def _appended_to_flow(source: Source, end: int, indent: str, text: str) -> Edit | None:
    """With a line of its own where the last entry has one; `indent` is empty where it has none."""
    if "\n" in text:
        return None
    comma = past_blanks(source.text, end)
    if source.text.startswith(",", comma):
        stop = line_end(source.text, comma)
        has_rest = source.text[past_spaces(source.text, comma + 1) :][:1] not in ("", "#", "\r", "\n")
        if indent and not has_rest:
            return _insert(source, stop, f"{indent}{text},")
        return _insert(source, comma + 1, f" {text},")
    return _insert(source, end, f",{indent or ' '}{text}")


def _insert(source: Source, at: int, text: str) -> Edit:
    return Edit(source.span(at, at), text)


def _entry_start(text: str, start: int) -> int:
    """Before the anchor, the tag and the question mark that a key or item may have on its line."""
    while True:
        end = before_spaces(text, start)
        word = end
        while word > 0 and text[word - 1] not in " \t\r\n,[]{}":
            word -= 1
        if end in (word, start) or not (text[word] in "&!" or text[word:end] == "?"):
            return start
        start = word


def _out_of_flow(text: str, start: int, end: int) -> tuple[int, int]:
    """An entry between braces with one of its commas; with its whole line if it is alone there."""
    comma = past_blanks(text, end)
    has_comma = text.startswith(",", comma)
    stop = past_spaces(text, comma + 1 if has_comma else end)
    at_line_end = stop == len(text) or text[stop] in "\r\n"
    alone = begins_line(text, start) and (at_line_end or text[stop] == "#")
    if alone and (has_comma or not at_line_end):
        return before_spaces(text, start), next_line(text, stop)
    if has_comma:
        return (before_spaces(text, start) if at_line_end else start), stop
    return _comma_before(text, start), end


def _comma_before(text: str, start: int) -> int:
    """Where the comma before an entry is, or `start` if a comment or nothing is there."""
    comma = before_spaces(text, start, " \t\r\n") - 1
    if comma < 0 or text[comma] != ",":
        return start
    begins_below = "\n" in text[comma:start] or "\r" in text[comma:start]
    return start if begins_below and "#" in text[line_start(text, comma) : comma] else comma


def _comments_above(text: str, start: int) -> int:
    """Where the first of the comment lines above an item begins, or its own line."""
    above = at = line_start(text, start)
    while at > 0:
        at = line_start(text, at - (2 if text[at - 2 : at] == "\r\n" else 1))
        line = text[at : line_end(text, at)].strip()
        if line and not line.startswith("#"):
            break
        above = at if line else above
    return above
