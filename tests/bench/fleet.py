"""The page of a club of two hundred vehicles beside the check of it; writes `FLEET.md`.

Run by hand: `python tests/bench/fleet.py [PLANS]`. Processor time of all processes, so that a busy machine does little to
it. The status is 1 if the page takes longer than its limit beside the check itself.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from club import LINES, make_club
from measuring import ROOT, environment, table

RESULTS = Path(__file__).with_name("FLEET.md")
ROUNDS = 3
LIMIT = 2.0
"""Seconds for two hundred vehicles."""

FORMS = ("html", "markdown", "csv", "json", "text")


def main() -> int:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    load = os.getloadavg()[0]
    with tempfile.TemporaryDirectory(prefix="lampwright-bench-") as name:
        folder = Path(name)
        club = folder / "club"
        club.mkdir()
        make_club(club, count)
        seconds = _measure(club, folder)
        size = (folder / "page.html").stat().st_size
    text = "\n".join(_report(seconds, count, load, size))
    RESULTS.write_text(text + "\n", "utf-8")
    sys.stdout.write(text + "\n")
    return int(max(seconds["beside", form] for form in FORMS) > LIMIT * count / 200)


def _measure(club: Path, folder: Path) -> dict[tuple[str, str], float]:
    """Median seconds: of a check that recalls what was found, of each form of the page, and what it takes beside."""
    runs: dict[str, list[float]] = {name: [] for name in ("cold", "check", *FORMS)}
    for number in range(ROUNDS):
        variables = environment(XDG_CACHE_HOME=str(folder / f"cache-{number}"), PYTHONPATH=str(ROOT / "linter"))
        runs["cold"].append(_seconds(club, variables, "check", "--format", "line"))
        runs["check"].append(_seconds(club, variables, "check", "--format", "line"))
        for form in FORMS:
            page = str(folder / f"page.{form}")
            runs[form].append(_seconds(club, variables, "fleet", "--format", form, "--output", page))
    found = {("all", name): statistics.median(times) for name, times in runs.items()}
    return found | {("beside", form): found["all", form] - found["all", "check"] for form in FORMS}


def _seconds(club: Path, variables: dict[str, str], *arguments: str) -> float:
    """Processor seconds of our command, all of its processes included."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    command = [sys.executable, "-m", "lampwright", *arguments]
    subprocess.run(command, cwd=club, env=variables, capture_output=True, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def _report(seconds: dict[tuple[str, str], float], count: int, load: float, size: int) -> Iterator[str]:
    yield "# The fleet's page beside the check"
    yield ""
    yield f"Written by `tests/bench/fleet.py`: {count} plans of {LINES} lines; processor time, median of {ROUNDS} rounds,"
    yield f"Python {sys.version.split()[0]}, load {load:.1f} at the start. A cold check takes {seconds['all', 'cold']:.2f} s,"
    yield f"one that recalls {seconds['all', 'check']:.2f} s; the page comes after the latter. In HTML it has {size // 1024} kB."
    yield ""
    rows = ((form, f"{seconds['all', form]:.2f}", f"{seconds['beside', form]:.2f}") for form in FORMS)
    yield from table(("form", "seconds", "of them beside the check"), rows)


if __name__ == "__main__":
    sys.exit(main())
