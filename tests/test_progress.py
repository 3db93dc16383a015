"""How far a long run is, is told on a terminal only, and nothing of it stays."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from command import BURNING, SECONDS, environment, lay

pty = pytest.importorskip("pty")

DRIVER = """
import sys
from lampwright.cli import main, progress
progress._PATIENCE, progress._PAUSE = {patience}, 0
sys.exit(main(sys.argv[1:]))
"""


def written(folder: Path, patience: float = -1, terminal: bool = True, **more: str) -> tuple[bytes, bytes]:
    """What is written to standard error and to standard output of a run over three plans."""
    lay({f"{number}.lights.yaml": BURNING for number in range(3)}, folder)
    reader, writer = pty.openpty() if terminal else os.pipe()
    line = [
        sys.executable,
        "-c",
        DRIVER.replace("{patience}", str(patience)),
        "check",
        "--no-cache",
        "--format",
        "line",
    ]
    done = subprocess.run(
        line, cwd=folder, stdout=subprocess.PIPE, stderr=writer, env=environment(**more), check=False, timeout=SECONDS
    )
    os.set_blocking(reader, False)
    try:
        said = os.read(reader, 100_000)
    except BlockingIOError:
        said = b""
    os.close(writer)
    os.close(reader)
    assert done.returncode == 1
    return said, done.stdout


def test_a_terminal_is_told_and_wiped(tmp_path: Path) -> None:
    said, out = written(tmp_path)
    steps = said.split(b"\r\x1b[K")
    assert steps[0] == b""
    assert steps[-1] == b""
    assert steps[1:-1] == [b"%d of 3 files are checked" % number for number in range(4)]
    assert out.count(b"unprotected-led") == 3
    assert b"\x1b" not in out


@pytest.mark.parametrize(
    ("options", "more"), [({"patience": 60}, {}), ({}, {"TERM": "dumb"}), ({"terminal": False}, {})]
)
def test_nobody_else_hears_a_word(tmp_path: Path, options: dict[str, float], more: dict[str, str]) -> None:
    assert written(tmp_path, **options, **more)[0] == b""  # type: ignore[arg-type]
