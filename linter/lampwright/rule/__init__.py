"""What rules are made of: `Rule` and `Context`, and beside them the phrases, circumstances and cures that many share.

Knows no rule, and holds no sentence of one.
"""

from lampwright.rule.context import Context, Rule, Verdict, fleet_rule, rule

__all__ = ["Context", "Rule", "Verdict", "fleet_rule", "rule"]
