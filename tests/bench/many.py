"""A thousand plans against named peers, cold and again, and one plan unchanged and changed; writes `MANY.md`.

Run by hand, on a quiet machine: `python tests/bench/many.py [PLANS]`. The status is 1 if a limit does not hold. Our command
takes as many processes as there are processors; the peers get the same by having their files split.
"""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from club import LINES, make_club
from measuring import ROOT, Comparison, circumstances, environment, install, table, verdicts, versions

RESULTS = Path(__file__).with_name("MANY.md")
SCHEMA = ROOT / "schemas" / "lighting-plan.schema.json"
ROUNDS = 3
ROUNDS_OF_ONE = 15
PROCESSES = os.cpu_count() or 1

COLD, AGAIN = "lampwright check, cold", "lampwright check, again"
LINT, LINT_ALONE = "yamllint", "yamllint, one process"
SCHEMA_CHECK, SCHEMA_ALONE = "check-jsonschema", "check-jsonschema, one process"
ONE_SAME, ONE_CHANGED, ONE_LINT = "one plan, unchanged", "one plan, changed", "one plan, yamllint"

# At most so many times what the other takes.
LIMITS = (
    (COLD, SCHEMA_CHECK, 1.0),
    (COLD, LINT, 0.15),
    (AGAIN, COLD, 0.10),
    (ONE_SAME, ONE_LINT, 0.6),
    (ONE_CHANGED, ONE_LINT, 2.0),
)


def main() -> int:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    load = os.getloadavg()[0]
    with tempfile.TemporaryDirectory(prefix="lampwright-bench-") as name:
        folder = Path(name)
        programs = install(folder / "programs")
        club = folder / "club"
        club.mkdir()
        plans = [path.relative_to(club) for path in make_club(club, count)]
        bench = _Bench(programs, club, folder / "cache", plans)
        seconds = bench.measure()
        found = versions(programs)
    medians = {name: statistics.median(times) for name, times in seconds.items()}
    compared = [Comparison(name, peer, medians[name] / medians[peer], limit) for name, peer, limit in LIMITS]
    text = "\n".join(_report(seconds, compared, found, load, count))
    RESULTS.write_text(text + "\n", "utf-8")
    sys.stdout.write(text + "\n")
    return 0 if all(comparison.holds for comparison in compared) else 1


class _Bench:
    """The programs, the plans, and where our command keeps what it found."""

    def __init__(self, programs: Path, club: Path, cache: Path, plans: list[Path]) -> None:
        self.programs, self.club, self.cache, self.plans = programs, club, cache, plans
        self.seconds: dict[str, list[float]] = {}

    def measure(self) -> dict[str, list[float]]:
        """Seconds of wall time of each run. All take turns, so that a busy minute hits all of them alike."""
        # The first turn reads files that no cache of the system holds yet.
        for turn in range(ROUNDS + 1):
            self._all_plans(is_counted=turn > 0)
        for turn in range(ROUNDS_OF_ONE + 1):
            self._one_plan(is_counted=turn > 0)
        return self.seconds

    def _all_plans(self, *, is_counted: bool) -> None:
        shutil.rmtree(self.cache, ignore_errors=True)
        check = [str(self.programs / "lampwright"), "check", "."]
        lint = [str(self.programs / "yamllint"), "--no-warnings"]
        schema = [str(self.programs / "check-jsonschema"), "--schemafile", str(SCHEMA)]
        self._time(COLD, is_counted, [check])
        self._time(AGAIN, is_counted, [check])
        shares = [list(map(str, self.plans[share::PROCESSES])) for share in range(PROCESSES)]
        for name, alone, command in ((LINT, LINT_ALONE, lint), (SCHEMA_CHECK, SCHEMA_ALONE, schema)):
            self._time(name, is_counted, [[*command, *share] for share in shares])
            self._time(alone, is_counted, [[*command, *map(str, self.plans)]])

    def _one_plan(self, *, is_counted: bool) -> None:
        plan = self.plans[len(self.plans) // 2]
        check = [str(self.programs / "lampwright"), "check", str(plan)]
        self._time(ONE_SAME, is_counted, [check])
        with (self.club / plan).open("a", encoding="utf-8") as file:
            file.write("# And one remark more.\n")
        self._time(ONE_CHANGED, is_counted, [check])
        self._time(ONE_LINT, is_counted, [[str(self.programs / "yamllint"), "--no-warnings", str(plan)]])

    def _time(self, name: str, is_counted: bool, commands: list[list[str]]) -> None:
        start = time.perf_counter()
        with ThreadPoolExecutor(len(commands)) as pool:
            list(pool.map(self._run, commands))
        if is_counted:
            self.seconds.setdefault(name, []).append(time.perf_counter() - start)

    def _run(self, command: list[str]) -> None:
        own = environment(XDG_CACHE_HOME=str(self.cache))
        ended = subprocess.run(command, cwd=self.club, env=own, capture_output=True, check=False)
        # Yamllint finds the style of the plans wrong, which is status 1; they are right for the others.
        if ended.returncode != 0 and "yamllint" not in command[0]:
            raise RuntimeError(f"{command[:3]} ended with {ended.returncode}: {ended.stdout!r} {ended.stderr!r}")


def _report(
    seconds: dict[str, list[float]], compared: list[Comparison], found: dict[str, str], load: float, count: int
) -> Iterator[str]:
    yield "# Many plans"
    yield ""
    yield "Written by `tests/bench/many.py`: all commands in turn, nothing editable, all compiled. Where no other number"
    yield f"is named, each takes {PROCESSES} processes: ours by itself, the peers by having their files split."
    yield ""
    shown = {"plans": f"{count} of {LINES} lines", "runs": f"{ROUNDS}, of one plan {ROUNDS_OF_ONE}"}
    yield from table(("what", "with"), circumstances(found, load, **shown))
    yield ""
    rows = (
        (name, f"{1000 * statistics.median(times):.0f}", f"{1000 * min(times):.0f}") for name, times in seconds.items()
    )
    yield from table(("command", "median ms", "fastest ms"), rows)
    yield ""
    yield from verdicts(compared)


if __name__ == "__main__":
    sys.exit(main())
