"""`lampwright check --watch`: checks again whenever something changes on which the report hangs, until it is stopped.

A report that is as before is not printed again, only that it is so. Nothing is ever cleared: what was found before may
still be wanted.
"""

from __future__ import annotations

import time
from pathlib import Path
from typing import NoReturn

from lampwright.cli.checking import INCOMPLETE, Known, Manner, Run, may_deliver, report_of, run_of, tell_failures
from lampwright.cli.printing import complain, print_aside, print_result
from lampwright.cli.reporting import TEXT, Delivery, put, rendered
from lampwright.diagnostics import Failure
from lampwright.files import Files
from lampwright.files.watching import Watched
from lampwright.harmless import visible
from lampwright.records import dataclass

STOPPED = 130
"""The exit status of what Ctrl-C ends, as shells count."""

_PAUSE = 0.25
"""Seconds between two looks at least; who saves a file sees the report within twice that, and checking time."""
_SHARE = 9
"""A look that takes long is followed by a pause so many times as long, so that looking takes a tenth of a core."""
_SETTLING = 0.05
_LONGEST_SETTLING = 20
"""Seconds, and times of that, for an editor or `git checkout` to be done with what it has begun."""
_MOST_NAMED = 3


def run_watch(paths: list[str], delivery: Delivery, known: Known, manner: Manner) -> int:
    """Check `paths` (none: the working directory) again and again; the exit status, once the user has stopped it."""
    if "-" in paths:
        complain("--watch is for files; standard input is read once")
        return INCOMPLETE
    if not may_deliver(delivery):
        return INCOMPLETE
    try:
        _watch(paths or ["."], delivery, known, manner)
    except KeyboardInterrupt:
        return STOPPED


def _watch(paths: list[str], delivery: Delivery, known: Known, manner: Manner) -> NoReturn:
    folder = Path.cwd()
    last: tuple[str, tuple[Failure, ...]] | None = None
    changes: tuple[str, ...] = ()
    while True:
        begun = _begun(folder, paths, known, manner)
        report = report_of(begun.run, paths, known)
        text = rendered(report, delivery)
        is_news = (text, report.failures) != last
        if last is not None:
            _separate(changes, delivery, is_news=is_news)
        if is_news:
            tell_failures(report)
            put(text, report, delivery)
        if last is None:
            print_aside("lampwright: waiting for changes; Ctrl-C ends it")
        last = (text, report.failures)
        changes = _next_changes(begun)


def _separate(changes: tuple[str, ...], delivery: Delivery, *, is_news: bool) -> None:
    """Say what has changed: among the reports where people read them, beside them where programs do."""
    named = ", ".join(changes[:_MOST_NAMED])
    more = f" and {len(changes) - _MOST_NAMED} more" if len(changes) > _MOST_NAMED else ""
    line = visible(f"{time.strftime('%H:%M:%S')}: {named}{more}{'' if is_news else ': as before'}")
    if delivery.form == TEXT and delivery.output is None:
        print_result(f"\n--- {line}\n{chr(10) if is_news else ''}")
    else:
        print_aside(f"lampwright: {line}")


# --- What has changed -------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Begun:
    """A run that has begun: where it notes what it reads, and which files its paths stood for at that moment."""

    run: Run
    paths: list[str]
    watched: Watched
    named: frozenset[Path]

    def changes(self) -> tuple[str, ...]:
        """The files that have come, gone or changed since, as they are shown; empty if none has."""
        touched = [*self.watched.changed(), *(self.named ^ _named(self.run, self.paths))]
        shown = self.run.files.shown
        return tuple(sorted({shown(path) for path in touched}))


def _begun(folder: Path, paths: list[str], known: Known, manner: Manner) -> _Begun:
    watched = Watched()
    run = run_of("", Files(folder, watched), manner)
    if known.baseline is not None:
        watched.note(folder / known.baseline)
    return _Begun(run, paths, watched, _named(run, paths))


def _named(run: Run, paths: list[str]) -> frozenset[Path]:
    """The files that `paths` stand for now, and what stands for each path that cannot be looked at."""
    look = Run("", run.files, run.governance, run.heeds_exclude)
    found = {run.files.working_directory / path for given in paths for path in look.named(given)}
    return frozenset([*found, *(run.files.working_directory / failure.file for failure in look.failures)])


def _next_changes(begun: _Begun) -> tuple[str, ...]:
    """Wait until something has changed, and until no more does; what that is."""
    changes: tuple[str, ...] = ()
    pause = _PAUSE
    while not changes:
        time.sleep(pause)
        began = time.perf_counter()
        changes = begun.changes()
        pause = max(_PAUSE, _SHARE * (time.perf_counter() - began))
    for _ in range(_LONGEST_SETTLING):
        time.sleep(_SETTLING)
        before, changes = changes, begun.changes() or changes
        if changes == before:
            break
    return changes
