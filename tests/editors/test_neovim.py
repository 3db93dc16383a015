"""A real Neovim with our configuration: what a person sees there, and what is in the file when it was saved."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

import lampwright

FOLDER = Path(__file__).resolve().parents[2] / "editors" / "neovim"
PLAN = """\
vehicle: {name: Tipper 9}
supply: {track: 14.5 V}
decoder: bench.decoder.yaml
lamps:
  front headlamp: {led: {forward-voltage: 3.0 V, at: 7 mA, current: 7 mA, maximum-current: 20 mA}}
  rear headlamp: {led: {forward-voltage: 3.0 V, at: 7 mA, current: 7 mA, maximum-current: 20 mA}}
outputs:
  white: {circuit: [front headlamp]}   # the front
keys:
  F0: {turns-on: [{output: white, when: forward}]}
"""
SHEET = """\
decoder-sheet: 1
name: Bench six
common: {drop: 1.4 V}
outputs:
  white: {number: 1, limit: 100 mA}
  yellow: {number: 2, limit: 100 mA}
"""


def neovim() -> str:
    """The editor; only where it cannot be had at all is the test left out."""
    found = shutil.which("nvim", path=f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}")
    if found is None and "CI" not in os.environ:
        pytest.skip("Neovim is not installed")
    assert found is not None, "the test extra installs Neovim"
    return found


@pytest.fixture
def said(tmp_path: Path) -> dict[str, list[Any]]:
    """What the script said, by what it is about; the plan is saved as `plan.lights.yaml`."""
    (tmp_path / "plan.lights.yaml").write_text(PLAN, "utf-8")
    (tmp_path / "bench.decoder.yaml").write_text(SHEET, "utf-8")
    (tmp_path / "other.yaml").write_text("vehicle: 1\n", "utf-8")
    # The command as it is installed, but of this checkout.
    command = tmp_path / "bin" / "lampwright"
    command.parent.mkdir()
    command.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m lampwright "$@"\n', "utf-8")
    command.chmod(0o755)
    package = Path(lampwright.__file__).parents[1]
    environment = {
        **os.environ,
        "PATH": f"{command.parent}{os.pathsep}{os.environ['PATH']}",
        "PYTHONPATH": f"{package}{os.pathsep}{package.parent / 'lsp'}",
        **{f"XDG_{name}_HOME": str(tmp_path / "home" / name) for name in ("CONFIG", "DATA", "STATE", "CACHE")},
    }
    environment["PLAN"] = str(tmp_path / "plan.lights.yaml")
    config = tmp_path / "home" / "CONFIG" / "nvim"
    (config / "lsp").mkdir(parents=True)
    shutil.copy(FOLDER / "lsp" / "lampwright.lua", config / "lsp")
    # What the page tells people to write.
    written = re.search("```lua\n(.*?)```", (FOLDER / "README.md").read_text("utf-8"), re.DOTALL)
    assert written is not None
    (config / "init.lua").write_text(written[1], "utf-8")
    line = [neovim(), "--headless", "-n", "-i", "NONE", "-c", f"luafile {Path(__file__).with_name('drive.lua')}"]
    done = subprocess.run(line, capture_output=True, text=True, timeout=100, env=environment, cwd=tmp_path, check=False)
    assert done.returncode == 0, (done.stdout, done.stderr)
    found: dict[str, list[Any]] = {}
    for written in done.stdout.splitlines():
        what, value = json.loads(written)
        found.setdefault(what, []).append(value)
    return found


def test_a_day_in_neovim(said: dict[str, list[Any]], tmp_path: Path) -> None:
    # An unrelated YAML file starts nothing.
    assert said["other"] == [0]
    assert ["unprotected-led", "front headlamp", 'nothing limits the current of the LED "front headlamp"', 1] in said[
        "diagnostic"
    ]
    assert "at output white" in said["hover"][0]
    assert said["definition"] == [1]
    assert said["offered"][0].startswith("Put in 1.5 kohm 1/4 W")
    saved = (tmp_path / "plan.lights.yaml").read_text("utf-8")
    assert saved == PLAN.replace("[front headlamp]", "[1.5 kohm 1/4 W, front headlamp]")
    assert "unprotected-led" not in said["left"][0]
    assert any(label.endswith(" mA") for label in said["hints"][0])
    assert any(label.endswith(" mW") for label in said["hints"][0])
    label, detail = said["completion"][0]
    assert label == "1.5 kohm 1/4 W"
    assert detail.endswith(" mA")
    assert said["renamed"] == [2]
    assert "rror" not in said["messages"][0]
