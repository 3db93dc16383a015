"""A check that goes on: what makes it check again, what does not, what it prints, and how it ends."""

from __future__ import annotations

import json
import queue
import re
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pexpect
import pytest

from command import BURNING, FAULTY_SHEET, PLAN, REFERRING, SECONDS, SHEET, SPARE, Command, environment, lay
from lampwright.files.watching import Watched

CLEAN = "0 errors, 0 warnings, 0 notes in 1 file"
QUIET = 1.5
"""Seconds in which a change would long have been seen."""


class Process:
    """`lampwright check --watch` in a folder, and what it has printed and nobody has read yet."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        self.process = process
        self._lines: queue.Queue[str] = queue.Queue()
        threading.Thread(target=self._read, args=(process.stdout,), daemon=True).start()

    def _read(self, stream: Iterator[str]) -> None:
        for line in stream:
            self._lines.put(line.rstrip("\n"))

    def sums(self) -> str:
        """The last line of the next report."""
        return self.until(" in ", r" notes? in \d+ files?")[-1]

    def until(self, words: str, pattern: str | None = None) -> list[str]:
        """The lines up to the one in which `words` stand."""
        read: list[str] = []
        end = time.monotonic() + SECONDS
        while not read or not re.search(pattern or re.escape(words), read[-1]):
            try:
                read.append(self._lines.get(timeout=max(0.0, end - time.monotonic())))
            except queue.Empty:
                raise AssertionError(f"{words} was never printed, but {read}") from None
        return read

    def is_quiet(self) -> bool:
        try:
            line = self._lines.get(timeout=QUIET)
        except queue.Empty:
            return True
        raise AssertionError(line)

    def stop(self, how: int = signal.SIGINT) -> int:
        self.process.send_signal(how)
        return self.process.wait(SECONDS)

    def rest(self) -> list[str]:
        time.sleep(0.2)
        return [self._lines.get() for _ in range(self._lines.qsize())]


@contextmanager
def watching(folder: Path, *arguments: str) -> Iterator[Process]:
    line = [sys.executable, "-m", "lampwright", "check", "--watch", *arguments]
    options = {"stdout": subprocess.PIPE, "stderr": subprocess.STDOUT, "text": True, "encoding": "utf-8"}
    with subprocess.Popen(line, cwd=folder, env=environment(), **options) as process:
        watched = Process(process)
        try:
            yield watched
        finally:
            process.kill()


def save(path: Path, text: str) -> None:
    """As editors do that want no half file: a new one beside it takes its name."""
    new = path.with_name(f".{path.name}.new")
    new.write_text(text, "utf-8")
    new.replace(path)


# --- What makes it check again ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("way", [save, lambda path, text: path.write_text(text, "utf-8")], ids=["renamed", "in place"])
def test_a_saved_plan_is_checked_again(tmp_path: Path, way) -> None:  # type: ignore[no-untyped-def]
    lay({"a.lights.yaml": PLAN}, tmp_path)
    with watching(tmp_path, "a.lights.yaml") as process:
        assert process.until("waiting")[-1] == "lampwright: waiting for changes; Ctrl-C ends it"
        way(tmp_path / "a.lights.yaml", BURNING)
        lines = process.until("1 error")
        assert re.fullmatch(r"--- \d\d:\d\d:\d\d: a\.lights\.yaml", lines[1])
        assert lines[0] == lines[2] == ""
        assert "[unprotected-led]" in lines[3]
        way(tmp_path / "a.lights.yaml", PLAN)
        assert process.until("0 errors")[-1] == CLEAN
        assert process.is_quiet()


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("bench-six.decoder.yaml", FAULTY_SHEET, "[misspelt-unit]"),
        ("lampwright.yaml", "levels: {unwired-lamp: nought}\n", "[unknown-name]"),
        ("b.lights.yaml", BURNING, "[unprotected-led]"),
        ("new/folder/c.lights.yaml", BURNING, "[unprotected-led]"),
    ],
)
def test_a_file_that_comes_or_changes_is_seen(tmp_path: Path, name: str, text: str, words: str) -> None:
    lay({"a.lights.yaml": REFERRING, "bench-six.decoder.yaml": SHEET}, tmp_path)
    with watching(tmp_path) as process:
        process.until("waiting")
        lay({name: text}, tmp_path)
        assert any(words in line for line in process.until(words))


def test_a_gitignore_that_changes_is_seen(tmp_path: Path) -> None:
    lay({"a.lights.yaml": PLAN, "b.lights.yaml": PLAN}, tmp_path)
    with watching(tmp_path) as process:
        assert "in 2 files" in process.sums()
        process.until("waiting")
        lay({".gitignore": "b.lights.yaml\n"}, tmp_path)
        assert "in 1 file" in process.sums()


def test_a_sheet_that_was_missing_is_seen_and_one_that_goes(tmp_path: Path) -> None:
    lay({"plans/a.lights.yaml": REFERRING.replace("bench-six", "../sheets/bench-six"), "lampwright.yaml": ""}, tmp_path)
    lay({"sheets/other.txt": ""}, tmp_path)
    with watching(tmp_path, "plans") as process:
        assert any("[unreadable-file]" in line for line in process.until("waiting"))
        save(tmp_path / "sheets/bench-six.decoder.yaml", SHEET)
        assert "0 errors" in process.sums()
        (tmp_path / "sheets/bench-six.decoder.yaml").unlink()
        assert any("[unreadable-file]" in line for line in process.until("1 error"))


def test_settings_that_come_above_the_folder_are_seen(tmp_path: Path) -> None:
    lay({"club/fleet/a.lights.yaml": SPARE}, tmp_path)
    with watching(tmp_path / "club/fleet") as process:
        assert "1 warning" in process.sums()
        process.until("waiting")
        save(tmp_path / "club/lampwright.yaml", "levels: {unwired-lamp: ignore}\n")
        assert "0 warnings" in process.sums()


def test_what_a_link_leads_to_is_seen(tmp_path: Path) -> None:
    lay({"old.txt": SHEET, "new.txt": FAULTY_SHEET, "a.lights.yaml": REFERRING}, tmp_path)
    (tmp_path / "bench-six.decoder.yaml").symlink_to("old.txt")
    with watching(tmp_path, "a.lights.yaml") as process:
        assert "0 errors" in process.sums()
        process.until("waiting")
        (tmp_path / "aside").symlink_to("new.txt")
        (tmp_path / "aside").replace(tmp_path / "bench-six.decoder.yaml")
        assert any("[misspelt-unit]" in line for line in process.until("1 error"))


def test_a_plan_that_goes_and_comes_back_is_no_end(tmp_path: Path) -> None:
    lay({"a.lights.yaml": PLAN}, tmp_path)
    with watching(tmp_path, "a.lights.yaml") as process:
        process.until("waiting")
        (tmp_path / "a.lights.yaml").unlink()
        assert process.until("no such file")[-1] == "lampwright: a.lights.yaml: there is no such file"
        process.until("1 failure")
        save(tmp_path / "a.lights.yaml", PLAN)
        assert process.until(CLEAN)[-1] == CLEAN


def test_a_baseline_is_watched(tmp_path: Path) -> None:
    lay({"a.lights.yaml": BURNING}, tmp_path)
    line = [sys.executable, "-m", "lampwright", "baseline", "known.jsonl"]
    subprocess.run(line, cwd=tmp_path, env=environment(), check=True, capture_output=True)
    known = tmp_path / "known.jsonl"
    with watching(tmp_path, "a.lights.yaml", "--baseline", "known.jsonl") as process:
        assert "0 errors" in process.sums()
        process.until("waiting")
        save(known, known.read_text("utf-8").splitlines(keepends=True)[0])
        assert "1 error" in process.sums()


# --- What does not ----------------------------------------------------------------------------------------------------


def test_what_nothing_hangs_on_is_passed_over(tmp_path: Path) -> None:
    lay({"a.lights.yaml": PLAN, ".gitignore": "attic/\n"}, tmp_path)
    with watching(tmp_path) as process:
        process.until("waiting")
        lay(
            {"notes.txt": "x", "attic/b.lights.yaml": BURNING, ".#c.lights.yaml": "", ".git/x.lights.yaml": ""},
            tmp_path,
        )
        assert process.is_quiet()


def test_a_report_that_is_as_before_is_not_printed_again(tmp_path: Path) -> None:
    lay({"a.lights.yaml": BURNING}, tmp_path)
    with watching(tmp_path) as process:
        process.until("waiting")
        save(tmp_path / "a.lights.yaml", f"{BURNING}# a word\n")
        assert re.fullmatch(r"--- \d\d:\d\d:\d\d: a\.lights\.yaml: as before", process.until("before")[-1])
        assert process.is_quiet()


# --- What is printed --------------------------------------------------------------------------------------------------


def test_programs_get_whole_reports_and_nothing_between_them(tmp_path: Path) -> None:
    lay({"a.lights.yaml": PLAN}, tmp_path)
    with (tmp_path / "out").open("wb") as out, (tmp_path / "err").open("wb") as err:
        line = [sys.executable, "-m", "lampwright", "check", "--watch", "--format", "json-lines", "a.lights.yaml"]
        with subprocess.Popen(line, cwd=tmp_path, env=environment(), stdout=out, stderr=err) as process:
            wait_for(tmp_path / "err", "waiting")
            save(tmp_path / "a.lights.yaml", BURNING)
            wait_for(tmp_path / "out", '"errors": 1')
            process.send_signal(signal.SIGINT)
            assert process.wait(SECONDS) == 130
    kinds = [json.loads(line)["kind"] for line in (tmp_path / "out").read_text().splitlines()]
    assert [kind for kind in kinds if kind != "undecided"] == ["summary", "finding", "summary"]
    waiting, changed = (tmp_path / "err").read_text().splitlines()
    assert waiting == "lampwright: waiting for changes; Ctrl-C ends it"
    assert re.fullmatch(r"lampwright: \d\d:\d\d:\d\d: a\.lights\.yaml", changed)


def wait_for(path: Path, words: str) -> None:
    end = time.monotonic() + SECONDS
    while words not in path.read_text("utf-8"):
        assert time.monotonic() < end, path.read_text("utf-8")
        time.sleep(0.05)


def test_a_file_for_the_report_is_kept_new(tmp_path: Path) -> None:
    lay({"a.lights.yaml": PLAN}, tmp_path)
    with watching(tmp_path, "--output", "report.txt") as process:
        process.until("waiting")
        assert (tmp_path / "report.txt").read_text() == f"{CLEAN}\n"
        save(tmp_path / "a.lights.yaml", BURNING)
        process.until("the report is in report.txt")
        assert "[unprotected-led]" in (tmp_path / "report.txt").read_text()


def test_names_that_change_give_no_commands(tmp_path: Path) -> None:
    lay({"a.lights.yaml": PLAN}, tmp_path)
    with watching(tmp_path) as process:
        process.until("waiting")
        lay({"\x1b[2J\n::error::x.lights.yaml": PLAN}, tmp_path)
        lines = process.until("2 files")
        assert all("\x1b" not in line and not line.startswith("::") for line in lines)
        assert "\\u001b[2J\\u000a::error::x.lights.yaml" in lines[1]


# --- How it ends ------------------------------------------------------------------------------------------------------


def test_ctrl_c_ends_it_without_a_word(tmp_path: Path) -> None:
    lay({"a.lights.yaml": PLAN}, tmp_path)
    with watching(tmp_path) as process:
        process.until("waiting")
        assert process.stop() == 130
        assert process.rest() == []


def test_ctrl_c_in_a_terminal_ends_it_and_nothing_was_cleared(tmp_path: Path) -> None:
    lay({"a.lights.yaml": BURNING}, tmp_path)
    line = ["-m", "lampwright", "check", "--watch"]
    terminal = pexpect.spawn(
        sys.executable, line, cwd=str(tmp_path), env=environment(), encoding="utf-8", timeout=SECONDS
    )
    seen = ""
    for change in (None, PLAN, BURNING):
        if change is not None:
            save(tmp_path / "a.lights.yaml", change)
        terminal.expect(r" in 1 file[^\r]*\r\n")
        seen += terminal.before
    terminal.send("\x03")
    terminal.expect(pexpect.EOF)
    seen += terminal.before
    terminal.close()
    assert terminal.exitstatus == 130
    assert "waiting for changes" in seen
    assert "stopped" not in seen
    # Colours, and nothing else that a terminal would obey.
    assert re.findall(r"\x1b(?!\[[0-9;]*m)|\f", seen) == []


def test_standard_input_and_bad_places_are_refused_at_once(command: Command) -> None:
    lay({"a.lights.yaml": PLAN})
    assert command("check", "--watch", "-").err == "lampwright: --watch is for files; standard input is read once\n"
    assert command("check", "--watch", "--output", "a.lights.yaml").status == 2


# --- What is noted ----------------------------------------------------------------------------------------------------


def test_only_what_was_asked_for_counts(tmp_path: Path) -> None:
    asked, other, missing = tmp_path / "a", tmp_path / "b", tmp_path / "c"
    asked.write_text("1")
    other.write_text("1")
    watched = Watched()
    watched.read(asked, "a")
    assert not watched.is_file(missing)
    assert watched.changed() == ()
    other.write_text("2")
    assert watched.changed() == ()
    missing.write_text("1")
    assert watched.changed() == (missing,)
    save(asked, "1")
    assert set(watched.changed()) == {asked, missing}
