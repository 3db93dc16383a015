"""`lampwright baseline`, and the baseline of a check: reads and writes the file of known findings.

A baseline tells what was found when it was made. It can only shrink, unless it is asked to grow.
"""

from __future__ import annotations

import os
from collections.abc import Collection, Iterator
from functools import partial
from pathlib import Path

from lampwright.cli.checking import DONE, INCOMPLETE, Run, said_of, tell_failures
from lampwright.cli.printing import complain, print_result
from lampwright.diagnostics import Failure, Refusal, Report
from lampwright.engine.baseline import (
    Baseline,
    Corrupt,
    Entry,
    baseline_of,
    gone,
    read_baseline,
    renewed,
    without_known,
    written,
)
from lampwright.files import Files, exists, find, root_of, text_of
from lampwright.files.writing import write_instead
from lampwright.harmless import visible
from lampwright.kinds import Kind, kind_of
from lampwright.records import dataclass, field
from lampwright.rule.phrases import counted
from lampwright.settings import Governance
from lampwright.text import Source

_FAULTS = {
    "conflict": "a merge has left a conflict on line {}",
    "header": "it is no baseline: line {} does not say so",
    "version": "line {} tells of a version that this program does not know",
    "json": "line {} is no JSON",
    "entry": "line {} is no entry of a baseline",
}


@dataclass(frozen=True, slots=True)
class KnownFindings:
    """A baseline with the file that it stands in, and its text, None if it is new.

    `whole` are the roots that were looked at, with whether all plans in them were checked.
    """

    file: Path
    text: str | None
    baseline: Baseline
    files: Files
    whole: dict[Path, bool] = field(default_factory=dict)

    def name_of(self, source: Source) -> str:
        """How the baseline calls a file: relative to its own folder, wherever the command is run."""
        folder = os.path.realpath(self.file.parent)
        return Path(os.path.relpath(self.files.path(source), folder)).as_posix()

    def is_lost(self, name: str) -> bool:
        """Whether the file that the baseline calls so is there no more."""
        return not exists(Path(os.path.realpath(self.file.parent), name))

    def gone(self, report: Report) -> Baseline:
        """The entries that do not occur any more in what was checked."""
        checked = {self.files.path(source) for source in report.sources}
        return gone(report, self.baseline, self.name_of, self.is_lost, partial(self._has_neighbours, checked))

    def _has_neighbours(self, checked: Collection[Path], name: str) -> bool:
        """Whether all plans of the root of that file are among those `checked`."""
        own = self.files.really(Path(os.path.realpath(self.file.parent), name))
        root = root_of(own, self.files.working_directory, self.files.has_settings)
        if root not in self.whole:
            failed: list[Path] = []
            found = find(root, Governance(self.files).is_excluded, lambda folder, _: failed.append(folder))
            plans = (self.files.really(path) for path in found if kind_of(path.name) is Kind.LIGHTING_PLAN)
            self.whole[root] = all(plan in checked for plan in plans) and not failed
        return self.whole[root]


def read_known(file: Path, files: Files, *, may_be_new: bool = False) -> KnownFindings | Failure:
    """The baseline in `file`, or why it cannot be used."""
    text = text_of(file)
    if isinstance(text, Refusal):
        if text.reason == "missing" and may_be_new:
            return KnownFindings(file, None, {}, files)
        why = "there is no such baseline" if text.reason == "missing" else f"it cannot be read: {said_of(text)}"
        return Failure(None, files.shown(file), why)
    read = read_baseline(text)
    if isinstance(read, Corrupt):
        return Failure(
            None, files.shown(file), f"this baseline cannot be used: {_FAULTS[read.reason].format(read.line)}"
        )
    return KnownFindings(file, text, read, files)


def report_without_known(report: Report, known: KnownFindings) -> Report:
    """`report` without the findings of the baseline; what is gone from it is told, a line each."""
    lost = known.gone(report)
    for line in _told(known, lost):
        complain(line)
    return without_known(report, known.baseline, known.name_of)


def _told(known: KnownFindings, lost: Baseline) -> Iterator[str]:
    shown = known.files.shown(known.file)
    for entry, number in lost.items():
        yield f"{shown}: does not occur any more: {_said(entry)}" + (f", {number} times" if number > 1 else "")
    if lost:
        yield f"{shown}: `lampwright baseline {shown}` takes out what does not occur any more"


def _said(entry: Entry) -> str:
    return f'{entry.file}: {entry.rule}, "{entry.culprit}"' + (f" in {' / '.join(entry.path)}" if entry.path else "")


def run_baseline(file: str, paths: list[str], *, grow: bool) -> int:
    """Write what is found in `paths` (none: the working directory) into the baseline `file`, or shrink that."""
    files = Files(Path.cwd())
    known = read_known(Path(file), files, may_be_new=True)
    if isinstance(known, Failure):
        tell_failures(Report(failures=(known,)))
        return INCOMPLETE
    report = Run("", files, Governance(files)).report(paths or ["."])
    tell_failures(report)
    found, lost = baseline_of(report, known.name_of), known.gone(report)
    new = renewed(known.baseline, lost, found, grow=grow or known.text is None)
    refused = _write(known, new)
    if refused is not None:
        complain(f"{files.shown(known.file)}: it cannot be written: {said_of(refused)}")
        return INCOMPLETE
    print_result(f"{visible(files.shown(known.file))}: {_summary(known.baseline, new, found)}\n")
    return INCOMPLETE if report.failures else DONE


def _write(known: KnownFindings, new: Baseline) -> Refusal | None:
    text = written(new)
    if text == known.text:
        return None
    before = known.text.encode("utf-8", "surrogatepass") if known.text is not None else None
    return write_instead(known.file, before, text.encode("utf-8"))


def _summary(old: Baseline, new: Baseline, found: Baseline) -> str:
    taken_out = sum(max(0, number - new.get(entry, 0)) for entry, number in old.items())
    put_in = sum(max(0, number - old.get(entry, 0)) for entry, number in new.items())
    left = sum(max(0, number - new.get(entry, 0)) for entry, number in found.items())
    parts = [f"{counted(sum(new.values()), 'known finding')}, {put_in} put in, {taken_out} taken out"]
    return "; ".join([*parts, *([f"{left} new ones stay out without --grow"] if left else [])])
