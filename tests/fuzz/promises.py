"""What is promised of a report and of everything that is printed, whatever the input was."""

from __future__ import annotations

import csv
import io
import json
import re
from html.parser import HTMLParser
from itertools import chain
from typing import Any
from xml.etree import ElementTree as ET

from lampwright.diagnostics import Report
from lampwright.harmless import visible
from lampwright.text import Span
from report_format import hold

_COMMAND = re.compile(r"##\w*\[")
_OURS = re.compile(r"::(?:error|warning|notice) file=[^\n]*? line=")
_FORMULA = ("=", "+", "-", "@")


def hold_places(report: Report) -> None:
    """Every place lies in its text; what is pointed at is empty at the end of a text only."""
    for finding in report.findings:
        _inside(finding.span)
        for note in finding.notes:
            _inside(note.span)
        for edit in chain.from_iterable(fix.edits for fix in finding.fixes):
            _inside(edit.span, may_be_empty=bool(edit.text))
    for item in report.undecided:
        _inside(item.span)


def _inside(span: Span, *, may_be_empty: bool = False) -> None:
    size = len(span.source.text)
    assert 0 <= span.start <= span.end <= size, f"{span.start} to {span.end} of {size}"
    assert may_be_empty or span.start < span.end or span.end == size, (
        f"nothing is pointed at, at {span.start} of {size}"
    )


def hold_printed(form: str, printed: str, report: Report) -> None:
    """The report in that form is what its readers can read, and nobody obeys a name in it."""
    hold_harmless(printed, form)
    match form:
        case "json":
            hold(strict_json(printed), _texts(report))
        case "json-lines":
            for line in printed.splitlines():
                strict_json(line)
        case "sarif" | "gitlab":
            strict_json(printed)
        case "junit":
            assert ET.fromstring(printed.encode()).tag == "testsuites"


def _texts(report: Report) -> dict[str, str]:
    """The text of each file that a report speaks of."""
    spans = [each.span for each in (*report.findings, *report.undecided)]
    spans += [note.span for finding in report.findings for note in finding.notes]
    return {source.name: source.text for source in (*report.sources, *(span.source for span in spans))}


def strict_json(text: str) -> Any:
    """The value; what JSON does not know is refused."""

    def refuse(word: str) -> None:
        raise AssertionError(f"{word} is no JSON")

    return json.loads(text, parse_constant=refuse)


def hold_harmless(printed: str, form: str = "") -> None:
    """No character is obeyed by a terminal, and no line by a build service."""
    used = "".join({*printed} - {"\n"})
    assert visible(used) == used, f"{form}: one of {[each for each in used if visible(each) != each]} would be obeyed"
    assert _COMMAND.search(printed) is None, f"{form} has a command in it"
    if "::" in printed and form != "github":
        assert not any(line.lstrip().startswith("::") for line in printed.split("\n")), f"{form} has a command in it"


def hold_table(printed: str) -> None:
    """A table has as many cells in each row, and no cell is a formula."""
    hold_harmless(printed.replace("\r\n", "\n"), "csv")
    rows = list(csv.reader(io.StringIO(printed, newline="")))
    assert len({len(row) for row in rows}) == 1, "rows differ in length"
    for cell in chain.from_iterable(rows):
        assert not cell.startswith(_FORMULA) or re.fullmatch(r"-[0-9.]+", cell), f"{cell[:80]!r} is a formula"


_ASKING = {"a", "img", "iframe", "link", "object", "embed", "base", "form"}
_VOID = {"meta", "br", "hr", "input", "col", "wbr"}
_MAY_STAY_OPEN = {
    "p",
    "li",
    "td",
    "th",
    "tr",
    "tbody",
    "thead",
    "dd",
    "dt",
    "option",
    "colgroup",
    "html",
    "body",
    "head",
}


class _Page(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.open, self.wrong = list[str](), list[str]()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in _ASKING or any(name.startswith("on") or name in ("src", "href") for name, _ in attrs):
            self.wrong.append(self.get_starttag_text() or tag)
        if tag not in _VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in _VOID:
            self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        while self.open and self.open[-1] != tag and self.open[-1] in _MAY_STAY_OPEN:
            self.open.pop()
        if not self.open or self.open.pop() != tag:
            self.wrong.append(f"</{tag}> closes nothing")


def hold_page(printed: str) -> None:
    """A page whose tags fit, that asks for nothing and has no markup but its own."""
    page = _Page()
    page.feed(printed)
    page.close()
    wrong = [*page.wrong, *(tag for tag in page.open if tag not in _MAY_STAY_OPEN)]
    assert not wrong, f"the page has {wrong[:3]}"
    assert "<script>alert" not in printed
