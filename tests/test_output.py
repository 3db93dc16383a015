"""`--output`: the report in a file, whole or not at all, and one line for the log."""

from __future__ import annotations

import os
import stat
import sys
from pathlib import Path

import pytest

from command import PLAN, SPARE, Command, lay, started
from reports import NAMES

SUMS = "0 errors, 1 warning, 0 notes in 1 file"


def folder() -> set[str]:
    return {path.name for path in Path().iterdir()}


@pytest.mark.parametrize("form", NAMES)
def test_the_file_holds_what_would_be_printed(command: Command, form: str) -> None:
    lay({"a.lights.yaml": SPARE})
    printed = command("check", "--format", form, "a.lights.yaml").out
    outcome = command("check", "--format", form, "--output", "report", "a.lights.yaml")
    assert (outcome.status, outcome.out) == (0, "")
    assert outcome.err == f"lampwright: {SUMS}; the report is in report\n"
    assert Path("report").read_bytes() == printed.encode()
    assert folder() == {"a.lights.yaml", "report"}


def test_an_older_report_makes_room_and_keeps_its_mode(command: Command) -> None:
    lay({"a.lights.yaml": SPARE, "report": "x" * 100_000})
    Path("report").chmod(0o640)
    assert command("check", "--format", "line", "--output", "report").status == 0
    assert Path("report").read_text("utf-8").count("\n") == 1
    assert stat.S_IMODE(Path("report").stat().st_mode) == 0o640


def test_a_new_report_has_the_mode_of_any_new_file(command: Command) -> None:
    lay({"a.lights.yaml": PLAN, "other": ""})
    command("check", "--output", "report")
    assert Path("report").stat().st_mode == Path("other").stat().st_mode


def test_a_link_leads_to_its_file(command: Command) -> None:
    lay({"a.lights.yaml": PLAN, "real/report": "old"})
    Path("link").symlink_to("real/report")
    assert command("check", "--output", "link", "a.lights.yaml").status == 0
    assert Path("link").is_symlink()
    assert "0 errors" in Path("real/report").read_text("utf-8")


@pytest.mark.parametrize(
    ("output", "why"),
    [
        ("", "--output : an empty path names no file"),
        ("real", "--output real: it is a folder"),
        ("a.lights.yaml", "--output a.lights.yaml: a report never takes the place of a file that is checked"),
        ("lampwright.yaml", "--output lampwright.yaml: a report never takes the place of a file that is checked"),
        ("nowhere/report", "the report cannot be written to nowhere/report: No such file or directory"),
        ("a.lights.yaml/report", "the report cannot be written to a.lights.yaml/report: Not a directory"),
        ("/dev/full", "the report cannot be written to /dev/full: No space left on device"),
        ("x" * 300, f"the report cannot be written to {'x' * 300}: File name too long"),
        ("a\0b", "the report cannot be written to a\\u0000b: embedded null byte"),
    ],
)
def test_where_it_cannot_go_is_one_line(command: Command, output: str, why: str) -> None:
    lay({"a.lights.yaml": SPARE, "real/x": ""})
    before = folder()
    outcome = command("check", "--output", output)
    assert (outcome.status, outcome.out, outcome.err) == (2, "", f"lampwright: {why}\n")
    assert folder() == before
    assert Path("a.lights.yaml").read_text("utf-8") == SPARE


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_a_disk_that_fills_up_leaves_the_older_report(
    command: Command, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    lay({"a.lights.yaml": SPARE, "report": "old"})

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(*((os, "fsync") if step == "fsync" else (Path, "replace")), full)
    outcome = command("check", "--output", "report")
    assert (outcome.status, outcome.err.count("\n")) == (2, 1)
    assert Path("report").read_text("utf-8") == "old"
    assert folder() == {"a.lights.yaml", "report"}


def test_failures_are_in_the_report_and_on_the_log(command: Command) -> None:
    lay({"a.lights.yaml": SPARE})
    outcome = command("check", "a.lights.yaml", "nowhere", "--output", "report")
    assert outcome.status == 2
    assert outcome.err.splitlines() == [
        "lampwright: nowhere: there is no such file",
        f"lampwright: {SUMS}; 1 failure; the report is in report",
    ]
    assert "unwired-lamp" in Path("report").read_text("utf-8")


def test_a_pipe_and_closed_streams_are_no_hindrance(tmp_path: Path) -> None:
    lay({"a.lights.yaml": SPARE}, tmp_path)
    piped = started("check", "--format", "line", "--output", "/dev/stdout", cwd=tmp_path)
    assert (piped.returncode, piped.stdout.count(b"\n")) == (0, 1)
    closed = started("check", "--output", "report", cwd=tmp_path, preexec_fn=lambda: (os.close(1), os.close(2)))
    assert closed.returncode == 0
    assert b"unwired-lamp" in (tmp_path / "report").read_bytes()


@pytest.mark.skipif(sys.platform == "win32", reason="names there are Unicode")
def test_names_that_are_no_text_are_reported_by_their_bytes(command: Command) -> None:
    name = os.fsdecode(b"\xff.lights.yaml")
    lay({name: SPARE})
    assert command("check", "--format", "sarif", "--output", "report").status == 0
    assert '"uri": "%FF.lights.yaml"' in Path("report").read_text("utf-8")
