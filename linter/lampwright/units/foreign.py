"""Turns a unit word that no table of ours holds into the name of that unit. The only module that asks pint.

pint is loaded at the first foreign word, which costs half a second, and never sees a user's text: only a word of a few
letters, and only its table of names, never its parser of expressions.
"""

from __future__ import annotations

import re
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pint import UnitRegistry

_WORD = r"[A-Za-z\N{MICRO SIGN}\N{GREEK SMALL LETTER MU}\N{GREEK CAPITAL LETTER OMEGA}]{1,20}"

# pint joins any prefix to any unit; with the rare ones "amps" would be attometres per second.
_COMMON_PREFIXES = {"", "pico", "nano", "micro", "milli", "centi", "kilo", "mega", "giga"}


def name_of(word: str) -> str | None:
    """The name of the unit that `word` writes, "newton" for "N"; None where pint knows none."""
    return _name_of(word) if re.fullmatch(_WORD, word) else None


@lru_cache(maxsize=1024)
def _name_of(word: str) -> str | None:
    try:
        readings = _registry().parse_unit_name(word)
    except Exception:  # noqa: BLE001 - whatever pint makes of an odd word, a plan must still be checked
        return None
    names = (prefix + unit for prefix, unit, _ in readings if prefix in _COMMON_PREFIXES)
    return next((name.replace("_", " ") for name in names), None)


@cache
def _registry() -> UnitRegistry[Any]:
    # Half a second, for a mistake that few plans have.
    from pint import UnitRegistry

    return UnitRegistry()
