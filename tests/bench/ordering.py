"""How long `lampwright order` takes beside the check that it begins with, for a club of 200 vehicles.

Copies the example vehicles until there are so many, empties the catalogue so that everything has to be bought, and
prints medians of five runs: the check alone, the order without and with suggestions, all without what was kept.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

ROOT = Path(__file__).resolve().parents[2]
VEHICLES = 200
RUNS = 5
COMMANDS = {
    "check": ("check", "--no-cache", "--format", "json"),
    "order without suggestions": ("order", "--no-cache", "--no-suggestions"),
    "order": ("order", "--no-cache"),
}


def lay(folder: Path) -> None:
    """A club of so many vehicles in `folder`."""
    shutil.copytree(ROOT / "examples" / "decoders", folder / "decoders")
    shutil.copy(ROOT / "examples" / "lampwright.yaml", folder)
    catalogue = (ROOT / "examples" / "club.parts.yaml").read_text("utf-8")
    (folder / "club.parts.yaml").write_text(re.sub("stock: [0-9]+", "stock: 0", catalogue), "utf-8")
    (folder / "vehicles").mkdir()
    plans = sorted((ROOT / "examples" / "vehicles").glob("*.lights.yaml"))
    for number in range(VEHICLES):
        plan = plans[number % len(plans)]
        shutil.copy(plan, folder / "vehicles" / f"{number:03d}-{plan.name}")


def seconds(folder: Path, command: tuple[str, ...]) -> float:
    """The median of several runs."""
    taken = []
    for _ in range(RUNS):
        start = time.perf_counter()
        done = subprocess.run(
            [sys.executable, "-m", "lampwright", *command], cwd=folder, stdout=subprocess.DEVNULL, check=False
        )
        taken.append(time.perf_counter() - start)
        assert done.returncode in (0, 1), done.returncode
    return median(taken)


def main() -> None:
    """Measure, and print a table."""
    with tempfile.TemporaryDirectory() as name:
        lay(Path(name))
        found = {what: seconds(Path(name), command) for what, command in COMMANDS.items()}
    for what, taken in found.items():
        print(f"{what:<28}{taken:6.2f} s  {taken - found['check']:+6.2f} s beside the check")  # noqa: T201


if __name__ == "__main__":
    main()
