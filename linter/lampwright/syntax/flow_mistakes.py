"""Guesses at mistakes between brackets: a comma, a bracket or a blank too few or too many."""

from __future__ import annotations

import re

from lampwright.diagnostics import Problem
from lampwright.patterns import pattern
from lampwright.syntax.brackets import PARTNERS, is_closed
from lampwright.syntax.nodes import Scalar
from lampwright.syntax.situation import Situation

_WORD = pattern(r"[^\s,\[\]{}:]+|.", re.DOTALL)
_LAST_WORD = pattern(r"(?<=\s)\S+\Z")


def guess_in_flow(situation: Situation) -> Problem | None:
    """What was likely mistyped, if the place is between brackets."""
    if "unexpected ':'" in situation.words:
        return situation.syntax_error("missing-space", situation.start, situation.at + 1)
    opener = _opener(situation)
    if opener is None:
        return None
    here, at = situation.here, situation.at
    if here in ("]", "}") and is_closed(situation.text, _outermost(situation, opener), without=at):
        return situation.syntax_error("unopened-bracket", at, at + 1, character=here)
    if here in ("", "]", "}") or not is_closed(situation.text, opener):
        return situation.syntax_error("unclosed-bracket", opener, opener + 1, **situation.opener(opener))
    if here == ",":
        return situation.syntax_error("extra-comma", at, at + 1)
    if here in "-?":
        return situation.syntax_error("reserved-character", at, at + 1, character=here)
    return _colon(situation) if here == ":" else _missing_comma(situation)


def _opener(situation: Situation) -> int | None:
    if situation.since is not None and re.search("flow (sequence|mapping)", situation.words):
        return situation.since
    if not situation.in_flow:
        return None
    starts = (container.start for container in reversed(situation.around) if container.flow)
    return next((start for start in starts if situation.text[start] in PARTNERS), None)


def _outermost(situation: Situation, opener: int) -> int:
    """The first of the brackets that are open, as far as the parser came to tell of it."""
    starts = [container.start for container in situation.around if container.flow]
    return next((start for start in starts if situation.text[start] in PARTNERS), opener)


def _colon(situation: Situation) -> Problem | None:
    """A second colon: in `{a: 1 b: 2}` it belongs to a second entry, in `{a: b: c}` to the value."""
    last = situation.last_here
    if not isinstance(last, Scalar):
        return None
    word = _LAST_WORD.search(last.span.text) if last.style == "plain" else None
    if word:
        place = last.span.part(*word.span())
        return situation.syntax_error("missing-comma", place.start, place.end)
    return situation.syntax_error("second-colon", last.span.start, situation.value_end(situation.at))


def _missing_comma(situation: Situation) -> Problem | None:
    """Two entries with nothing between; in `{circuit [a]}` they are a key and its value."""
    last = situation.last_here
    if isinstance(last, Scalar) and last.is_empty and situation.around[-1].is_mapping:
        return situation.syntax_error("missing-colon", last.start, last.end)
    word = _WORD.match(situation.text, situation.at)
    return situation.syntax_error("missing-comma", *word.span()) if word else None
