"""Tells from where the parser gave up what was likely mistyped, and where: the parser often notices much later.

Each guess looks at the situation and returns a problem or None; the first that answers is told.
"""

from __future__ import annotations

import re

from lampwright.diagnostics import Problem
from lampwright.patterns import pattern
from lampwright.syntax.block_mistakes import guess_in_block
from lampwright.syntax.flow_mistakes import guess_in_flow
from lampwright.syntax.layout import line_end, line_start, past_spaces, past_tabs
from lampwright.syntax.nodes import Scalar
from lampwright.syntax.situation import Situation, is_multi_line
from lampwright.text import Span

_CONFLICT = pattern(r"(?<![^\r\n])(?:<{7}|\|{7}|={7}|>{7})(?: [^\r\n]*)?(?![^\r\n])")
_ESCAPE = pattern(
    r"\\(?:(?P<letter>[0abtnvfre \t\"/\\N_LP\r\n])"
    r"|x(?P<two>[0-9A-Fa-f]{2})|u(?P<four>[0-9A-Fa-f]{4})|U(?P<eight>[0-9A-Fa-f]{8}))?"
)
_QUOTED = pattern(r"\"(?:[^\"\\\r\n]|\\.)*\"|'(?:[^'\r\n]|'')*'")
_KEY = pattern(rf"(?P<key>{_QUOTED.pattern}|[^\s\"'#](?:(?![ \t]#)[^\r\n])*?):(?![^ \t\r\n])")
# Of a directive that nobody knows its document tells that it is meant as one; else a text begins with the sign.
_DIRECTIVE = pattern(r"%(?:YAML|TAG)|%[^\r\n]*(?:\r\n?|\n)(?:(?:[%#][^\r\n]*|[ \t]*)(?:\r\n?|\n))*+---(?![^ \t\r\n])")
LONGEST_KEY = 1024
"""Characters of a key without `?` before it: YAML 1.2.2, section 7.4.2."""

# A closing quote after one of these was meant to open.
_BEFORE_A_VALUE = pattern(r"[:,\[{]\s*\Z")


def mistake(situation: Situation) -> Problem:
    """What was likely mistyped."""
    for guess in _GUESSES:
        problem = guess(situation)
        if problem:
            return _long_key(situation, problem) or problem
    return _other(situation)


def _long_key(situation: Situation, problem: Problem) -> Problem | None:
    """The same place, if a key stands there that is too long to be one: YAML looks no further for its colon."""
    if problem.data.get("cause") not in ("missing-colon", "second-colon"):
        return None
    text, start = situation.text, problem.span.start
    key = _KEY.match(text, start)
    before = text[line_start(text, start) : start].strip()
    if key is None or key.end("key") - start <= LONGEST_KEY or before[-1:] not in ("", "-", "?", ",", "{", "["):
        return None
    return situation.syntax_error("long-key", start, key.end("key"))


def is_half_read(situation: Situation, place: Span) -> bool:
    """Whether the node that was read last is part of the mistake, so that its value cannot be trusted."""
    last = situation.last
    if last is None:
        return False
    if last.span.start < place.end and place.start < last.span.end:
        return True
    if not isinstance(last, Scalar):
        return False
    if last.is_empty:
        return situation.in_flow
    if is_multi_line(last.span):
        return situation.in_flow or situation.last_here is not None
    return situation.here in ("", ":") and situation.last_here is not None


def _merge_conflict(situation: Situation) -> Problem | None:
    if "<<<<<<<" not in situation.text:
        return None
    marker = _CONFLICT.search(situation.text)
    return situation.syntax_error("merge-conflict", *marker.span()) if marker else None


def _tab(situation: Situation) -> Problem | None:
    text, at = situation.text, situation.at
    is_tab = situation.here == "\t" and not re.search(r"directive|block scalar|\btag\b", situation.words)
    if not is_tab and "tab character" not in situation.words:
        return None
    at = text.find("\t", at if is_tab else line_start(text, at), line_end(text, at))
    return situation.syntax_error("tab", at, past_tabs(text, at)) if at >= 0 else None


def _bad_escape(situation: Situation) -> Problem | None:
    if "quoted scalar" not in situation.words or not re.search("escape|hexdecimal", situation.words):
        return None
    start = situation.start
    bad = next((escape for escape in _ESCAPE.finditer(situation.text, start) if not _means_something(escape)), None)
    at = bad.start() if bad else situation.at
    return situation.syntax_error("bad-escape", at, at + 2, character=situation.text[at : at + 2])


def _means_something(escape: re.Match[str]) -> bool:
    if escape["letter"] is not None:
        return True
    code = int(escape["two"] or escape["four"] or escape["eight"] or "D800", 16)
    return code <= 0x10FFFF and not 0xD800 <= code <= 0xDFFF


def _unclosed_quote(situation: Situation) -> Problem | None:
    if "quoted scalar" in situation.words:
        return situation.syntax_error("unclosed-quote", situation.start, 0, **situation.opener(situation.start))
    quoted = situation.quoted_here
    if quoted is None:
        return None
    start = quoted.span.start
    if is_multi_line(quoted.span) or (situation.here not in ":," and _BEFORE_A_VALUE.search(quoted.span.text[1:-1])):
        return situation.syntax_error("unclosed-quote", start, 0, **situation.opener(start))
    return None


def _text_after_quote(situation: Situation) -> Problem | None:
    at, here = situation.at, situation.here
    quoted = situation.quoted_here
    place = quoted.span if quoted is not None else _quoted_before(situation)
    is_entry = situation.in_flow and place is not None and place.end < at
    # A tag may have quotes in it, and one parser gives up behind them, the other further on.
    if place is None or is_entry or "tag" in situation.words.split() or here in ("", ":", "]", "}", "\r", "\n"):
        return None
    end = situation.value_end(at)
    if here == "," and end == at + 1:
        return situation.syntax_error("extra-comma", at, end)
    return situation.syntax_error("text-after-quote", place.start, end, **situation.opener(place.start))


def _quoted_before(situation: Situation) -> Span | None:
    """A text in quotes that the place touches, although the parser did not come to tell of it."""
    text, at = situation.text, situation.at
    if at == 0 or text[at - 1] not in "\"'":
        return None
    matches = _QUOTED.finditer(text, line_start(text, at), at)
    return next((Span(situation.source, *match.span()) for match in matches if match.end() == at), None)


def _indicator(situation: Situation) -> Problem | None:
    """A character that means something in YAML where the writer meant it as text."""
    text, at, words = situation.text, situation.at, situation.words
    if _DIRECTIVE.match(text, line_start(text, at)):
        start = line_start(text, at)
        return Problem("unsupported-yaml", Span(situation.source, start, line_end(text, start)), {"what": "directive"})
    if "tag" in words.split():
        start = text.find("!", situation.start)
        return Problem("unsupported-yaml", Span(situation.source, start, start + 1), {"what": "tag"})
    if re.search("anchor|alias|block scalar|directive", words):
        at = situation.start
    elif not re.search("cannot start any token|sequence entries|mapping keys", words):
        return None
    return situation.syntax_error("reserved-character", at, at + 1, character=text[at : at + 1])


def _other(situation: Situation) -> Problem:
    at = past_spaces(situation.text, situation.at)
    word = re.compile(r"[^\s,\[\]{}]*").match(situation.text, at)
    return situation.syntax_error("other", at, word.end() if word else at)


_GUESSES = (
    _merge_conflict,
    _tab,
    _bad_escape,
    _unclosed_quote,
    _text_after_quote,
    _indicator,
    guess_in_flow,
    guess_in_block,
)
