"""Has many files checked: what is known of them is recalled, the rest is shared among processes if there is much of it.

A process that is lost costs time, never a finding: whatever it has not told of is checked here.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import closing, suppress
from pathlib import Path

from lampwright.cli.progress import Progress
from lampwright.cli.recalling import Memory
from lampwright.diagnostics import Report
from lampwright.files import Files
from lampwright.files.keeping import Shelves
from lampwright.settings import Governance
from lampwright.text import Source

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.context import ForkProcess, SpawnProcess

    from lampwright.cli.checking import Run
    from lampwright.cli.recalling import Entry

ENOUGH = 40
"""Files for which a process more is worth its start; about a tenth of a second of work."""

_TOGETHER = 20
"""Files whose findings travel together."""


def check_all(run: Run, paths: Sequence[Path], memory: Memory) -> list[Report]:
    """What is found in the files at `paths`, in their order; what keeps one from being checked is noted in `run`."""
    reports: dict[int, Report] = {}
    unknown: dict[int, Source] = {}
    for number, path in enumerate(paths):
        source = run.source(path)
        report = memory.recall(source) if source is not None else Report()
        if report is not None:
            reports[number] = report
        elif source is not None:
            unknown[number] = source
    waiting = {number: paths[number] for number in unknown}
    with closing(Progress(len(paths))) as progress:
        progress.advance(len(reports))
        for number, entry in _told_by_others(run.files.working_directory, waiting):
            report = memory.learn(unknown[number], entry)
            if report is not None:
                reports[number] = report
                progress.advance()
        for number, path in waiting.items():
            if number not in reports:
                reports[number] = run.check(path)
                progress.advance()
    memory.keep()
    return [reports[number] for number in range(len(paths))]


def _told_by_others(folder: Path, paths: dict[int, Path]) -> Iterator[tuple[int, Entry]]:
    """What other processes find in the files at `paths`, as it comes; nothing if they are few, or cannot be had."""
    count = min(_processors(), len(paths) // ENOUGH)
    if count < 2:
        return
    import multiprocessing
    from multiprocessing.connection import wait

    # What is loaded by then need not be loaded by each; on other systems than Linux that is not safe.
    import lampwright.engine  # noqa: F401  # the same

    kind = multiprocessing.get_context("fork") if sys.platform == "linux" else multiprocessing.get_context("spawn")
    members: dict[Connection, ForkProcess | SpawnProcess] = {}
    # Where no more processes or pipes are to be had, those that there are must do.
    try:
        with suppress(OSError):
            for share in range(count):
                # In turn: plans of one folder are alike, and so each process gets as much of them.
                mine = list(paths.items())[share::count]
                here, there = kind.Pipe(duplex=False)
                member = kind.Process(target=_work, args=(folder, mine, there), daemon=True)
                member.start()
                there.close()
                members[here] = member
        while listened := [pipe for pipe in members if not pipe.closed]:
            for pipe in wait(listened):
                assert isinstance(pipe, type(listened[0]))
                yield from _received(pipe)
    finally:
        for pipe, member in members.items():
            pipe.close()
            member.terminate()
            member.join()


def _received(pipe: Connection) -> list[tuple[int, Entry]]:
    """What came through `pipe`, which is closed when nothing more will come."""
    try:
        told: list[tuple[int, Entry]] = pipe.recv()
    except (EOFError, OSError):
        pipe.close()
        return []
    return told


def _work(folder: Path, paths: list[tuple[int, Path]], pipe: Connection) -> None:
    """Check the files at `paths` and tell what was found: the work of another process."""
    import gc
    import signal

    from lampwright.cli.checking import Run

    # Ctrl-C goes to all of them; only the first has something to say to it.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    gc.freeze()
    # What a check leaves behind is mostly no garbage; looking for it at the usual pace takes a twentieth of the time.
    gc.set_threshold(100_000, 20, 100)
    files = Files(folder)
    memory = Memory(files, Governance(files), Shelves(None))
    run = Run("", files, memory.governance, memory=memory)
    told: list[tuple[int, Entry]] = []
    # Nobody listens any more: then nothing is left to do.
    with suppress(OSError):
        for number, path in paths:
            run.check(path)
            source = run.source(path)
            entry = memory.learnt(source) if source is not None else None
            if entry is not None:
                told.append((number, entry))
            if len(told) == _TOGETHER:
                pipe.send(told)
                told = []
        pipe.send(told)
    pipe.close()


def _processors() -> int:
    if sys.platform == "linux":
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1
