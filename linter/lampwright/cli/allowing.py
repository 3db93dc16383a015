"""`lampwright allow`: puts a comment with a reason where a finding is, after which the finding is excused."""

from __future__ import annotations

import re
from functools import partial
from pathlib import Path

from lampwright.cli.checking import DONE, INCOMPLETE, Run, tell_failures
from lampwright.cli.places import line_of
from lampwright.cli.printing import complain, print_result
from lampwright.comparing import FLEET_RULES, with_fleet
from lampwright.diagnostics import Finding, Refusal, Report, merge_reports
from lampwright.engine import RULE_NAMES
from lampwright.engine.excusing import Excuse, excused
from lampwright.engine.fixing import Judge
from lampwright.files import Files, find, is_folder, root_of
from lampwright.harmless import visible
from lampwright.patterns import pattern
from lampwright.records import replace
from lampwright.rule.phrases import counted
from lampwright.settings import Governance
from lampwright.text import Source, nearest

_OF_FLEET = {rule.name for rule in FLEET_RULES}

_PLACE = pattern(r"(?P<file>.+?):(?P<line>\d{1,9})(?::(?P<column>\d{1,9}))?:?\Z", re.DOTALL)


def run_allow(rule: str, place: str, reason: str) -> int:
    """Excuse what `rule` finds at `place`, a file with a line and perhaps a column, for `reason`."""
    refused = _fault_of(rule, place, reason)
    if refused is not None:
        complain(refused)
        return INCOMPLETE
    match = _PLACE.match(place)
    assert match is not None
    column = int(match["column"]) if match["column"] else None
    excuse = Excuse(rule, int(match["line"]), column, reason.strip())
    files = Files(Path.cwd())
    run = Run("", files, Governance(files))
    told = next((_excuse(run, path, excuse) for path in run.named(match["file"])), None)
    tell_failures(Report(failures=tuple(run.failures)))
    if told is None or run.failures:
        return INCOMPLETE
    print_result(f"{told}\n")
    return DONE


def _fault_of(rule: str, place: str, reason: str) -> str | None:
    """What is wrong with the command; None if nothing is."""
    if rule not in RULE_NAMES:
        close = nearest(rule, RULE_NAMES)
        return f"there is no rule {rule}; " + (
            f"did you mean {' or '.join(close)}?" if close else "see lampwright explain"
        )
    match = _PLACE.match(place)
    if match is None or match["file"] == "-" or is_folder(Path(match["file"])):
        return f"{place} is no place in a file; write one as vehicles/loco.lights.yaml:9"
    if not reason.strip():
        return "an allowance needs a reason"
    if visible(reason) != reason:
        return "the reason must be plain text in one line"
    return None


def _excuse(run: Run, path: Path, excuse: Excuse) -> str | None:
    """What was done, in a line; None if it could not be, which is noted."""
    source = run.files.source(path)
    if isinstance(source, Refusal):
        run.fail(path, source.reason)
        return None
    judge = _among_all(run, source) if excuse.rule in _OF_FLEET else partial(_alone, run, source)
    before = judge(source)
    found = [each for each in before.findings if excuse.speaks_of(each, source)]
    meant = [finding for finding in found if finding.allowed is None]
    if not meant:
        run.fail(path, _nothing(before, source, found, excuse))
        return None
    changed = excused(source, meant, excuse, judge)
    refused = run.files.write(changed, source) if changed is not None else Refusal("no comment can be put there")
    if refused is not None:
        run.fail(path, refused.reason)
        return None
    return line_of(meant[0].span, f"allowed: {counted(len(meant), excuse.rule)} -- {excuse.reason}")


def _alone(run: Run, source: Source, changed: Source) -> Report:
    """What would be found in the file of `source` if it held `changed`."""
    return run.judge(run.files.imagined(changed, source))


def _among_all(run: Run, source: Source) -> Judge:
    """The same with all that is found among the files of its root, as whoever checks that would."""
    files = run.files
    root = root_of(files.path(source), files.working_directory, files.has_settings)
    paths = sorted(
        {files.really(path) for path in (files.path(source), *find(root, run.governance.is_excluded, run.fail))}
    )

    def judge(changed: Source) -> Report:
        files.settle(files.imagined(changed, source))
        sources = [found for path in paths if isinstance(found := files.source(path), Source)]
        report = with_fleet(merge_reports([run.judge(each) for each in sources]))
        files.settle(source)
        return report

    return judge


def _nothing(report: Report, source: Source, found: list[Finding], excuse: Excuse) -> str:
    """Why there is nothing to excuse, and where there would be."""
    place = f"line {excuse.line}" + (f", column {excuse.column}" if excuse.column is not None else "")
    if found:
        return f"{excuse.rule} on {place} is allowed already: {found[0].allowed}"
    open_ = [each for each in report.findings if each.span.source is source and each.allowed is None]
    elsewhere = {each.span.source.position(each.span.start).line for each in open_ if each.rule == excuse.rule}
    there = replace(excuse, column=None)
    others = {each.rule for each in open_ if replace(there, rule=each.rule).speaks_of(each, source)}
    hint = f"; there is on line {', '.join(map(str, sorted(elsewhere)[:5]))}" if elsewhere else ""
    hint = hint or (f"; there is {', '.join(sorted(others))}" if others else "")
    return f"no {excuse.rule} is found on {place}{hint}"
