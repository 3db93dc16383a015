"""Many plans against named peers, cold and again, and one plan unchanged and changed.

Each tool runs as people start it: ours takes as many processes as there are processors by itself, the peers take one. Beside
that stands what the peers take if their files are split over as many processes.
"""

from __future__ import annotations

import os
import shutil
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path

from club import LINES, make_club
from measuring import Figure, Measured, Turns
from peers import PEERS, SCHEMA, Bench

PROCESSES = os.cpu_count() or 1
COLD, AGAIN = "lampwright check, cold", "lampwright check, again"
SAME, CHANGED, LINT = "one plan, unchanged", "one plan, changed", "one plan, yamllint"
MOST = {"yamllint": 0.08, "check-jsonschema": 0.5}


def measure(bench: Bench) -> Measured:
    many = _Many(bench)
    many.turns.take(bench.counts, bench.counts.runs, many.all_plans)
    many.turns.take(bench.counts, bench.counts.short_runs, many.one_plan)
    median = many.turns.median
    count = f"{bench.counts.plans:,} plans"
    cold = f"{count}, cold, {PROCESSES} processes by itself"
    figures = []
    for peer in PEERS:
        figures += [
            Figure(cold, median(COLD), against=peer, peer=median(peer), most=MOST[peer]),
            Figure(cold, median(COLD), against=_split(peer), peer=median(_split(peer))),
        ]
    figures += [
        Figure(f"{count}, again, nothing changed", median(AGAIN), against="cold", peer=median(COLD), most=0.1),
        Figure("one plan, again, nothing changed", median(SAME), against="yamllint", peer=median(LINT), most=0.6),
        Figure("one plan, again, changed", median(CHANGED), against="yamllint", peer=median(LINT), most=2.0),
    ]
    detail = [
        f"Plans of {LINES} lines each. Ours takes {PROCESSES} processes by itself; the peers take one, or {PROCESSES} where their",
        "files are split over processes.",
        "",
        *many.turns.table(),
    ]
    return Measured(figures, detail)


def _split(peer: str) -> str:
    return f"{peer} in {PROCESSES} processes"


class _Many:
    """The plans, and where our command keeps what it found."""

    def __init__(self, bench: Bench) -> None:
        self.bench, self.club, self.cache = bench, bench.club("many"), bench.folder / "cache"
        self.plans = [str(path.relative_to(self.club)) for path in make_club(self.club, bench.counts.plans)]
        self.turns = Turns()

    def all_plans(self) -> None:
        shutil.rmtree(self.cache, ignore_errors=True)
        check = [self.bench.program("lampwright"), "check", "."]
        self._time(COLD, [check])
        self._time(AGAIN, [check])
        lint = [self.bench.program("yamllint"), "--no-warnings"]
        schema = [self.bench.program("check-jsonschema"), "--schemafile", str(SCHEMA)]
        shares = [self.plans[share::PROCESSES] for share in range(PROCESSES)]
        for name, command in zip(PEERS, (lint, schema), strict=True):
            self._time(name, [[*command, *self.plans]])
            self._time(_split(name), [[*command, *share] for share in shares])

    def one_plan(self) -> None:
        plan = self.plans[len(self.plans) // 2]
        check = [self.bench.program("lampwright"), "check", plan]
        self._time(SAME, [check])
        with Path(self.club, plan).open("a", encoding="utf-8") as file:
            file.write("# And one remark more.\n")
        self._time(CHANGED, [check])
        self._time(LINT, [[self.bench.program("yamllint"), "--no-warnings", plan]])

    def _time(self, name: str, commands: list[list[str]]) -> None:
        run = partial(self.bench.run, folder=self.club, XDG_CACHE_HOME=str(self.cache))
        with ThreadPoolExecutor(len(commands)) as pool:
            self.turns.time(name, lambda: list(pool.map(run, commands)))
