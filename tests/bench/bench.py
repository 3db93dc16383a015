"""Start-up against named peers: installs this checkout beside them, runs all in turn, writes `RESULTS.md`.

Run by hand, on a quiet machine: `python tests/bench/bench.py`. The status is 1 if a limit does not hold.
"""

from __future__ import annotations

import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from measuring import ROOT, Comparison, circumstances, environment, install, table, verdicts, versions

RESULTS = Path(__file__).with_name("RESULTS.md")
PLAN = "examples/vehicles/ore-hauler-12.lights.yaml"
SCHEMA = "schemas/lighting-plan.schema.json"

ROUNDS = 15
PROFILES = 7
SHOWN_PACKAGES = 20

LAMPWRIGHT, SCHEMA_CHECK, YAMLLINT = "lampwright check", "check-jsonschema", "yamllint"
VERSION, BARE = "lampwright --version", "python -c pass"

# A version of Lampwright may take at most so many times what its peer takes.
LIMITS = ((LAMPWRIGHT, SCHEMA_CHECK, 1.0), (LAMPWRIGHT, YAMLLINT, 3.0), (VERSION, BARE, 2.5))


def main() -> int:
    with tempfile.TemporaryDirectory(prefix="lampwright-bench-") as folder:
        programs = install(Path(folder))
        commands = _commands(programs)
        load = os.getloadavg()[0]
        seconds = _measure(commands)
        imports = _imports(programs, commands[LAMPWRIGHT])
        found = versions(programs)
    medians = {name: statistics.median(times) for name, times in seconds.items()}
    compared = [Comparison(name, peer, medians[name] / medians[peer], limit) for name, peer, limit in LIMITS]
    text = "\n".join(_report(seconds, compared, imports, found, load))
    RESULTS.write_text(text + "\n", "utf-8")
    sys.stdout.write(text + "\n")
    return 0 if all(comparison.holds for comparison in compared) else 1


def _commands(programs: Path) -> dict[str, list[str]]:
    return {
        LAMPWRIGHT: [str(programs / "lampwright"), "check", "--no-cache", PLAN],
        SCHEMA_CHECK: [str(programs / "check-jsonschema"), "--schemafile", SCHEMA, PLAN],
        YAMLLINT: [str(programs / "yamllint"), PLAN],
        VERSION: [str(programs / "lampwright"), "--version"],
        BARE: [str(programs / "python"), "-c", "pass"],
    }


def _measure(commands: dict[str, list[str]]) -> dict[str, list[float]]:
    """Seconds of wall time of each run. All commands take turns, so that a busy minute hits all of them alike."""
    seconds: dict[str, list[float]] = {name: [] for name in commands}
    for turn in range(ROUNDS + 1):
        for name, command in commands.items():
            start = time.perf_counter()
            ended = subprocess.run(command, cwd=ROOT, env=environment(), capture_output=True, check=False)
            taken = time.perf_counter() - start
            # Yamllint finds the lines of the plan too long, which is status 1; the plan is right for the others.
            if ended.returncode != 0 and name != YAMLLINT:
                raise RuntimeError(f"{name} ended with {ended.returncode}: {ended.stdout!r} {ended.stderr!r}")
            # The first turn reads files that no cache holds yet.
            if turn > 0:
                seconds[name].append(taken)
    return seconds


def _imports(programs: Path, command: list[str]) -> Counter[str]:
    """Milliseconds that a check spends in each package's own modules while it imports them, at their fastest."""
    fastest: dict[str, int] = {}
    for _ in range(PROFILES):
        profiled = [str(programs / "python"), "-X", "importtime", *command]
        said = subprocess.run(profiled, cwd=ROOT, env=environment(), capture_output=True, text=True, check=True).stderr
        for microseconds, module in re.findall(r"^import time: +(\d+) \| +\d+ \| +(\S+)$", said, re.MULTILINE):
            fastest[module] = min(int(microseconds), fastest.get(module, sys.maxsize))
    packages: Counter[str] = Counter()
    for module, microseconds in fastest.items():
        # Of our own package each floor is shown.
        parts = module.split(".")
        packages[".".join(parts[:2] if parts[0] == "lampwright" else parts[:1])] += microseconds
    return packages


def _report(
    seconds: dict[str, list[float]],
    compared: list[Comparison],
    imports: Counter[str],
    found: dict[str, str],
    load: float,
) -> Iterator[str]:
    yield "# Start-up"
    yield ""
    yield "Written by `tests/bench/bench.py`: all commands in turn, without a cache, nothing editable, all compiled."
    yield ""
    shown = {"runs of each command": str(ROUNDS), "plan": PLAN}
    yield from table(("what", "with"), circumstances(found, load, **shown))
    yield ""
    yield from table(("command", "median ms", "fastest ms"), _times(seconds))
    yield ""
    yield from verdicts(compared)
    yield ""
    yield f"Own time of the {SHOWN_PACKAGES} costliest packages that a check imports, of each module the fastest of"
    yield f"{PROFILES} runs; `-X importtime` slows imports down. All imports together: {sum(imports.values()) / 1000:.0f} ms."
    yield ""
    costly = ((name, f"{microseconds / 1000:.1f}") for name, microseconds in imports.most_common(SHOWN_PACKAGES))
    yield from table(("package", "ms"), costly)


def _times(seconds: dict[str, list[float]]) -> Iterator[tuple[str, ...]]:
    for name, times in seconds.items():
        yield name, f"{1000 * statistics.median(times):.0f}", f"{1000 * min(times):.0f}"


if __name__ == "__main__":
    sys.exit(main())
