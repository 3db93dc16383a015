"""Runs the command as its user does, in a folder with files; what was printed and the status come back."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

import lampwright
from lampwright.cli import main

SECONDS = 60
"""No run may take longer. Most take less than one; a busy machine is given its time."""

PLAN = """\
vehicle: {name: Quarry switcher 7}
supply: {track: 14.5 V}
decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA, surge: 400 mA}}, keys: {highest: 28, mapping: function-matrix}, registers: []}
lamps:
  front headlamp: {led: {forward-voltage: 3.0 V, current: 7 mA, maximum-current: 20 mA}}
outputs:
  white: {circuit: [1.5 kohm 1/4 W, front headlamp]}
keys:
  F0: {label: Headlamps, turns-on: [{output: white, when: forward}]}
"""
BURNING = PLAN.replace("[1.5 kohm 1/4 W, front headlamp]", "[front headlamp]")
SPARE = PLAN.replace("outputs:\n  white", "  step lamp: {bulb: {voltage: 12 V, current: 40 mA}}\noutputs:\n  white")
REFERRING = PLAN.replace(PLAN[PLAN.index("{common") : PLAN.index("lamps:")], "bench-six.decoder.yaml\n")
SHEET = """\
name: Bench six
common: {drop: 1.4 V}
outputs: {white: {number: 1, limit: 100 mA, surge: 400 mA}}
keys: {highest: 28, mapping: function-matrix}
registers: []
"""
FAULTY_SHEET = SHEET.replace("100 mA", "100 ma")


@dataclass(frozen=True)
class Outcome:
    """What a run printed, and its exit status."""

    status: int
    out: str
    err: str

    @property
    def json(self) -> dict[str, Any]:
        """The report; nothing that JSON does not know may stand in it."""

        def refuse(word: str) -> None:
            raise AssertionError(f"{word} is no JSON")

        document: dict[str, Any] = json.loads(self.out, parse_constant=refuse)
        return document

    @property
    def burning(self) -> list[str]:
        """The files in which a LED without resistor was found, in the order of the report."""
        return [finding["file"] for finding in self.json["findings"] if finding["rule"] == "unprotected-led"]


class Command:
    """The command in the working directory, run within this process."""

    def __init__(self, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
        self._capsys, self._monkeypatch = capsys, monkeypatch

    def __call__(self, *arguments: str, stdin: bytes = b"") -> Outcome:
        self._monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(stdin)))
        self._capsys.readouterr()
        try:
            status = main(list(arguments))
        except SystemExit as end:
            status = end.code if isinstance(end.code, int) else 1
        captured = self._capsys.readouterr()
        return Outcome(status, captured.out, captured.err)

    def json(self, *arguments: str, stdin: bytes = b"") -> Outcome:
        return self("check", "--format", "json", *arguments, stdin=stdin)


def started(
    *arguments: str, cwd: Path, start: Sequence[str] = ("-m", "lampwright"), **options: Any
) -> subprocess.CompletedProcess[bytes]:
    """The command as a process of its own, begun by `start`; `options` are those of `subprocess.run`."""
    options = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "env": environment(), **options}
    line = [sys.executable, *start, *arguments]
    return subprocess.run(line, cwd=cwd, check=False, timeout=SECONDS, **options)


def environment(**more: str) -> dict[str, str]:
    """What a shell would hand over, without what would change the output; the same program is run from any folder."""
    changing = {"NO_COLOR", "TERM", "COLUMNS", "PYTHONUNBUFFERED"}
    kept = {name: value for name, value in os.environ.items() if name not in changing}
    # In a working tree the server is that of the same tree; where both are installed they stand side by side.
    linter = Path(lampwright.__file__).parents[1]
    paths = os.pathsep.join((str(linter), str(linter.with_name("lsp"))))
    return {**kept, "TERM": "xterm", "PYTHONPATH": paths, **more}


def lay(files: Mapping[str, str | bytes], folder: Path | str = ".") -> None:
    """Write files below `folder`, with the folders that they need."""
    for name, content in files.items():
        path = Path(folder) / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
