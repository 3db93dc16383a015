"""Keeps RESULTS.md: one row of a table for each stage and seed, and whatever stands below the table."""

from __future__ import annotations

import platform
from datetime import UTC, datetime
from pathlib import Path

from measuring import Tally

PAGE = Path(__file__).parent / "RESULTS.md"
COLUMNS = ("stage", "inputs", "seed", "hours of processor time", "ms each", "slowest input, ms", "largest memory, MB", "as far as rules", "broken promises", "when")  # fmt: skip


def record(stage: str, seed: int, done: Tally) -> None:
    """Puts the row of this run in the place of the one of the same stage and seed, or below the others."""
    seconds, kind, number = done.slowest
    row = [
        stage,
        f"{done.inputs:,}",
        str(seed),
        f"{done.seconds / 3600:.2f}",
        f"{1e3 * done.seconds / max(done.inputs, 1):.2f}",
        f"{1e3 * seconds:.0f} ({kind} {number})",
        f"{done.megabytes:.0f}",
        f"{done.reached:,}",
        str(len(done.failures)),
        f"{datetime.now(UTC):%Y-%m-%d}, Python {platform.python_version()}",
    ]
    lines = PAGE.read_text("utf-8").split("\n")
    first = next(at for at, line in enumerate(lines) if line.startswith("|---"))
    end = next(at for at in range(first, len(lines)) if not lines[at].startswith("|"))
    kept = [line for line in lines[first + 1 : end] if _name(line) != (stage, str(seed))]
    lines[first - 1 : end] = [_line(COLUMNS), "|---" * len(COLUMNS) + "|", *sorted([*kept, _line(row)])]
    PAGE.write_text("\n".join(lines), "utf-8")


def _line(cells: list[str] | tuple[str, ...]) -> str:
    return f"| {' | '.join(cells)} |"


def _name(line: str) -> tuple[str, str]:
    cells = [cell.strip() for cell in line.split("|")]
    return cells[1], cells[3]
