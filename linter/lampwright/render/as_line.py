"""A report as one line a finding, in the form of the GNU coding standards, for editors, grep and logs.

The form is `file:line:column: level: message [rule]`; a program's own message is `program: message`.
"""

from __future__ import annotations

from lampwright.account.words import line, opened, unchecked
from lampwright.diagnostics import Report


def render_line(report: Report) -> str:
    """A line for each finding that is not allowed, and a last one if anything was not checked."""
    lines = [line(finding) for finding in opened(report)]
    not_checked = unchecked(report)
    lines += [f"lampwright: not checked: {not_checked}"] if not_checked else []
    return "".join(f"{each}\n" for each in lines)
