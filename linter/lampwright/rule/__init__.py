"""What rules are made of: `Rule` and `Context`, and beside them the phrases, circumstances and cures that many share.

Knows no rule, and holds no sentence of one. `Context` knows all analyses, and is loaded when it is asked for: a rule
that only compares cards does not ask.
"""

from __future__ import annotations

from lampwright.rule.making import Rule, Verdict, fleet_rule, rule

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from lampwright.rule.context import Context

__all__ = ["Context", "Rule", "Verdict", "fleet_rule", "rule"]


def __getattr__(name: str) -> object:
    if name != "Context":
        raise AttributeError(name)
    from lampwright.rule.context import Context

    return Context
