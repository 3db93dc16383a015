"""A real Vim with ALE in a terminal: what a person sees there, types and takes, and what is in the file when it was saved."""

from __future__ import annotations

import subprocess
import time
from pathlib import Path

import pexpect
import pytest

from editor_seam import EDITORS, ROOT, SECONDS, Desk, fenced, installed, told

FOLDER = EDITORS / "vim"
SCRIPT = Path(__file__).with_name("drive.vim")
PLAN = "mistakes/unprotected-led.lights.yaml"


@pytest.fixture
def vim() -> str:
    package = "apt-get install vim-nox vim-ale"
    found = installed("vim", package)
    line = [
        found,
        "-N",
        "-u",
        "NONE",
        "-es",
        "+packadd ale",
        "+if exists('g:loaded_ale_dont_use_this_in_other_plugins_please') | qall! | endif",
        "+cquit",
    ]
    if subprocess.run(line, capture_output=True, check=False, timeout=60).returncode:
        pytest.skip(f"Vim has no ALE, or no jobs; {package}")
    return found


def test_a_day_in_vim(vim: str, tmp_path: Path) -> None:
    desk = Desk(tmp_path).set_up()
    linters = desk.home / ".vim" / "ale_linters" / "yaml"
    linters.mkdir(parents=True)
    (linters / "lampwright.vim").write_bytes((FOLDER / "ale_linters" / "yaml" / "lampwright.vim").read_bytes())
    (settings,) = fenced(FOLDER / "README.md", "vim")
    (desk.home / ".vimrc").write_text(settings, "utf-8")
    heard = tmp_path / "said"
    terminal = pexpect.spawn(
        vim,
        ["-n", "-i", "NONE", "-S", str(SCRIPT)],
        cwd=str(desk.club),
        env=desk.environment(SAID=str(heard), SERVERS=str(desk.numbers)),
        encoding="utf-8",
        timeout=SECONDS,
        dimensions=(40, 120),
    )
    try:
        terminal.send(":Morning\r")
        wait_for_the_end_of(heard, terminal)
        # The bracket is open when the resistor is asked for; the first offer is taken, once its current is shown.
        terminal.send("O  yellow: {circuit: [front headlamp, \x18\x0f")
        terminal.expect_exact("6.77 mA")
        terminal.send("\x19\x1b")
        terminal.send(":Evening\r")
        terminal.expect(pexpect.EOF)
    finally:
        terminal.close(force=True)
    said = told(heard.read_text("utf-8"))
    assert terminal.exitstatus == 0, said

    # An unrelated YAML file starts nothing; of ours, each kind is served, and all share one server.
    assert said["other"] == [["yaml", 0]]
    hovers = dict(said["hover"])
    assert hovers["lampwright.yaml"] == ["15.0 V", "also written 15 V"]
    assert hovers["club.parts.yaml"][-1] == "bands: brown, green, red, gold"
    assert hovers["decoders/grit-six.decoder.yaml"][0] == "output yellow"
    assert any(line.startswith("at output white: ") for line in hovers[PLAN])
    assert len(desk.servers()) == 1

    assert said["diagnostics"] == [
        [["unprotected-led", 'nothing limits the current of the LED "front headlamp"', 9, 21, "E"]]
    ]
    assert said["left"] == [[]]
    assert said["typed"] == ["  yellow: {circuit: [front headlamp, 1.5 kohm 1/4 W"]
    saved = (ROOT / "examples" / PLAN).read_text("utf-8").replace("[front", "[1.5 kohm 1/4 W, front")
    assert desk.text(PLAN) == saved.replace("front headlamp", "smokebox lamp")
    assert desk.servers_left() == []


def wait_for_the_end_of(heard: Path, terminal: pexpect.spawn[str]) -> None:
    """Until the script has done its part; an editor whose terminal nobody reads stands still."""
    end = time.monotonic() + SECONDS
    while not (heard.exists() and '["over",1]' in heard.read_text("utf-8")):
        assert time.monotonic() < end, heard.read_text("utf-8")
        terminal.expect([pexpect.TIMEOUT, "."], timeout=0.05)
        assert terminal.isalive(), heard.read_text("utf-8")
