"""`lampwright explain`: the page of a rule, or the table of all rules."""

from __future__ import annotations

import textwrap

from lampwright.cli.printing import complain, print_result, terminal_width
from lampwright.rule import Rule
from lampwright.rules import RULES
from lampwright.text import nearest


def run_explain(name: str | None, folder: str | None = None) -> int:
    """Print the page of the rule `name`, or without a name all rules; or write all pages into `folder`."""
    if folder is not None:
        from lampwright.cli.publishing import write_pages

        return write_pages(folder, name)
    if name is None:
        print_result("\n".join(map(_row, RULES)) + "\n")
        return 0
    rule = next((rule for rule in RULES if rule.name == name), None)
    if rule is not None:
        print_result(f"{rule.name} ({rule.level.word})\n\n{rule.page.strip()}\n")
        return 0
    complain(f"there is no rule {name}; {_hint(name)}")
    return 2


def _row(rule: Rule) -> str:
    """One line, for programs that look for a word; in a terminal as many as it takes, the table still a table."""
    start = f"{rule.name:<{max(len(each.name) for each in RULES)}}  {rule.level.word:<7}  "
    width = terminal_width()
    if width is None:
        return start + rule.summary
    return textwrap.fill(rule.summary, width, initial_indent=start, subsequent_indent=" " * len(start))


def _hint(name: str) -> str:
    names = [rule.name for rule in RULES]
    close = nearest(name, names) or [each for each in names if name.casefold() in each][:3]
    return f"did you mean {' or '.join(close)}?" if close else "lampwright explain lists all"
