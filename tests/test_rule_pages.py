"""The examples on the rules' pages are true: to the span, to the word, and to what a fix makes of them."""

from __future__ import annotations

import inspect
import re
import textwrap
from dataclasses import dataclass, field, replace
from pathlib import Path

import pytest

from lampwright.comparing import with_fleet
from lampwright.diagnostics import Finding, Report, merge_reports
from lampwright.engine import settings_of
from lampwright.model.settings import Settings
from lampwright.rule import Rule
from lampwright.rules import RULES
from lampwright.text import Source
from seam import PLAN, fix, report

_HEADING = re.compile(r"^(Bad|Good|Fixed|Settings|Other plan)(?: \((?P<name>[^)]+)\))?:$", re.MULTILINE)
_MARK = re.compile(r"^( *)#( *)(\^+) (.*)$")


@dataclass
class Example:
    heading: str
    name: str
    text: str
    # Line (from 1), first and last column (from 1, exclusive) and message of each finding that the page promises.
    marks: list[tuple[int, int, int, str]] = field(default_factory=list)
    settings: Settings | None = None
    # A plan that is checked together with it, for rules of the fleet; it may refer to the example by its name.
    other: str | None = None

    @property
    def report(self) -> Report:
        own = report(self.text, self.name, settings=self.settings)
        if self.other is None:
            return own
        other = report(self.other, "other.lights.yaml", {self.name: self.text}, self.settings)
        both = with_fleet(merge_reports([own, other]))
        # What the other plan is told is the same once more.
        return replace(both, findings=tuple(each for each in both.findings if each.span.source.name == self.name))


def examples(page: str) -> list[Example]:
    """Every example of a page, its marks taken out of the text, judged by the settings that stand before it."""
    found = []
    settings: Settings | None = None
    other: str | None = None
    for heading in _HEADING.finditer(page):
        lines = []
        for line in page[heading.end() :].lstrip("\n").splitlines():
            if line.strip() and not line.startswith("    "):
                break
            lines.append(line)
        text = textwrap.dedent("\n".join(lines)).strip("\n") + "\n"
        if heading[1] == "Settings":
            settings = settings_of(Source("lampwright.yaml", text))
        elif heading[1] == "Other plan":
            other = text
        else:
            example = Example(heading[1], heading["name"] or PLAN, text, settings=settings, other=other)
            found.append(without_marks(example))
    return found


def without_marks(example: Example) -> Example:
    kept: list[str] = []
    in_mark = False
    for line in example.text.splitlines():
        mark = _MARK.match(line)
        if mark:
            # A mark that begins under the # itself leaves no space between them.
            first = len(mark[1]) + (len(mark[2]) + 2 if mark[2] else 1)
            last = len(mark[1]) + 1 + len(mark[2]) + len(mark[3]) + 1
            example.marks.append((len(kept), first, last, mark[4]))
            in_mark = True
        elif in_mark and line.lstrip().startswith("#  "):
            place = example.marks[-1]
            example.marks[-1] = (*place[:3], f"{place[3]} {line.lstrip()[1:].strip()}")
        else:
            kept.append(line)
            in_mark = False
    example.text = "\n".join(kept) + "\n"
    return example


def marks_of(findings: list[Finding]) -> list[tuple[int, int, int, str]]:
    marks = []
    for finding in findings:
        start, end = (finding.span.source.position(at) for at in (finding.span.start, finding.span.end))
        assert start.line == end.line, "a page can only mark what stands on one line"
        marks.append((start.line, start.column, end.column, finding.message))
    return marks


def named(rule: Rule) -> str:
    return rule.name


@pytest.mark.parametrize("rule", RULES, ids=named)
def test_file_function_and_rule_have_one_name(rule: Rule) -> None:
    assert rule.judge.__module__ == f"lampwright.rules.{rule.name.replace('-', '_')}"
    assert rule.judge.__name__ == rule.name.replace("-", "_")


@pytest.mark.parametrize("rule", RULES, ids=named)
def test_a_rule_that_asks_for_problems_says_so(rule: Rule) -> None:
    assert rule.words_problems == (f'problems_of("{rule.name}")' in inspect.getsource(rule.judge))


@pytest.mark.parametrize("rule", RULES, ids=named)
def test_page_has_a_summary_examples_and_a_source(rule: Rule) -> None:
    headings = {example.heading for example in examples(rule.page)}
    assert {"Bad", "Good"} <= headings
    assert rule.has_fix == ("Fixed" in headings)
    assert re.search(r"^Source: \S", rule.page, re.MULTILINE)
    assert rule.summary.endswith(".")


@pytest.mark.parametrize("rule", RULES, ids=named)
def test_bad_examples_are_true(rule: Rule) -> None:
    for example in examples(rule.page):
        if example.heading == "Bad":
            findings = example.report.findings
            assert marks_of([finding for finding in findings if finding.rule == rule.name]) == example.marks
            # What comes of the same mistake may be another rule's; then the page excuses it.
            others = [finding for finding in findings if finding.rule != rule.name and finding.allowed is None]
            assert [finding.rule for finding in others] == []


@pytest.mark.parametrize("rule", RULES, ids=named)
def test_good_and_fixed_examples_are_clean(rule: Rule) -> None:
    for example in examples(rule.page):
        if example.heading != "Bad":
            found = example.report.findings
            assert [finding.message for finding in found] == []


@pytest.mark.parametrize("rule", [rule for rule in RULES if rule.has_fix], ids=named)
def test_fixing_bad_gives_fixed(rule: Rule) -> None:
    bad: Example | None = None
    for example in examples(rule.page):
        if example.heading == "Bad":
            bad = example
        elif example.heading == "Fixed":
            assert bad is not None
            once = fix(bad.text, bad.name, settings=bad.settings)
            assert once == example.text
            assert fix(once, bad.name, settings=bad.settings) == once


def test_every_rule_file_is_listed() -> None:
    folder = Path(report.__globals__["check_source"].__code__.co_filename).parent.parent / "rules"
    files = {path.stem for path in folder.glob("*.py")} - {"__init__", "table"}
    assert files == {rule.name.replace("-", "_") for rule in RULES}
    assert len({rule.name for rule in RULES}) == len(RULES)
