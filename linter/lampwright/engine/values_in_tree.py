"""Values of CVs in YAML or JSON: mappings of CV and value, and what `lampwright cvs --format json` prints.

Such as `{35: 12, CV36: 4}`, `[{cv: 35, value: 12}]` and `{"cvs": [{"cv": 300, "value": 1, "page": [0, 40]}]}`.
"""

from __future__ import annotations

import re

from lampwright.diagnostics import Problem
from lampwright.engine.written_values import Pages, Reading
from lampwright.patterns import pattern
from lampwright.syntax import Mapping, Node, Scalar, Sequence, Unread, parse
from lampwright.text import Source, Span

_BEGINNING = pattern(r"[{\[]|-\s*\{|(?:-\s+)?([\"']?)(?:format|plan|cvs|cv)\1\s*:(?:\s|\Z)")

_NUMBERED = pattern(r"(?:CV)?\s*[0-9]", re.IGNORECASE)


def is_tree(line: str) -> bool:
    """Whether a file whose first line that says something is `line` has more form than a line a value."""
    return _BEGINNING.match(line) is not None


def read_tree(source: Source, reading: Reading) -> None:
    """Take all values of a text."""
    tree = parse(source)
    for problem in tree.problems:
        # A value that stands there twice alike is no matter.
        if not problem.data.get("equal"):
            _reject(problem.span, reading, _why(problem))
    if tree.root is not None:
        _take(tree.root, reading)


def _why(problem: Problem) -> str:
    return "again" if problem.kind == "duplicate-key" else "syntax"


def _take(node: Node, reading: Reading) -> None:
    if isinstance(node, Sequence):
        for item in node:
            _take(item, reading)
    elif isinstance(node, Mapping):
        _take_mapping(node, reading)
    elif not isinstance(node, Unread):
        _reject(node.span, reading, "no-cv")


def _take_mapping(node: Mapping, reading: Reading) -> None:
    listed, cv, value = node.value("cvs"), node.value("cv"), node.value("value")
    if cv is not None:
        _take_value(node.span, cv, value, reading, _pages(node))
        return
    for key, held in node.items():
        if key == "cvs":
            _take(held, reading)
        elif listed is None or _NUMBERED.match(key):
            # Beside a list, words are about the file.
            _take_value(key.span, key, held, reading, "as chosen")


def _take_value(span: Span, cv: Node, value: Node | None, reading: Reading, pages: Pages | None) -> None:
    if isinstance(value, Unread):
        return
    if not isinstance(cv, Scalar) or not isinstance(value, Scalar):
        _reject(span, reading, "no-cv")
    elif pages is None:
        _reject(span, reading, "page")
    else:
        reading.take(_line(span), span.to(value.span).text if span.end <= value.start else span.text, cv, value, pages)


def _pages(node: Mapping) -> Pages | None:
    """The page of one value, None if what is written is none."""
    page = node.value("page")
    if page is None:
        return "as chosen"
    if isinstance(page, Scalar) and page in ("", "null", "~"):
        return "none"
    if isinstance(page, Sequence) and len(page) == 2:
        high, low = page
        if isinstance(high, Scalar) and isinstance(low, Scalar):
            return high, low
    return None


def _reject(span: Span, reading: Reading, why: str) -> None:
    reading.reject(_line(span), span.text, why)


def _line(span: Span) -> int:
    return span.source.position(span.start).line
