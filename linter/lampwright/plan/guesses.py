"""What a condition in somebody's own words was probably meant to be: "F0 and fwd" becomes "[F0, forward]".

Guesses are offered, never taken: the condition stays unread.
"""

from __future__ import annotations

import re

from lampwright.patterns import pattern

_OWN_WORDS = {
    "forward": ("fwd", "forwards", "ahead", "fw"),
    "reverse": ("rev", "backward", "backwards", "back", "rear", "rv", "reversed", "reversing"),
    "stopped": ("standing", "still", "standstill", "halt", "halted", "stop", "at rest", "stationary"),
    "moving": ("running", "driving", "rolling", "in motion", "under way"),
}
_WORDS = {own: word for word, all_own in _OWN_WORDS.items() for own in (word, *all_own)}
_KEY = pattern(r"f ?([0-9]{1,2})(?: (on|off))?")
_NOT = pattern(r"(?:not |no |non-|!|~)\s*")
_AND = pattern(r"\s*(?:,|&&?|\band\b|\+)\s*", re.IGNORECASE)
_OR = pattern(r"\s*(?:\|\|?|\bor\b)\s*", re.IGNORECASE)

# Nobody's condition is longer; the limit keeps a file of rubbish quick.
_LONGEST = 80


def meant_condition(text: str) -> str | None:
    """The condition that `text` probably means, as it would be written, None if it is anybody's guess."""
    if len(text) > _LONGEST:
        return None
    for separator, form in ((_OR, "{{any: [{}]}}"), (_AND, "[{}]")):
        parts = separator.split(text)
        if len(parts) > 1:
            words = [meant_condition(part) for part in parts]
            return form.format(", ".join(word for word in words if word)) if all(words) else None
    return _meant_word(text.casefold().strip())


def _meant_word(word: str) -> str | None:
    negated = _NOT.match(word)
    if negated:
        inner = _meant_word(word[negated.end() :])
        return f"not {inner}" if inner and not inner.startswith("not ") else None
    if word in _WORDS:
        return _WORDS[word]
    key = _KEY.fullmatch(word)
    if key is None or int(key[1]) > 68:
        return None
    return f"not F{int(key[1])}" if key[2] == "off" else f"F{int(key[1])}"
