"""`lampwright fix`: has each file mended, writes what came of it, and says what was done and what is left."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from lampwright.cli.baselines import read_known
from lampwright.cli.checking import DONE, FOUND, INCOMPLETE, Run, tell_failures
from lampwright.cli.places import line_of, line_of_finding
from lampwright.cli.printing import print_aside, print_result, print_visibly
from lampwright.diagnostics import Failure, Finding, Refusal, Report, Severity, merge_reports
from lampwright.engine.baseline import without_known
from lampwright.engine.fixing import Mended, Repair, mend
from lampwright.files import Files
from lampwright.kinds import Kind, kind_of
from lampwright.records import dataclass, field
from lampwright.render.diff import render_diff
from lampwright.rule.phrases import counted
from lampwright.settings import Governance
from lampwright.text import Source

# What others refer to comes first, so that they are judged by what has become of it.
_ORDER = (Kind.SETTINGS, Kind.PARTS_CATALOGUE, Kind.DECODER_SHEET, Kind.LIGHTING_PLAN)


def run_fix(
    paths: list[str], *, unsure: bool, show: bool, stdin_name: str, baseline: str | None, heed_exclude: bool
) -> int:
    """Fix the files that `paths` name (none: all below the working directory); with `show` print what would change.

    The text of standard input is printed as it should be, and then what is said goes to standard error. What the file
    `baseline` knows does not count as left. With `heed_exclude` what the settings exclude is left out of `paths`, too.
    """
    files = Files(Path.cwd())
    known = read_known(Path(baseline), files) if baseline is not None else None
    if isinstance(known, Failure):
        tell_failures(Report(failures=(known,)))
        return INCOMPLETE
    run = Run(stdin_name, files, Governance(files), heed_exclude)
    fixing = _Fixing(run, unsure, Path(stdin_name) if "-" in paths else None, show)
    report = fixing.report(paths or ["."])
    tell_failures(report)
    if known is not None:
        report = without_known(report, known.baseline, known.name_of)
    fixing.changed.sort(key=lambda pair: pair[0].name)
    said = list(_said(fixing, report))
    if show:
        print_visibly("".join(render_diff(before, mended.source) for before, mended in fixing.changed))
    elif fixing.typed is not None and fixing.read is not None:
        print_visibly(("\ufeff" if fixing.read.bom else "") + fixing.read.text)
    if show or fixing.typed is not None:
        for line in said:
            print_aside(line)
    else:
        print_result("".join(f"{line}\n" for line in said))
    return _status(fixing, report)


def _status(fixing: _Fixing, report: Report) -> int:
    if report.failures:
        return INCOMPLETE
    wrong = any(finding.level is Severity.ERROR for finding in _open(report))
    return FOUND if wrong or (fixing.show and fixing.changed) else DONE


@dataclass(slots=True)
class _Fixing:
    """One run of the command. `typed` is the file that standard input stands for, `read` what became of its text."""

    run: Run
    unsure: bool
    typed: Path | None
    show: bool
    changed: list[tuple[Source, Mended]] = field(default_factory=list)
    mended: set[Source] = field(default_factory=set)
    read: Source | None = None

    def report(self, paths: list[str]) -> Report:
        """All that is left in the files that `paths` name, and all that could not be done."""
        run, reports = self.run, []
        named = {path for given in dict.fromkeys(paths) for path in run.named(given)}
        for kind in _ORDER:
            of_kind = sorted((path for path in named if kind_of(path.name) is kind), key=run.files.shown)
            # A file that has two names is one file.
            once = {source: path for path in of_kind if (source := self._source(path)) is not None}
            reports += [self._mended(path, source) for source, path in once.items()]
            if kind is Kind.SETTINGS and self.changed:
                run.governance = Governance(run.files)
        return merge_reports([*reports, Report(failures=tuple(run.failures))])

    def _source(self, path: Path) -> Source | None:
        source = self.run.files.source(path)
        if isinstance(source, Refusal):
            self.run.fail(path, source.reason)
            return None
        return source

    def _mended(self, path: Path, source: Source) -> Report:
        """What is found in a file after all was done that could be."""
        run = self.run
        is_typed = self.typed is not None and run.files.source(self.typed) is source
        if is_typed and source.fault is None:
            self.read = source
        try:
            mended = mend(source, lambda each: run.judge(run.files.imagined(each, source)), unsure=self.unsure)
        except Exception as error:  # noqa: BLE001  # a bug of ours may cost one file, not the work on all others
            run.fail(path, f"this file could not be fixed, which is our fault: {type(error).__name__}: {error}")
            return Report()
        if mended.repairs:
            refused = None if self.show or is_typed else run.files.write(mended.source, source)
            if refused is not None:
                run.fail(path, refused.reason)
                return run.judge(source)
            run.files.settle(mended.source)
            self.changed.append((source, mended))
            self.read = mended.source if is_typed else self.read
        self.mended.add(mended.source)
        return mended.report


# --- What is said -----------------------------------------------------------------------------------------------------


def _said(fixing: _Fixing, report: Report) -> Iterator[str]:
    repairs = [repair for _, mended in fixing.changed for repair in mended.repairs]
    verb = "would fix" if fixing.show else "fixed"
    yield from (_line_of_repair(repair, verb) for repair in repairs)
    left = list(_open(report))
    yield from map(line_of_finding, left)
    levels = [finding.level for finding in left]
    counts = ", ".join(counted(levels.count(level), level.word) for level in sorted(Severity, reverse=True))
    parts = [f"{verb} {len(repairs)} in {counted(len(fixing.changed), 'file')}", f"left: {counts}"]
    parts += [f"{report.known} known"] if report.known else []
    unsure = (each for each in left if each.fixes and not any(fix.sure for fix in each.fixes))
    curable = sum(finding.span.source in fixing.mended for finding in unsure)
    if curable and not fixing.unsure:
        parts.append(f"--unsure has a fix for {curable} of them")
    yield "; ".join(parts)


def _line_of_repair(repair: Repair, verb: str) -> str:
    return line_of(repair.finding.span, f"{verb}: {repair.fix.title} [{repair.finding.rule}]")


def _open(report: Report) -> Iterator[Finding]:
    return (finding for finding in report.findings if finding.allowed is None)
