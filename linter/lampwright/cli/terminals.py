"""Which terminals are known to show links (OSC 8), by what they say of themselves; all from memory of their manuals.

A terminal that does not know the sequence may show its address in the middle of a line, so one that is not known gets
none. Who knows better says so by FORCE_HYPERLINK, as other programs have it.
"""

from __future__ import annotations

from collections.abc import Mapping

_PROGRAMS = frozenset({"Hyper", "WezTerm", "ghostty", "iTerm.app", "rio", "vscode"})
_KINDS = ("alacritty", "contour", "foot", "wezterm", "xterm-ghostty", "xterm-kitty")
_SIGNS = ("DOMTERM", "KITTY_WINDOW_ID", "WT_SESSION")
_SINCE = {"VTE_VERSION": 5000, "KONSOLE_VERSION": 201200}
"""Variables with a version in them, and the first one that knows links."""


def knows_links(environment: Mapping[str, str]) -> bool:
    """Whether the terminal that set up `environment` makes a link of what OSC 8 says."""
    forced = environment.get("FORCE_HYPERLINK", "")
    if forced:
        return forced != "0"
    kind = environment.get("TERM", "")
    # What stands between may swallow the sequence, whatever the terminal outside knows.
    if environment.get("TMUX") or environment.get("STY") or kind.startswith(("screen", "tmux")):
        return False
    if environment.get("TERM_PROGRAM") in _PROGRAMS or kind.startswith(_KINDS):
        return True
    return any(environment.get(sign) for sign in _SIGNS) or any(_is_new(environment, name) for name in _SINCE)


def _is_new(environment: Mapping[str, str], name: str) -> bool:
    version = environment.get(name, "")
    return version.isdecimal() and int(version) >= _SINCE[name]
