"""All measurements in one run: what is promised, what was measured, and whether it holds; writes `FIGURES.md`.

`python tests/bench/figures.py`, on a quiet machine; it takes about ten minutes. The status is 1 if a promise does not hold.
`--only PART` measures a part and prints it. `--quick` shows within seconds that everything works: it measures small things
once, with the programs beside this Python, prints figures that mean nothing, and knows no promise. Neither writes.
"""

from __future__ import annotations

import argparse
import os
import platform
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from pathlib import Path

import editing
import electricity
import fleet
import growth
import many
import reading
import starting
from measuring import QUICK, Counts, Measured, figures_table, table
from peers import Bench, at_hand, installed

RECORD = Path(__file__).with_name("FIGURES.md")
PARTS = {
    "starting": starting.measure,
    "many": many.measure,
    "reading": reading.measure,
    "editing": editing.measure,
    "electricity": electricity.measure,
    "growth": growth.measure,
    "fleet": fleet.measure,
}


def main() -> int:
    given = _arguments()
    load, begin = os.getloadavg()[0], time.monotonic()
    with tempfile.TemporaryDirectory(prefix="lampwright-bench-") as name:
        bench = (at_hand if given.quick else installed)(Path(name), QUICK if given.quick else Counts())
        parts = {part: _measured(part, bench) for part in given.only or PARTS}
        circumstances = [*_circumstances(bench, load, time.monotonic() - begin)]
    text = "\n".join([*_report(parts, circumstances), ""])
    sys.stdout.write(text)
    if given.quick:
        return 0
    if not given.only:
        RECORD.write_text(text, "utf-8")
    return int(any(figure.holds is False for measured in parts.values() for figure in measured.figures))


def _arguments() -> argparse.Namespace:
    summary, *_ = (__doc__ or "").splitlines()
    parser = argparse.ArgumentParser(description=summary)
    parser.add_argument("--quick", action="store_true", help="see within seconds that it works; write nothing")
    parser.add_argument(
        "--only", metavar="PART", action="append", choices=PARTS, help=f"{', '.join(PARTS)}; write nothing"
    )
    return parser.parse_args()


def _measured(part: str, bench: Bench) -> Measured:
    begin = time.monotonic()
    measured = PARTS[part](bench)
    sys.stderr.write(f"{part}: {time.monotonic() - begin:.0f} s\n")
    return measured


def _circumstances(bench: Bench, load: float, seconds: float) -> Iterator[tuple[str, str]]:
    yield "date", datetime.now(UTC).date().isoformat()
    yield "took", f"{seconds / 60:.1f} minutes"
    yield from bench.counts.rows()
    yield "system", f"{platform.system()} {platform.machine()}, {_processor()}, {os.cpu_count()} cores"
    yield "load", f"{load:.1f} at the start, {os.getloadavg()[0]:.1f} at the end"
    yield "Python", platform.python_version()
    yield from bench.versions().items()


def _processor() -> str:
    """What the system calls its processor."""
    told = Path("/proc/cpuinfo")
    lines = told.read_text("utf-8").splitlines() if told.exists() else []
    names = (line.partition(":")[2].strip() for line in lines if line.startswith("model name"))
    return next(names, platform.processor())


def _report(parts: Mapping[str, Measured], circumstances: list[tuple[str, str]]) -> Iterator[str]:
    yield "# What it takes"
    yield ""
    yield "Written by `python tests/bench/figures.py`: medians of several runs, all commands in turn, nothing editable, all"
    yield "compiled. Each tool runs as people start it, in one process unless it takes more by itself or its row says so."
    yield "What is promised is the ratio to the peer, or the figure itself where there is none."
    yield ""
    yield "<!-- figures -->"
    yield from figures_table(parts)
    yield "<!-- end -->"
    yield ""
    yield from table(("what", "with"), circumstances)
    for part, measured in parts.items():
        if measured.detail:
            yield ""
            yield f"## {part.capitalize()}"
            yield ""
            yield from measured.detail


if __name__ == "__main__":
    sys.exit(main())
