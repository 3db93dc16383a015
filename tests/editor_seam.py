"""Starts real editors as somebody who has just set them up: a home of their own, the example club, and our command.

What an editor's script says, a line of JSON each, comes back by what it is about.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from command import environment

ROOT = Path(__file__).parent.parent
EDITORS = ROOT / "editors"
SECONDS = 120
"""A busy machine is given its time."""


def installed(program: str, package: str) -> str:
    """Where an editor is; a test of one that is not there is left out, and says how to get it."""
    found = shutil.which(program, path=f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}")
    if found is None:
        pytest.skip(f"{program} is not installed; {package}")
    return found


def fenced(page: Path, language: str) -> list[str]:
    """What a page tells people to write, block by block."""
    return re.findall(rf"^```{language}\n(.*?)^```", page.read_text("utf-8"), re.DOTALL | re.MULTILINE)


def told(lines: str) -> dict[str, list[Any]]:
    """What a script has said, by what it is about."""
    found: dict[str, list[Any]] = {}
    for each in lines.splitlines():
        what, value = json.loads(each)
        found.setdefault(what, []).append(value)
    return found


@dataclass(frozen=True)
class Desk:
    """A folder with a home, the example club and the command, as it is installed, but of this checkout."""

    folder: Path

    @property
    def home(self) -> Path:
        return self.folder / "home"

    @property
    def club(self) -> Path:
        return self.folder / "club"

    def set_up(self) -> Desk:
        """Lay everything there."""
        shutil.copytree(ROOT / "examples", self.club)
        (self.club / "other.yaml").write_text("vehicle: 1\n", "utf-8")
        self.home.mkdir()
        command = self.folder / "bin" / "lampwright"
        command.parent.mkdir()
        # A server leaves its number, so that one that stays behind is found.
        note = f'[ "$1" = server ] && echo $$ >> "{self.numbers}"'
        command.write_text(f'#!/bin/sh\n{note}\nexec "{sys.executable}" -m lampwright "$@"\n', "utf-8")
        command.chmod(0o755)
        return self

    def environment(self, **more: str) -> dict[str, str]:
        """What the editor is started with."""
        package = ROOT / "linter"
        own = {f"XDG_{name}_HOME": str(self.home / name) for name in ("CONFIG", "DATA", "STATE", "CACHE")}
        path = f"{self.folder / 'bin'}{os.pathsep}{os.environ['PATH']}"
        python = f"{package}{os.pathsep}{ROOT / 'lsp'}"
        return environment(HOME=str(self.home), PATH=path, CLUB=str(self.club), LC_ALL="C.UTF-8", **own, **more) | {
            "PYTHONPATH": python
        }

    def said(self, line: Sequence[str], **more: str) -> dict[str, list[Any]]:
        """What the script that `line` starts has said."""
        done = subprocess.run(
            line,
            capture_output=True,
            text=True,
            timeout=SECONDS,
            env=self.environment(**more),
            cwd=self.club,
            check=False,
        )
        assert done.returncode == 0, f"{done.stdout}\n{done.stderr}"
        return told(done.stdout)

    @property
    def numbers(self) -> Path:
        """Where each server that is started leaves its number."""
        return self.folder / "servers"

    def servers(self) -> list[int]:
        """The servers that were started, by their number."""
        return [int(number) for number in self.numbers.read_text("utf-8").split()]

    def servers_left(self) -> list[int]:
        """Those that are still there some seconds after the editor has gone."""
        left = self.servers()
        end = time.monotonic() + 10
        while left and time.monotonic() < end:
            time.sleep(0.1)
            left = [number for number in left if _is_there(number)]
        return left

    def text(self, name: str) -> str:
        """A file of the club as it was saved."""
        return (self.club / name).read_text("utf-8")


def _is_there(number: int) -> bool:
    try:
        os.kill(number, 0)
    except ProcessLookupError:
        return False
    return True
