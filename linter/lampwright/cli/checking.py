"""`lampwright check`: finds the files, has each checked, prints one report."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

from lampwright.account.keeping import DamagedError
from lampwright.cli.printing import complain
from lampwright.cli.recalling import Memory
from lampwright.cli.recalling_fleet import memory_of_fleet
from lampwright.cli.reporting import Delivery, deliver
from lampwright.diagnostics import Card, Failure, Refusal, Report, Severity, merge_reports
from lampwright.files import MAXIMUM_SIZE, Files, find, is_folder, key_of, reason_of
from lampwright.files.keeping import Shelves, usual_folder
from lampwright.fleet import Fleet
from lampwright.kinds import kind_of
from lampwright.records import dataclass, field
from lampwright.settings import Governance
from lampwright.text import Source

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from lampwright.engine import Load
    from lampwright.model.settings import Settings

DONE, FOUND, INCOMPLETE = 0, 1, 2
"""Exit statuses: no error-level finding; at least one; the command could not do all its work."""

_NOTHING_HERE = "it holds no lighting plan, decoder sheet, parts catalogue or settings file"
_MISNAMED = "its name must end in .lights.yaml, .decoder.yaml or .parts.yaml, or be lampwright.yaml"
REFUSALS = {
    "missing": "there is no such file",
    "permission": "you have no permission to read it",
    "no-file": "it is no regular file",
    "folder": "it is a folder",
    "changed": "it was changed meanwhile by somebody else, and is left as it is",
    "write-protected": "it is write-protected, and is left as it is",
    "unwritable": "you have no permission to write it or into its folder",
    "exists": "something of that name is there already, and is left as it is",
    "no-folder": "there is no such folder to put it into",
    "hard-links": "it has other names (hard links) that would not change with it, and is left as it is",
}


@dataclass(frozen=True, slots=True)
class Known:
    """What is left out of a report: what the file `baseline` knows, what the git revision `since` had already."""

    baseline: str | None = None
    since: str | None = None


NOTHING_KNOWN = Known()


@dataclass(frozen=True, slots=True)
class Manner:
    """How a check goes: whether what is found is kept for the next run, and what was kept is used; whether what the
    settings exclude is left out of the paths that were given, too.
    """

    keeps: bool = True
    heeds_exclude: bool = False


USUAL = Manner()


def run_check(
    paths: list[str], stdin_name: str, delivery: Delivery, known: Known = NOTHING_KNOWN, manner: Manner = USUAL
) -> int:
    """Check `paths` (none: the working directory) and deliver the report; the exit status is returned."""
    if not may_deliver(delivery):
        return INCOMPLETE
    report = report_of(run_of(stdin_name, Files(Path.cwd()), manner), paths, known)
    tell_failures(report)
    deliver(report, delivery)
    return status_of(report)


def with_fleet(report: Report, memory: Memory | None = None) -> Report:
    """`report`, with what is found among its plans, or was found the last time; else what it takes is loaded."""
    known = memory_of_fleet(memory, report.sources) if memory is not None else None
    found = known.recall() if known is not None else None
    if found is None:
        found = _found_among(report.cards)
        if known is not None:
            known.keep(found)
    return merge_reports([report, found]) if found.findings else report


def _found_among(cards: Sequence[Card]) -> Report:
    fleet = Fleet(cards)
    if fleet.is_in_order:
        return Report()
    from lampwright.comparing import judged

    return Report(findings=tuple(judged(fleet)))


def may_deliver(delivery: Delivery) -> bool:
    """Whether the report may go where it shall; if not, that is said."""
    if delivery.output is not None and (why := _unfit(delivery.output)):
        complain(f"--output {delivery.output}: {why}")
        return False
    if delivery.pages is None:
        return True
    from lampwright.account.pages import fault_of_pages

    if why := fault_of_pages(delivery.pages):
        complain(f"the address of the rules' pages, {delivery.pages}: {why}")
    return not why


def run_of(stdin_name: str, files: Files, manner: Manner) -> Run:
    """A run that reads `files`, in that manner."""
    memory = Memory(files, Governance(files), Shelves(usual_folder(os.environ) if manner.keeps else None))
    return Run(stdin_name, files, memory.governance, manner.heeds_exclude, memory=memory)


def report_of(run: Run, paths: list[str], known: Known) -> Report:
    """What `run` finds in `paths` (none: the working directory) and what is not known yet."""
    if known.baseline is None and known.since is None:
        return run.report(paths or ["."])
    from lampwright.cli.news import report_news

    return report_news(run, paths or ["."], known.baseline, known.since)


def status_of(report: Report) -> int:
    """The exit status that goes with a report."""
    if report.failures:
        return INCOMPLETE
    wrong = any(finding.level is Severity.ERROR and finding.allowed is None for finding in report.findings)
    return FOUND if wrong else DONE


def _unfit(output: str) -> str:
    """Why a report must not go there; empty if it may."""
    if not output:
        return "an empty path names no file"
    if is_folder(Path(output)):
        return "it is a folder"
    # A slip of the pen must not cost anyone his plan.
    return "a report never takes the place of a file that is checked" if kind_of(Path(output).name) else ""


def tell_failures(report: Report) -> None:
    """A line on standard error for all that could not be done."""
    for failure in report.failures:
        rule = f"the rule {failure.rule} failed: " if failure.rule is not None else ""
        complain(f"{failure.file}: {rule}{failure.text}")


def said_of(refusal: Refusal) -> str:
    """Why something was refused, in words."""
    return REFUSALS.get(refusal.reason, refusal.reason)


@dataclass(slots=True)
class Run:
    """One run of the command: what is read, and what could not be done.

    Who names a file means it, whatever the settings exclude; but a hook names what is in a commit: `heeds_exclude`.
    """

    stdin_name: str
    files: Files
    governance: Governance
    heeds_exclude: bool = False
    failures: list[Failure] = field(default_factory=list)
    memory: Memory | None = None

    def report(self, paths: list[str]) -> Report:
        """All that is found in the files that `paths` name, and all that could not be done."""
        # Once: standard input cannot be read again.
        wanted = self._wanted(paths)
        failed = len(self.failures)
        try:
            return self._report(wanted)
        except DamagedError:
            # Somebody has put something else where we keep what we know; we can do without.
            del self.failures[failed:]
            self.memory = None
            return self._report(wanted)

    def _report(self, wanted: list[Path]) -> Report:
        from lampwright.cli.crew import check_all

        reports = check_all(self, wanted, self.memory) if self.memory is not None else map(self.check, wanted)
        return with_fleet(merge_reports([*reports, Report(failures=tuple(self.failures))]), self.memory)

    def _wanted(self, paths: list[str]) -> list[Path]:
        """Every file to be checked, once, with the settings that govern it; the order of `paths` does not matter."""
        named = {key_of(path): path for given in dict.fromkeys(paths) for path in self.named(given)}
        wanted: dict[str, Path] = {}
        governing: dict[Path, None] = {}
        for path in sorted(named.values(), key=self.files.shown):
            real = self.files.really(path)
            wanted.setdefault(key_of(real), path)
            settings = self.governance.nearest_to(self.files.folder(real))
            if settings is not None and settings not in governing:
                governing[settings] = None
                wanted.setdefault(key_of(self.files.really(settings)), settings)
        return list(wanted.values())

    def named(self, given: str) -> Iterator[Path]:
        """The files that one argument names; what is none of ours is noted."""
        path = Path(given)
        if given == "-":
            yield from self._standard_input()
        elif not given:
            self.fail(path, "an empty path names no file")
        elif self.heeds_exclude and self.governance.leaves_out(path):
            return
        elif is_folder(path):
            yield from self._below(path)
        elif kind_of(path.name) is not None:
            yield path
        else:
            refused = self.files.source(path)
            self.fail(path, refused.reason if isinstance(refused, Refusal) else _MISNAMED)

    def _below(self, folder: Path) -> Iterator[Path]:
        failed = len(self.failures)
        found = list(find(folder, self.governance.is_excluded, self.fail))
        if not found and len(self.failures) == failed:
            self.fail(folder, _NOTHING_HERE)
        yield from found

    def _standard_input(self) -> Iterator[Path]:
        path = Path(self.stdin_name)
        if kind_of(path.name) is None:
            self.fail(path, f"{_MISNAMED}, if standard input is to stand for it")
        elif (data := self._read_standard_input(path)) is not None:
            self.files.given(path, data)
            yield path

    def _read_standard_input(self, path: Path) -> bytes | None:
        if sys.stdin is None:
            self.fail(path, "standard input is closed")
            return None
        try:
            # One byte too many is enough to know that it is too long; it may have no end.
            return sys.stdin.buffer.read(MAXIMUM_SIZE + 1)
        except OSError as error:
            self.fail(path, f"standard input cannot be read: {reason_of(error)}")
            return None

    def check(self, path: Path) -> Report:
        """All that is found in one file; what keeps it from being checked is noted."""
        source = self.source(path)
        if source is None:
            return Report()
        try:
            return self.judge(source) if self.memory is None else self.memory.watch(source, self._judge)
        except Exception as error:  # noqa: BLE001  # a bug of ours may cost one file, not the report of all others
            self.fail(path, f"this file could not be checked, which is our fault: {type(error).__name__}: {error}")
            return Report()

    def source(self, path: Path) -> Source | None:
        """The file at `path`; None, and it is noted, if it cannot be had."""
        source = self.files.source(path)
        if isinstance(source, Refusal):
            self.fail(path, source.reason)
            return None
        return source

    def judge(self, source: Source) -> Report:
        """All that is found in a source, by the settings that govern it."""
        return self._judge(source, self.files.load)

    def _judge(self, source: Source, load: Load) -> Report:
        # What is known already needs none of what this loads.
        from lampwright.engine import check

        return check(source, self._govern(source), load, govern=self._govern)

    def _govern(self, source: Source) -> Settings:
        return self.governance.settings_in(self.files.home(source))

    def fail(self, path: Path, why: str) -> None:
        """Note that something could not be done with a path, and why: in words, or by a code."""
        self.failures.append(Failure(None, self.files.shown(path), REFUSALS.get(why, why)))
