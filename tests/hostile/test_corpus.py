"""Whatever a folder holds: the finding or the complaint that belongs to it, in time, and in 300 MB."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from hostile_cases import Case, written
from hostile_circuits import CIRCUITS
from hostile_fleets import FLEETS
from hostile_paths import PATHS
from hostile_quantities import QUANTITIES
from hostile_texts import TEXTS

from command import SECONDS, environment, lay
from report_format import hold

pytest.importorskip("resource")

CASES = {**TEXTS, **QUANTITIES, **PATHS, **FLEETS, **CIRCUITS}
MEGABYTES = 300

# Limits itself, is the command, and says at the end what it took; the stopwatch starts where the command is loaded.
LIMITED = f"""
import atexit, os, resource, sys
resource.setrlimit(resource.RLIMIT_AS, ({MEGABYTES} << 20,) * 2)
resource.setrlimit(resource.RLIMIT_CPU, (60, 60))

def told():
    spent = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    with open(os.environ["SPENT"], "w") as file:
        print(sum(each.ru_utime + each.ru_stime for each in spent), file=file)

atexit.register(told)
from lampwright.cli import main
sys.exit(main())
"""


def place(finding: dict[str, object]) -> str:
    file = "" if finding["file"] == "a.lights.yaml" else f"{finding['file']}:"
    return f"{file}{finding['line']}:{finding['column']} {finding['rule']}"


def run(case: Case, folder: Path) -> tuple[subprocess.CompletedProcess[bytes], float]:
    """What comes of it, and the seconds of work that it took."""
    spent = folder.parent / "spent"
    line: list[str | bytes] = [sys.executable, "-c", LIMITED, "check", "--no-cache", "--format", "json"]
    done = subprocess.run(
        [*line, *case.arguments],
        cwd=folder,
        input=written(case.stdin),
        capture_output=True,
        check=False,
        timeout=SECONDS,
        env=environment(SPENT=str(spent), COLUMNS="120"),
    )
    return done, float(spent.read_text("utf-8"))


@pytest.mark.parametrize("name", CASES)
def test_what_is_hostile_is_found_or_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    case, folder = CASES[name], tmp_path / "club"
    folder.mkdir()
    monkeypatch.chdir(folder)
    lay({file: written(text) for file, text in case.files.items()})
    case.make()
    done, seconds = run(case, folder)
    # Where the folder of the tests lies is no matter.
    assert re.sub(r"(?:\.\./)+dev/", "/dev/", done.stderr.decode()) == case.complaint
    report = json.loads(done.stdout) if done.stdout else {"findings": []}
    if done.stdout and "-" not in case.arguments and name != "a file of a terabyte":
        # Each place is in its file; what came by standard input is in none, and the largest is read by nobody.
        hold(report, Path())
    found = [place(finding) for finding in report["findings"]]
    shown = found if case.total is None else found[: len(case.found)]
    assert tuple(shown) == case.found
    assert case.total is None or len(found) == case.total
    assert done.returncode == case.expected_status
    assert seconds < case.seconds * float(os.environ.get("LAMPWRIGHT_SLOWNESS", "3" if "CI" in os.environ else "1"))


def test_there_are_enough() -> None:
    assert len(CASES) >= 80
    assert len(CASES) == sum(map(len, (TEXTS, QUANTITIES, PATHS, FLEETS, CIRCUITS)))
