"""What is done with an input, and what has to hold then. Each gives whether the input got as far as rules."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any
from unittest.mock import patch

from accounts import accounts
from fuzzed import Fuzzed, loader
from promises import hold_harmless, hold_page, hold_places, hold_printed, hold_table, strict_json

from lampwright.comparing import with_fleet
from lampwright.diagnostics import Finding, Report, merge_reports
from lampwright.engine import RULE_NAMES, Load, check, plan_of, settings_of, survey
from lampwright.engine.documents import read_document
from lampwright.engine.fixing import MOST_ROUNDS, mend
from lampwright.kinds import Kind, kind_of
from lampwright.model.settings import Settings
from lampwright.render import as_sarif
from lampwright.syntax import Mapping, Node, Sequence
from lampwright.text import Source, Span, apply
from reports import NAMES, render

Stage = Callable[[Fuzzed], bool]


def read(fuzzed: Fuzzed) -> bool:
    """Bytes, text, tree, shapes, model: no rules. Every place lies in its text."""
    sources = fuzzed.sources()
    surveyed = survey(sources[0], Settings(), loader(sources))
    documents = [surveyed.document, *(document for document, _ in surveyed.referred)]
    for document in documents:
        _hold_tree(document.tree.root)
        for comment in document.tree.comments:
            _hold_span(comment.span)
    for problem in (*surveyed.context.problems, *(each for document in documents for each in document.problems)):
        _hold_span(problem.span)
        for value in problem.data.values():
            _hold_data(value)
    return surveyed.context.lighting_plan is not None or surveyed.document.meaning is not None


def _hold_tree(node: Node | None) -> None:
    waiting = [node]
    while waiting:
        each = waiting.pop()
        if each is None:
            continue
        _hold_span(each.span)
        if isinstance(each, Mapping):
            waiting += [*each, *each.values()]
        elif isinstance(each, Sequence):
            waiting += each


def _hold_data(value: Any) -> None:
    if isinstance(value, Span):
        _hold_span(value)
    elif isinstance(value, tuple | list):
        for each in value:
            _hold_data(each)


def _hold_span(span: Span) -> None:
    assert 0 <= span.start <= span.end <= len(span.source.text), f"{span.start} to {span.end}"


# --- Rules, and all that is printed -----------------------------------------------------------------------------------


def judge(fuzzed: Fuzzed) -> bool:
    """The whole check, every form of its report, and every account of a plan that can be read."""
    sources = fuzzed.sources()
    settings, load = _settings(sources), loader(sources)
    plans = [source for source in sources if kind_of(source.name) is Kind.LIGHTING_PLAN]
    checked = plans if sources[0] in plans else sources[:1]
    report = with_fleet(merge_reports([check(source, settings, load, raising=True) for source in checked]))
    hold_places(report)
    print_all(report)
    reached = [_account(source, settings, load, report, fuzzed.number) for source in plans[:1]]
    return any(reached) or read_document(sources[0], kind_of(sources[0].name), RULE_NAMES).meaning is not None  # type: ignore[arg-type]


def _settings(sources: Iterable[Source]) -> Settings:
    governing = next((source for source in sources if kind_of(source.name) is Kind.SETTINGS), None)
    return settings_of(governing) if governing is not None else Settings()


def print_all(report: Report) -> None:
    """Every form of the report. What a log describes of all rules is the same for all inputs, and is left out."""
    with patch.object(as_sarif, "_descriptor", lambda rule, _: {"id": rule.name}):
        for form in NAMES:
            hold_printed(form, render(form, report), report)


def _account(source: Source, settings: Settings, load: Load, report: Report, turn: int) -> bool:
    plan = plan_of(source, settings, load)
    if plan is None:
        return False
    for printed in accounts(source.name, plan, report, turn):
        try:
            match printed.form:
                case "json":
                    strict_json(printed.text)
                    hold_harmless(printed.text)
                case "csv":
                    hold_table(printed.text)
                case "html":
                    hold_page(printed.text)
                case _:
                    hold_harmless(printed.text)
        except (AssertionError, ValueError) as error:
            raise AssertionError(f"{printed.command} as {printed.form}: {error}") from error
    return True


# --- Fixes ------------------------------------------------------------------------------------------------------------


def fix(fuzzed: Fuzzed) -> bool:
    """Sure fixes, one by one and all until nothing changes: the text parses, the finding is gone, again is nothing."""
    sources = fuzzed.sources()
    source, settings, load = sources[0], _settings(sources[1:]), loader(sources)

    def judged(text: Source) -> Report:
        return check(text, settings, load, raising=True)

    before = judged(source)
    for finding in [each for each in before.findings if each.allowed is None][:8]:
        for cure in [each for each in finding.fixes if each.sure][:1]:
            if source.fault is None and all(edit.span.source is source for edit in cure.edits):
                _hold_alone(finding, before, judged(replace(source, text=apply(source, cure.edits))))
    done = mend(source, judged)
    assert _broken(done.report) <= _broken(before), "mended, it cannot be read"
    if len(done.repairs) < MOST_ROUNDS:
        again = mend(done.source, judged)
        assert not again.repairs, f"mended, it is mended again: {again.repairs[0].fix.title}"
        assert again.source.text == done.source.text
    return bool(done.repairs)


def _hold_alone(finding: Finding, before: Report, after: Report) -> None:
    title = next(each.title for each in finding.fixes if each.sure)
    assert _broken(after) <= _broken(before), f"{finding.rule}: after {title!r} it cannot be read"
    old, new = (sum(_about(each) == _about(finding) for each in report.findings) for report in (before, after))
    assert new < old, f"{finding.rule}: {title!r} leaves its finding"


def _about(finding: Finding) -> tuple[str, str, str]:
    return finding.span.source.name, finding.rule, finding.culprit or finding.span.text


def _broken(report: Report) -> int:
    return sum(each.rule in ("syntax-error", "unsupported-yaml") for each in report.findings)


STAGES: dict[str, Stage] = {"reader": read, "rules": judge, "fixes": fix}
