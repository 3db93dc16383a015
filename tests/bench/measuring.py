"""What all measurements share: the programs that are measured, the circumstances, and tables of what was found."""

from __future__ import annotations

import os
import platform
import subprocess
import venv
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]

PEERS = ("yamllint", "check-jsonschema")
SHOWN_VERSIONS = ("lampwright", *PEERS, "pydantic", "ruamel.yaml", "jsonschema")


@dataclass(frozen=True, slots=True)
class Comparison:
    """How many times as long as `peer` a command takes, and how many it may."""

    name: str
    peer: str
    ratio: float
    limit: float

    @property
    def holds(self) -> bool:
        return self.ratio <= self.limit


def install(folder: Path) -> Path:
    """A virtual environment with this checkout, not editable, and its peers, all compiled; where its programs are."""
    venv.create(folder, with_pip=True)
    programs = folder / "bin"
    line = ["-m", "pip", "install", "--quiet", "--disable-pip-version-check", f"{ROOT}[server]", *PEERS]
    subprocess.run([str(programs / "python"), *line], check=True, env=environment())
    return programs


def environment(**more: str) -> dict[str, str]:
    """Our own without what changes how Python starts, such as PYTHONDONTWRITEBYTECODE."""
    return {**{name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}, **more}


def versions(programs: Path) -> dict[str, str]:
    """The versions of all that is measured."""
    code = f"from importlib.metadata import version; print(*map(version, {SHOWN_VERSIONS}))"
    said = subprocess.run(
        [str(programs / "python"), "-c", code], env=environment(), capture_output=True, text=True, check=True
    )
    return dict(zip(SHOWN_VERSIONS, said.stdout.split(), strict=True))


def circumstances(found: dict[str, str], load: float, **more: str) -> Iterator[tuple[str, ...]]:
    """When, where and with what was measured; `load` is that of the machine at the start."""
    yield "date", datetime.now(UTC).date().isoformat()
    yield from more.items()
    yield "system", f"{platform.system()} {platform.machine()}, {os.cpu_count()} cores, load {load:.1f} at the start"
    yield "Python", platform.python_version()
    yield from found.items()


def verdicts(compared: Iterable[Comparison]) -> Iterator[str]:
    """A table of comparisons, with whether each holds."""
    rows = (
        (item.name, item.peer, f"{item.ratio:.2f}", f"{item.limit:.2f}", "yes" if item.holds else "NO")
        for item in compared
    )
    yield from table(("what", "against", "times (of medians)", "at most", "holds"), rows)


def table(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> Iterator[str]:
    """A Markdown table; figures and short words stand to the right of what they belong to."""
    for row in (head, ("---", *("--:" for _ in head[1:])), *rows):
        yield f"| {' | '.join(row)} |"
