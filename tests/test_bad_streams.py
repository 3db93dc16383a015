"""Streams that misbehave: one clear line at most, the right status, no traceback."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from command import BURNING, PLAN, SECONDS, Command, environment, lay, started
from lampwright.cli.reporting import FORMATS
from lampwright.files import reading

SHEET_NAME = "bench-six.decoder.yaml"


def lines(text: bytes) -> list[str]:
    return text.decode().splitlines()


@pytest.mark.parametrize(
    "arguments", [*(["check", "--format", form, "fleet"] for form in FORMATS), ["explain"], ["--help"], ["--version"]]
)
def test_a_reader_that_goes_away_is_no_reason_to_complain(tmp_path: Path, arguments: list[str]) -> None:
    lay({f"fleet/{number}.lights.yaml": BURNING for number in range(3)}, tmp_path)
    line = [sys.executable, "-m", "lampwright", *arguments]
    with subprocess.Popen(
        line, cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=environment()
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        complaints = process.stderr.read()
        assert process.wait(SECONDS) == 2
    assert complaints == b""


def test_head_gets_its_lines(tmp_path: Path) -> None:
    lay({f"{number}.lights.yaml": BURNING for number in range(50)}, tmp_path)
    line = f"{sys.executable} -m lampwright check . | head -n 1"
    outcome = subprocess.run(
        ["/bin/sh", "-c", line], cwd=tmp_path, capture_output=True, env=environment(), check=True, timeout=SECONDS
    )
    assert outcome.stdout.startswith(b"0.lights.yaml:7:21: error:")
    assert outcome.stderr == b""


@pytest.mark.parametrize(
    "arguments", [*(["check", "--format", form, "a.lights.yaml"] for form in FORMATS), ["explain"], ["--version"]]
)
def test_a_full_disk_is_one_line(tmp_path: Path, arguments: list[str]) -> None:
    lay({"a.lights.yaml": BURNING}, tmp_path)
    with Path("/dev/full").open("wb") as full:
        outcome = started(*arguments, cwd=tmp_path, stdout=full)
    assert outcome.returncode == 2
    assert lines(outcome.stderr) == ["lampwright: the report cannot be written: No space left on device"]


def test_closed_streams_are_no_traceback(tmp_path: Path) -> None:
    lay({"a.lights.yaml": BURNING}, tmp_path)
    no_output = started("check", cwd=tmp_path, preexec_fn=lambda: os.close(1))
    assert (no_output.returncode, lines(no_output.stderr)) == (2, ["lampwright: standard output is closed"])
    no_errors = started("check", "a.lights.yaml", "nowhere", cwd=tmp_path, preexec_fn=lambda: os.close(2))
    assert no_errors.returncode == 2
    assert b"unprotected-led" in no_errors.stdout
    with Path("/dev/full").open("wb") as full:
        full_errors = started("check", "a.lights.yaml", "nowhere", cwd=tmp_path, stderr=full)
    assert full_errors.returncode == 2
    assert b"unprotected-led" in full_errors.stdout


def test_standard_input_without_end_comes_to_an_end(tmp_path: Path) -> None:
    with Path("/dev/zero").open("rb") as endless:
        outcome = started("check", "-", cwd=tmp_path, stdin=endless)
    assert outcome.returncode == 1
    assert b"larger than 2 MB" in outcome.stdout


def test_an_interrupt_is_one_line(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    lay({"a.lights.yaml": PLAN})

    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(reading, "decoded", interrupted)
    outcome = command("check")
    assert (outcome.status, outcome.out, outcome.err) == (130, "", "lampwright: stopped\n")


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "utf-8"])
def test_any_encoding_of_the_terminal_will_do(tmp_path: Path, encoding: str) -> None:
    lay({"a.lights.yaml": PLAN.replace("front headlamp]", "Lämpchen Ω]")}, tmp_path)
    outcome = started(
        "check", "a.lights.yaml", "nöwhere", cwd=tmp_path, env=environment(PYTHONIOENCODING=encoding, LC_ALL="C")
    )
    assert outcome.returncode == 2
    assert "Lämpchen Ω" in outcome.stdout.decode("utf-8")
    assert len(lines(outcome.stderr.replace(b"\xf6", b"o"))) == 1
