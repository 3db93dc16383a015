"""What of a report is new: without the findings of a baseline, and without those that an earlier revision had."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from lampwright.cli.baselines import read_known, report_without_known
from lampwright.cli.checking import Run, with_fleet
from lampwright.diagnostics import Failure, Refusal, Report, merge_reports
from lampwright.engine.since import added
from lampwright.files import Files, is_folder
from lampwright.files.history import Revision, revision
from lampwright.fleet import Fleet
from lampwright.kinds import Kind, kind_of
from lampwright.settings import Governance


def report_news(run: Run, paths: list[str], baseline: str | None, since: str | None) -> Report:
    """All that is new in the files that `paths` name. If it cannot be told what is known, nothing is checked."""
    known = read_known(Path(baseline), run.files) if baseline is not None else None
    if isinstance(known, Failure):
        return Report(failures=(known,))
    past = revision(_folder_of(paths), since) if since is not None else None
    if isinstance(past, Refusal):
        return Report(failures=(Failure(None, f"--since {since}", _why(past)),))
    report = run.report(paths)
    if known is not None:
        report = report_without_known(report, known)
    return _added(run, report, past) if past is not None else report


def _folder_of(paths: list[str]) -> Path:
    """A folder in the repository that is meant: that of the first file, wherever the command is run."""
    first = Path(paths[0])
    folder = first if is_folder(first) else first.parent
    return folder if is_folder(folder) else Path()


def _why(refusal: Refusal) -> str:
    return "git knows no such revision" if refusal.reason == "unknown" else refusal.reason


def _added(run: Run, now: Report, past: Revision) -> Report:
    """What has come since. Settings, sheets and catalogues are taken as they were then for what was found then."""
    files = Files(run.files.working_directory, past)
    then = Run(run.stdin_name, files, Governance(files))
    paths = {path for path in _suspects(run, now, past) if past.is_file(files.really(path))}
    report = with_fleet(merge_reports(then.check(path) for path in sorted(paths)))
    return added(now, report, lambda source: past.path_then(run.files.path(source)), files.path)


def _suspects(run: Run, now: Report, past: Revision) -> Iterator[Path]:
    """Where the files were that may have had a finding already. What was found in a sheet may be due to any plan."""
    found = {finding.span.source for finding in now.findings if finding.allowed is None}
    # What was found among all plans takes all of them to be found again.
    is_in_plans_only = Fleet(now.cards).is_in_order and all(
        kind_of(source.name) is Kind.LIGHTING_PLAN for source in found
    )
    for source in found if is_in_plans_only else now.sources:
        yield past.path_then(run.files.path(source))
