"""Every rule: one file a rule. The only floor that speaks to users; rules never import each other.

`RULES` are all, in the order of `table`, which is loaded when they are asked for: a run that recalls what it found
needs no more than the words for what is found among plans.
"""

from __future__ import annotations

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from lampwright.rules.table import RULES

__all__ = ["RULES"]


def __getattr__(name: str) -> object:
    if name != "RULES":
        raise AttributeError(name)
    from lampwright.rules.table import RULES

    return RULES
