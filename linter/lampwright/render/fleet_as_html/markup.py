"""Texts as they may stand in a page, whoever wrote them: no markup, no script, no turning of directions."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from lampwright.harmless import visible


def text(words: str) -> str:
    """Words of ours, or of others within ours, as the text of an element or the value of a quoted attribute."""
    return escape(visible(words))


def name(words: str) -> str:
    """Words of others, apart from what is around them: Hebrew or Arabic turns round nothing but itself."""
    return f"<bdi>{text(words)}</bdi>"


def listing(entries: Iterable[str]) -> str:
    """A list of entries that are markup already; nothing of none."""
    listed = "".join(f"<li>{entry}</li>" for entry in entries)
    return f"<ul>{listed}</ul>" if listed else ""
