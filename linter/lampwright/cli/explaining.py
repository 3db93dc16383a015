"""`lampwright explain`: the page of a rule, or the table of all rules."""

from __future__ import annotations

from lampwright.cli.printing import complain, print_result
from lampwright.rules import LATER, RULES
from lampwright.text import nearest


def run_explain(name: str | None) -> int:
    """Print the page of the rule `name`, or without a name one line for each rule."""
    if name is None:
        width = max(len(rule.name) for rule in RULES)
        lines = (f"{rule.name:<{width}}  {rule.level.word:<7}  {rule.summary}" for rule in RULES)
        print_result("\n".join(lines) + "\n")
        return 0
    rule = next((rule for rule in RULES if rule.name == name), None)
    if name in LATER:
        complain(f"the rule {name} has its name, but this version does not check it yet")
        return 2
    if rule is None:
        close = nearest(name, [rule.name for rule in RULES])
        meant = f"; did you mean {' or '.join(close)}?" if close else "; lampwright explain lists all"
        complain(f"there is no rule {name}{meant}")
        return 2
    print_result(f"{rule.name} ({rule.level.word})\n\n{rule.page.strip()}\n")
    return 0
