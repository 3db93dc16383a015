"""What all measurements share: what a part of them gives back, how often it runs, and tables of what was found."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

HEAD = ("what", "ours", "peer", "ratio", "promised", "holds")
NONE = "–"


@dataclass(frozen=True, slots=True)
class Figure:
    """One thing that was measured, in `unit`, and what it is measured against, if that could be had.

    What is promised at most is a ratio to the peer, or, where there is no peer, the figure itself.
    """

    what: str
    ours: float
    unit: str = "ms"
    against: str | None = None
    peer: float | None = None
    most: float | None = None

    @property
    def ratio(self) -> float | None:
        return None if self.peer is None else self.ours / self.peer

    @property
    def holds(self) -> bool | None:
        """None if nothing is promised, or the peer could not be had."""
        judged = self.ours if self.against is None else self.ratio
        return None if self.most is None or judged is None else judged <= self.most

    @property
    def row(self) -> tuple[str, ...]:
        unit = f" {self.unit}"
        peer = (
            NONE
            if self.against is None
            else f"{said(self.peer) + unit if self.peer is not None else NONE}, {self.against}"
        )
        promised = NONE if self.most is None else f"≤ {self.most:g}{unit if self.against is None else ''}"
        holds = {True: "yes", False: "**NO**", None: NONE if self.most is None else "not measured"}[self.holds]
        return self.what, said(self.ours) + unit, peer, said(self.ratio), promised, holds


@dataclass(frozen=True, slots=True)
class Measured:
    """What a part has found: its figures, and lines of Markdown that say more."""

    figures: Sequence[Figure]
    detail: Sequence[str] = ()


@dataclass(frozen=True, slots=True)
class Counts:
    """How much is measured, and how often. Medians are taken of the runs."""

    warming: int = 1
    """Runs before those that count, which read files that no cache of the system holds yet."""
    runs: int = 3
    short_runs: int = 15
    """Of commands that take less than a second."""
    plans: int = 1000
    fleet: int = 200
    keystrokes: int = 200
    long_keystrokes: int = 40
    lines: int = 300
    long: int = 5000
    plans_grown: tuple[int, ...] = (10, 100, 1000, 10_000)
    lines_grown: tuple[int, ...] = (100, 300, 1000, 3000, 10_000)
    circuits: int = 100
    rounds: int = 15
    """Of work in this process, of which the fastest counts."""

    def rows(self) -> Iterator[tuple[str, str]]:
        yield "runs", f"{self.runs}, of what takes less than a second {self.short_runs}"
        yield "keystrokes", f"{self.keystrokes}, in the long plan {self.long_keystrokes}"


QUICK = Counts(
    warming=0,
    runs=1,
    short_runs=1,
    plans=12,
    fleet=12,
    keystrokes=5,
    long_keystrokes=2,
    lines=50,
    long=200,
    plans_grown=(2, 4, 8),
    lines_grown=(30, 60, 300),
    circuits=5,
    rounds=1,
)


@dataclass(slots=True)
class Turns:
    """Wall seconds of commands that take turns, so that a busy minute hits all of them alike."""

    seconds: dict[str, list[float]] = field(default_factory=dict)
    is_counted: bool = False

    def take(self, counts: Counts, times: int, turn: Callable[[], None]) -> None:
        """Have `turn` to warm up, and `times` that count."""
        for number in range(counts.warming + times):
            self.is_counted = number >= counts.warming
            turn()

    def time(self, name: str, work: Callable[[], object]) -> None:
        start = time.perf_counter()
        work()
        if self.is_counted:
            self.seconds.setdefault(name, []).append(time.perf_counter() - start)

    def median(self, name: str) -> float:
        """In milliseconds."""
        return 1000 * statistics.median(self.seconds[name])

    def table(self) -> Iterator[str]:
        rows = ((name, said(self.median(name)), said(1000 * min(times))) for name, times in self.seconds.items())
        yield from table(("command", "median ms", "fastest ms"), rows)


def own_seconds(work: Callable[[], object], rounds: int) -> float:
    """Of processor time, at its fastest; what is over sooner than the clock can tell is done again and again."""
    times = 1
    while (taken := _spent(work, times)) < 0.005 and times < 1000:
        times *= 4
    return min([taken, *(_spent(work, times) for _ in range(rounds - 1))]) / times


def _spent(work: Callable[[], object], times: int) -> float:
    start = time.process_time()
    for _ in range(times):
        work()
    return time.process_time() - start


def said(number: float | None) -> str:
    """With three digits, the last of which is noise."""
    if number is None:
        return NONE
    return f"{number:,.0f}" if number >= 100 else f"{number:.3g}"


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> Iterator[str]:
    """A Markdown table; figures and short words stand to the right of what they belong to."""
    for row in (head, ("---", *("--:" for _ in head[1:])), *rows):
        yield f"| {' | '.join(row)} |"


def figures_table(parts: Mapping[str, Measured]) -> Iterator[str]:
    """All figures of all parts."""
    yield from table(HEAD, [figure.row for measured in parts.values() for figure in measured.figures])
