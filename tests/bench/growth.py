"""How time and memory grow with the number of plans, and with the length of one."""

from __future__ import annotations

import gc
import json
import statistics
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from math import inf
from pathlib import Path

from club import LINES, make_club, make_long_plan
from electricity import forget
from measuring import Figure, Measured, own_seconds, said, table
from peers import Bench
from typist import texts

from lampwright.engine import check
from lampwright.files import Files
from lampwright.settings import Governance

PER_PLAN = 1.25
"""What one of many plans may take at most, of what one of fewer takes."""

PER_TEN = 12.0
"""What ten times the lines may take, of what the tenth of them takes."""

SHORT = 100
"""Plans that take less than a second, for more runs."""

# The watch stands in a small process: what a child has at most is never told as less than what its parent had.
WATCH = """
import json, os, resource, sys, time
start = time.perf_counter()
status = os.spawnv(os.P_WAIT, sys.argv[1], sys.argv[1:])
seconds = time.perf_counter() - start
used = resource.getrusage(resource.RUSAGE_CHILDREN)
sys.stderr.write(json.dumps([status, seconds, used.ru_utime + used.ru_stime, used.ru_maxrss / 1000]))
"""


@dataclass(frozen=True, slots=True)
class Spent:
    """Wall and processor seconds of a run, and the megabytes of the largest of its processes at its largest."""

    wall: float
    processor: float
    megabytes: float


def measure(bench: Bench) -> Measured:
    plans, lines = _plans(bench), _lines(bench)
    detail = [
        f"Plans of {LINES} lines, whose findings are kept for the next run. Memory is that of the largest process.",
        "",
        *table(
            ("plans", "cold s", "ms a plan", "processor ms a plan", "MB", "again s", "ms a plan", "MB"),
            [_plan_row(count, *runs) for count, runs in plans.items()],
        ),
        "",
        "One plan, with as many more outputs, lamps and keys as lines: the check in this process (processor time, the",
        "fastest of several rounds), and the command without a cache.",
        "",
        *table(
            ("lines", "check ms", "µs a line", "command ms", "MB"),
            [_line_row(count, *spent) for count, spent in lines.items()],
        ),
    ]
    return Measured([*_plan_figures(plans), *_line_figures(lines)], detail)


# --- Plans ------------------------------------------------------------------------------------------------------------


def _plans(bench: Bench) -> dict[int, tuple[Spent, Spent]]:
    """What a cold run takes for so many plans, and what the one after it."""
    found = {}
    for count in bench.counts.plans_grown:
        club, cache = bench.club(f"growth-{count}"), bench.folder / f"growth-{count}-cache"
        make_club(club, count)
        runs = []
        for number in range(bench.counts.short_runs if count <= SHORT else bench.counts.runs):
            check = partial(_spent, bench, club, ["check", "."], XDG_CACHE_HOME=str(cache / str(number)))
            runs.append((check(), check()))
        cold, again = map(_median, zip(*runs, strict=True))
        found[count] = cold, again
    return found


def _plan_figures(plans: dict[int, tuple[Spent, Spent]]) -> Iterator[Figure]:
    _, few, *more = plans
    most = more[-1]
    for number, what in enumerate(("cold", "again")):
        each = {count: 1000 * runs[number].wall / count for count, runs in plans.items()}
        promised = PER_PLAN if what == "cold" else None
        yield Figure(f"a plan of {most:,}, {what}", each[most], "ms", f"one of {few:,}", each[few], promised)
    # The start, which is shared among the plans, is in neither of these.
    steps = [(above - below, plans[above][0].wall - plans[below][0].wall) for below, above in pairwise((few, *more))]
    first, last = (1000 * seconds / count for count, seconds in (steps[0], steps[-1]))
    name = f"a plan more, from {more[-2] if len(more) > 1 else few:,} to {most:,}, cold"
    yield Figure(name, last, "ms", f"from {few:,} to {more[0]:,}", first, PER_PLAN)
    yield Figure(f"memory, {most:,} plans", plans[most][0].megabytes, "MB", f"{few:,} plans", plans[few][0].megabytes)


def _plan_row(count: int, cold: Spent, again: Spent) -> tuple[str, ...]:
    def a_plan(seconds: float) -> str:
        return said(1000 * seconds / count)

    first = (said(cold.wall), a_plan(cold.wall), a_plan(cold.processor), said(cold.megabytes))
    return f"{count:,}", *first, said(again.wall), a_plan(again.wall), said(again.megabytes)


# --- Lines ------------------------------------------------------------------------------------------------------------


def _lines(bench: Bench) -> dict[int, tuple[float, Spent]]:
    """Processor seconds of a check of a plan of so many lines, and what the command takes for it."""
    club = bench.club("growth-lines")
    files = Files(club)
    governance = Governance(files)
    plans = {count: make_long_plan(club, count) for count in bench.counts.lines_grown}
    checks = {count: partial(_check_anew, files, governance, plan, texts(plan)) for count, plan in plans.items()}
    seconds = dict.fromkeys(plans, inf)
    # In turn: a machine may be half as fast in one minute as in the next. Garbage is looked for as the command does.
    pace = gc.get_threshold()
    gc.set_threshold(100_000, 20, 100)
    for _ in range(bench.counts.rounds):
        for count, checked in checks.items():
            seconds[count] = min(seconds[count], own_seconds(checked, 1))
    gc.set_threshold(*pace)
    found = {}
    for count, plan in plans.items():
        command = partial(_spent, bench, club, ["check", "--no-cache", plan.name])
        found[count] = seconds[count], _median([command() for _ in range(bench.counts.runs)])
    return found


def _check_anew(files: Files, governance: Governance, plan: Path, given: Iterator[str]) -> None:
    """Check a text that was not checked before, and remember no circuit."""
    forget()
    source = files.given(plan, next(given).encode())
    settings = governance.settings(plan)
    check(source, settings, files.load, govern=lambda each: governance.settings(files.path(each)))


def _line_figures(lines: dict[int, tuple[float, Spent]]) -> Iterator[Figure]:
    for few, (seconds, _) in lines.items():
        if 10 * few in lines:
            name = f"check of {10 * few:,} lines"
            yield Figure(name, 1000 * lines[10 * few][0], "ms", f"of {few:,}", 1000 * seconds, PER_TEN)
    few, *_, most = lines
    yield Figure(f"memory, {most:,} lines", lines[most][1].megabytes, "MB", f"{few:,} lines", lines[few][1].megabytes)


def _line_row(count: int, seconds: float, spent: Spent) -> tuple[str, ...]:
    return (
        f"{count:,}",
        said(1000 * seconds),
        said(1e6 * seconds / count),
        said(1000 * spent.wall),
        said(spent.megabytes),
    )


# --- Both -------------------------------------------------------------------------------------------------------------


def _median(spent: Sequence[Spent]) -> Spent:
    return Spent(
        statistics.median(each.wall for each in spent),
        statistics.median(each.processor for each in spent),
        statistics.median(each.megabytes for each in spent),
    )


def _spent(bench: Bench, folder: Path, arguments: list[str], **variables: str) -> Spent:
    watched = [bench.program("python"), "-c", WATCH, bench.program("lampwright"), *arguments]
    told = bench.run(watched, folder, **variables).stderr.decode()
    status, *spent = json.loads(told[told.rindex("[") :])
    # Our example club has warnings, but no errors.
    assert status == 0, told
    return Spent(*spent)
