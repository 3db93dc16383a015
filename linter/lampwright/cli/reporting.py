"""In which forms a report can be had, and where it goes: to standard output, or whole into a file."""

from __future__ import annotations

import os
from importlib import import_module
from pathlib import Path

from lampwright.account.words import summary
from lampwright.cli.printing import complain, print_result, terminal_width
from lampwright.diagnostics import Report
from lampwright.records import dataclass

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


_LINKING = frozenset({"sarif", "markdown"})


@dataclass(frozen=True, slots=True)
class Delivery:
    """How a report is delivered: in which form, and into which file; None is standard output.

    `pages` is the address of the rules' pages, for the forms that can link to them.
    """

    form: str = TEXT
    output: str | None = None
    pages: str | None = None


def deliver(report: Report, delivery: Delivery) -> None:
    """Render `report` and put it where it goes.

    Raises OSError, worded for the user, if it cannot be written.
    """
    put(rendered(report, delivery), report, delivery)


def rendered(report: Report, delivery: Delivery) -> str:
    """The text of `report`, as wide as there is room where it goes."""
    if delivery.form == TEXT:
        return _text(report, terminal_width() if delivery.output is None else None, delivery.pages)
    # Nobody waits for the forms that he did not ask for.
    name = delivery.form.replace("-", "_")
    module = import_module(f"lampwright.render.as_{name}")
    links = {"pages": delivery.pages} if delivery.form in _LINKING else {}
    text: str = getattr(module, f"render_{name}")(report, **links)
    return text


def put(text: str, report: Report, delivery: Delivery) -> None:
    """Print `text`, or write it to the file and say only the sums of `report`, on standard error.

    Raises OSError, worded for the user, if it cannot be written.
    """
    if delivery.output is None:
        print_result(text)
        return
    from lampwright.files.delivering import write_whole

    write_whole(Path(delivery.output), text)
    complain(f"{summary(report)}; the report is in {delivery.output}")


def _text(report: Report, width: int | None, pages: str | None) -> str:
    from lampwright.render.as_text import WIDTH, render_text

    wants_colour = not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
    if pages is not None:
        from lampwright.cli.terminals import knows_links

        pages = pages if width is not None and wants_colour and knows_links(os.environ) else None
    return render_text(report, colour=width is not None and wants_colour, width=width or WIDTH, pages=pages)
