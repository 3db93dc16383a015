"""Texts and data as they may stand in a page, whoever wrote them: no markup, no script, no turning of directions."""

from __future__ import annotations

from html import escape
from typing import Any

from lampwright.account.objects import written
from lampwright.harmless import visible


def text(words: str) -> str:
    """Words of ours, or of others within ours, as the text of an element or the value of a quoted attribute."""
    return escape(visible(words))


def name(words: str) -> str:
    """Words of others, apart from what is around them: Hebrew or Arabic turns round nothing but itself."""
    return f"<bdi>{text(words)}</bdi>"


def data(identifier: str, value: Any) -> str:
    """A script element that holds `value` as JSON and runs nothing; no text in it can end it."""
    safe = written(value).replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
    return f'<script type="application/json" id="{identifier}">{safe}</script>'


def box(label: str) -> str:
    """A box to tick, on the screen or on paper."""
    return f'<input type="checkbox" aria-label="{text(label)}">'
