"""The language server against `yaml-language-server` with our JSON Schema: start, keystrokes, memory.

A keystroke is a change of one figure, sent as the whole text, until the findings of the new text are there. No text comes
twice.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Sequence
from pathlib import Path

from club import make_club, make_long_plan
from measuring import Figure, Measured, said, table
from peers import EDITOR_PEER, Bench
from typist import RHYTHM, WARMING, Typist, texts

from lampwright.engine import check
from lampwright.files import Files
from lampwright.settings import Governance

PEER_DELAY = 200
"""Milliseconds that the peer waits after each change before it looks: `validationDelayMs` in its source."""

FEW = 10
PATIENCE = 600
"""Seconds that all plans may take to be judged, on a machine that is busy with other things."""


def measure(bench: Bench) -> Measured:
    counts = bench.counts
    club, crowd = bench.club("editing"), bench.club("editing-crowd")
    make_club(club, FEW)
    make_club(crowd, counts.plans)
    plan, long, crowded_plan = (
        make_long_plan(club, counts.lines),
        make_long_plan(club, counts.long),
        make_long_plan(crowd, counts.lines),
    )
    starts, peer_starts = _starts(bench, plan)
    keys, long_keys = _keystrokes(bench, plan, counts.keystrokes), _keystrokes(bench, long, counts.long_keystrokes)
    peer_keys, peer_long_keys = [], []
    if bench.editor_peer is not None:
        peer_keys = _keystrokes(bench, plan, counts.keystrokes, bench.editor_peer)
        peer_long_keys = _keystrokes(bench, long, counts.long_keystrokes, bench.editor_peer)
    checks, long_checks = _checks(plan, counts.keystrokes), _checks(long, counts.long_keystrokes)
    crowded, megabytes = _crowded(bench, crowded_plan)
    key, long_key = f"keystroke, plan of {counts.lines:,} lines", f"keystroke, plan of {counts.long:,} lines"
    without = f"{EDITOR_PEER} without its delay"
    figures = [
        Figure(
            "server, start to first findings", statistics.median(starts), "ms", EDITOR_PEER, _median(peer_starts), 1.0
        ),
        Figure(f"{key}, p95", _p95(keys), most=10),
        Figure(f"{key}, p95", _p95(keys), "ms", "`check(text)` in process, p95", _p95(checks), 3.0),
        Figure(key, statistics.median(keys), "ms", without, _undelayed(peer_keys)),
        Figure(f"{long_key}, p95", _p95(long_keys), most=120),
        Figure(f"{long_key}, p95", _p95(long_keys), "ms", "`check(text)` in process, p95", _p95(long_checks)),
        Figure(long_key, statistics.median(long_keys), "ms", without, _undelayed(peer_long_keys)),
        Figure(
            f"{key}, {counts.plans:,} plans around it",
            statistics.median(crowded),
            "ms",
            f"{FEW} plans",
            _median(keys),
            1.25,
        ),
        Figure(f"server, memory with {counts.plans:,} plans", megabytes, "MB", most=200),
    ]
    taken = {
        "start to first findings, ours": starts,
        f"start to first findings, {EDITOR_PEER}": peer_starts,
        f"{key}, ours": keys,
        f"{key}, ours, {counts.plans:,} plans around it": crowded,
        f"{key}, `check(text)` in process": checks,
        f"{key}, {EDITOR_PEER}": peer_keys,
        f"{long_key}, ours": long_keys,
        f"{long_key}, `check(text)` in process": long_checks,
        f"{long_key}, {EDITOR_PEER}": peer_long_keys,
    }
    return Measured(figures, _said(taken))


def _starts(bench: Bench, plan: Path) -> tuple[list[float], list[float]]:
    """Milliseconds from the start of each server to the first findings, ours and the peer's in turn."""
    found: tuple[list[float], list[float]] = ([], [])
    text = plan.read_text("utf-8")
    for _ in range(bench.counts.short_runs):
        for command, times in zip((_ours(bench), bench.editor_peer), found, strict=True):
            if command is not None:
                typist = Typist(plan.parent, command, bench)
                times.append(1000 * typist.show(plan, text))
                typist.end()
    return found


def _ours(bench: Bench) -> tuple[str, ...]:
    return bench.program("lampwright"), "server"


def _keystrokes(bench: Bench, plan: Path, times: int, command: tuple[str, ...] | None = None) -> list[float]:
    """Milliseconds of each."""
    typist = Typist(plan.parent, command or _ours(bench), bench)
    seconds = typist.keystrokes(plan, times)
    typist.end()
    return [1000 * each for each in seconds]


def _crowded(bench: Bench, plan: Path) -> tuple[list[float], float]:
    """Keystrokes with many plans in the workspace, all of which were judged; the megabytes that the server has then."""
    typist = Typist(plan.parent, _ours(bench), bench)
    asked = typist.begin("workspace/diagnostic", {"previousResultIds": []})
    reports = typist.answer(asked, PATIENCE)["result"]["items"]
    assert len(reports) > bench.counts.plans, len(reports)
    seconds = typist.keystrokes(plan, bench.counts.keystrokes)
    megabytes = typist.megabytes()
    typist.end()
    return [1000 * each for each in seconds], megabytes


def _checks(plan: Path, times: int) -> list[float]:
    """Milliseconds of the checks that those keystrokes need, in this process."""
    files = Files(plan.parent)
    governance = Governance(files)
    given, found = texts(plan), []
    for _ in range(times + WARMING):
        source = files.given(plan, next(given).encode())
        start = time.perf_counter()
        check(source, governance.settings(plan), files.load, govern=lambda each: governance.settings(files.path(each)))
        found.append(1000 * (time.perf_counter() - start))
    return found[WARMING:]


# --- What is said of it -----------------------------------------------------------------------------------------------


def _median(times: Sequence[float]) -> float | None:
    return statistics.median(times) if times else None


def _p95(times: Sequence[float]) -> float:
    return sorted(times)[int(0.95 * (len(times) - 1))]


def _undelayed(times: Sequence[float]) -> float | None:
    return statistics.median(times) - PEER_DELAY if times else None


def _said(taken: dict[str, list[float]]) -> list[str]:
    rows = [(name, said(statistics.median(times)), said(_p95(times))) for name, times in taken.items() if times]
    return [
        f"A key is pressed {1000 * RHYTHM:.0f} ms after the answer to the last one.",
        "Our server waits for nothing after a change: the client asks, and is answered.",
        f"{EDITOR_PEER} waits {PEER_DELAY} ms before it looks, and validates against our JSON Schema.",
        "",
        *table(("what", "median ms", "p95 ms"), rows),
    ]
