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
keys: {highest: 28, mapping: function-matrix}
"""


def neovim() -> str:
    """The editor; only where it cannot be had at all is the test left out."""
    found = shutil.which("nvim", path=f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}")
    if found is None and "CI" not in os.environ:
        pytest.skip("Neovim is not installed")
    assert found is not None, "the test extra installs Neovim"
    return found


def driven(script: str, folder: Path, files: dict[str, str], **more: str) -> dict[str, list[Any]]:
    """What a script said, by what it is about. It finds `files` in its folder, and our configuration in its home."""
    for name, text in files.items():
        (folder / name).write_text(text, "utf-8")
    # The command as it is installed, but of this checkout.
    command = folder / "bin" / "lampwright"
    command.parent.mkdir()
    command.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m lampwright "$@"\n', "utf-8")
    command.chmod(0o755)
    package = Path(lampwright.__file__).parents[1]
    environment = {
        **os.environ,
        "PATH": f"{command.parent}{os.pathsep}{os.environ['PATH']}",
        "PYTHONPATH": f"{package}{os.pathsep}{package.parent / 'lsp'}",
        "PLAN": str(folder / "plan.lights.yaml"),
        **{f"XDG_{name}_HOME": str(folder / "home" / name) for name in ("CONFIG", "DATA", "STATE", "CACHE")},
        **more,
    }
    config = folder / "home" / "CONFIG" / "nvim"
    (config / "lsp").mkdir(parents=True)
    shutil.copy(FOLDER / "lsp" / "lampwright.lua", config / "lsp")
    # What the page tells people to write.
    written = re.search("```lua\n(.*?)```", (FOLDER / "README.md").read_text("utf-8"), re.DOTALL)
    assert written is not None
    (config / "init.lua").write_text(written[1], "utf-8")
    line = [neovim(), "--headless", "-n", "-i", "NONE", "-c", f"luafile {Path(__file__).with_name(script)}"]
    done = subprocess.run(line, capture_output=True, text=True, timeout=100, env=environment, cwd=folder, check=False)
    assert done.returncode == 0, f"{done.stdout}\n{done.stderr}"
    found: dict[str, list[Any]] = {}
    for each in done.stdout.splitlines():
        what, value = json.loads(each)
        found.setdefault(what, []).append(value)
    return found


def test_a_day_in_neovim(tmp_path: Path) -> None:
    files = {"plan.lights.yaml": PLAN, "bench.decoder.yaml": SHEET, "other.yaml": "vehicle: 1\n"}
    said = driven("drive.lua", tmp_path, files)
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


PARTS = """\
parts-catalogue: 1
lamps:
  warm white 0603: {led: {forward-voltage: 3.0 V, at: 7 mA, current: 7 mA, maximum-current: 20 mA}}
resistors:
  - {value: 1.5 kohm, rating: 1/4 W, tolerance: 5 %, stock: 40}
"""
# Here somebody asks what may stand there (Ctrl-x Ctrl-o) and takes the first offer (Ctrl-y); Ctrl-d goes a step left.
TAKE = "\1"
KEYS = (
    f"ivehicle: {{name: Tipper 9, scale: HO}}<CR>supply: {{track: 14.5 V}}<CR>decoder: {TAKE}<CR>parts: [{TAKE}]<CR>"
    f"lamps:<CR>front headlamp: {{part: {TAKE}}}<CR>rear headlamp: {{part: {TAKE}}}<CR><C-d>"
    f"outputs:<CR>white: {{circuit: [front headlamp, {TAKE}]}}<CR>yellow: {{circuit: [rear headlamp]}}<CR><C-d>"
    f"keys:<CR>F0: {{label: Headlamps, turns-on: [{{output: {TAKE}, when: {TAKE}}}, {{output: yellow, when: reverse}}]}}"
)


def presses(keys: str) -> int:
    """How many keys that are; an offer that is taken is three."""
    return len(re.findall(r"<[^>]+>|.", keys.replace(TAKE, "<C-x><C-o><C-y>"))) + 1


def test_a_plan_from_nothing_to_clean(tmp_path: Path) -> None:
    """By typing, completion and quick fixes alone; the command then finds nothing in what was saved."""
    files = {"bench.decoder.yaml": SHEET, "club.parts.yaml": PARTS}
    said = driven("type.lua", tmp_path, files, KEYS=KEYS)
    assert said["left"] == [[]], said
    assert said["fixes"] == [1]
    saved = (tmp_path / "plan.lights.yaml").read_text("utf-8")
    assert saved == "\n".join(said["text"][0]) + "\n"
    line = [sys.executable, "-m", "lampwright", "check", "--no-cache", "plan.lights.yaml"]
    package = str(Path(lampwright.__file__).parents[1])
    done = subprocess.run(
        line, cwd=tmp_path, env={**os.environ, "PYTHONPATH": package}, capture_output=True, check=False
    )
    assert done.stdout.startswith(b"0 errors, 0 warnings, 0 notes")
    assert presses(KEYS) == 336
    assert len(saved) > presses(KEYS)
