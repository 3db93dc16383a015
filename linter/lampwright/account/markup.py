"""Text that others wrote as Markdown that is only text: in a code span, where there is no markup, no HTML, no link."""

from __future__ import annotations

import re

from lampwright.harmless import visible


def code(text: str) -> str:
    """A code span: longer fences than any within, and blanks where a backtick would touch one."""
    shown = visible(text)
    fence = "`" * (1 + max(map(len, re.findall("`+", shown)), default=0))
    edge = " " if shown[:1] in {"`", " "} or shown[-1:] in {"`", " "} else ""
    return f"{fence}{edge}{shown}{edge}{fence}"
