"""In which forms a report can be had, and where it goes: to standard output, or whole into a file."""

from __future__ import annotations

import os
from importlib import import_module
from pathlib import Path

from lampwright.account.words import summary
from lampwright.cli.printing import complain, print_result, terminal_width
from lampwright.diagnostics import Report

TEXT = "text"
FORMATS = {
    TEXT: "frames with the culprit marked, for people (the default)",
    "line": "file:line:column: level: message [rule], for editors and grep",
    "json": "one object with all there is to know, for programs",
    "json-lines": "the same, one object a line",
    "sarif": "SARIF 2.1.0, for code scanning",
    "junit": "JUnit XML, errors as failures, for test reports",
    "github": "workflow commands, shown beside the lines of a change",
    "gitlab": "Code Quality JSON, shown in a merge request",
    "markdown": "a page, for a job's summary or a comment",
    "statistics": "a table of how often each rule spoke, for an overview",
}
"""Each form of a report, and what it is for. Its module is `as_` and its name."""


def deliver(report: Report, form: str, output: str | None) -> None:
    """Print `report` in `form`, or write it to the file `output` and say only its sums, on standard error.

    Raises OSError, worded for the user, if it cannot be written.
    """
    if output is None:
        print_result(_rendered(report, form, terminal_width()))
        return
    from lampwright.files.delivering import write_whole

    write_whole(Path(output), _rendered(report, form, None))
    complain(f"{summary(report)}; the report is in {output}")


def _rendered(report: Report, form: str, width: int | None) -> str:
    if form == TEXT:
        return _text(report, width)
    # Nobody waits for the forms that he did not ask for.
    module = import_module(f"lampwright.render.as_{form.replace('-', '_')}")
    rendered: str = getattr(module, f"render_{form.replace('-', '_')}")(report)
    return rendered


def _text(report: Report, width: int | None) -> str:
    from lampwright.render.as_text import WIDTH, render_text

    wants_colour = not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
    return render_text(report, colour=width is not None and wants_colour, width=width or WIDTH)
