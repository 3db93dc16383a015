"""Paths that misbehave: one clear line or a finding, the right status, no traceback, and an end in time."""

from __future__ import annotations

import os
import socket
import sys
import time
from pathlib import Path

import pytest

from command import BURNING, PLAN, REFERRING, SECONDS, SHEET, Command, lay, started
from lampwright.files import reading, searching
from lampwright.text import Source

SHEET_NAME = "bench-six.decoder.yaml"


def lines(text: bytes) -> list[str]:
    return text.decode().splitlines()


# --- What is no file --------------------------------------------------------------------------------------------------


def make_fifo(path: Path) -> None:
    os.mkfifo(path)


def make_socket(path: Path) -> None:
    with socket.socket(socket.AF_UNIX) as made:
        made.bind(path.name)


def make_loop(path: Path) -> None:
    path.symlink_to(path.name)


def make_folder(path: Path) -> None:
    path.mkdir()


def make_device(path: Path) -> None:
    path.symlink_to("/dev/zero")


def make_dangling(path: Path) -> None:
    path.symlink_to("nowhere")


KINDS = {
    make_fifo: "it is no regular file",
    make_socket: "it is no regular file",
    make_device: "it is no regular file",
    make_loop: "too many levels of symbolic links",
    make_dangling: "there is no such file",
}


@pytest.mark.parametrize(("make", "why"), KINDS.items(), ids=lambda value: getattr(value, "__name__", ""))
def test_what_is_no_file_is_never_opened(command: Command, make: object, why: str) -> None:
    make(Path("a.lights.yaml"))  # type: ignore[operator]
    lay({"b.lights.yaml": BURNING})
    for arguments in (["a.lights.yaml", "b.lights.yaml"], ["."]):
        outcome = command.json(*arguments)
        assert (outcome.status, outcome.err) == (2, f"lampwright: a.lights.yaml: {why}\n")
        assert outcome.burning == ["b.lights.yaml"]


@pytest.mark.parametrize(
    ("make", "why"), [*KINDS.items(), (make_folder, "it is a folder")], ids=lambda value: getattr(value, "__name__", "")
)
def test_a_plan_that_refers_to_it_has_a_finding(command: Command, make: object, why: str) -> None:
    lay({"lampwright.yaml": "", "a.lights.yaml": REFERRING})
    make(Path(SHEET_NAME))  # type: ignore[operator]
    outcome = command.json("a.lights.yaml")
    outside = "it lies outside this repository" if make is make_device else why
    (found,) = [finding for finding in outcome.json["findings"] if finding["rule"] == "unreadable-file"]
    assert found["message"] == f'"{SHEET_NAME}" cannot be read: {outside}'
    assert (outcome.status, outcome.err) == (1, "")


def test_devices_named_on_the_command_line_do_not_hold_it_up(command: Command) -> None:
    outcome = command("check", "/dev/zero", "/dev/stdin", "/dev/tty", "/proc/self/mem")
    assert (outcome.status, len(outcome.err.splitlines())) == (2, 4)


def test_folders_named_like_our_files_are_folders(command: Command) -> None:
    lay({"a.lights.yaml/b.lights.yaml": BURNING, "lampwright.yaml/notes.txt": "", "c.decoder.yaml/notes.txt": ""})
    Path("d.lights.yaml").symlink_to("a.lights.yaml")
    assert command.json().burning == ["a.lights.yaml/b.lights.yaml"]
    assert command.json("a.lights.yaml").burning == ["a.lights.yaml/b.lights.yaml"]
    assert command.json("d.lights.yaml").burning == ["d.lights.yaml/b.lights.yaml"]
    assert command("check", "c.decoder.yaml").status == 2


def test_locks_of_editors_are_no_plans(command: Command) -> None:
    lay({"a.lights.yaml": PLAN})
    Path(".#a.lights.yaml").symlink_to("somebody@somewhere.1234")
    outcome = command("check")
    assert (outcome.status, outcome.err) == (0, "")


# --- What may not be read, or is gone ---------------------------------------------------------------------------------


def refuse(monkeypatch: pytest.MonkeyPatch, name: str, error: OSError) -> None:
    """Opening or looking at anything called `name` fails: permissions do not hold back a test that runs as root."""
    for method in ("stat", "open"):
        real = getattr(Path, method)

        def refused(path: Path, *given: object, real: object = real, **named: object) -> object:
            if path.name == name:
                raise error
            return real(path, *given, **named)  # type: ignore[operator]

        monkeypatch.setattr(Path, method, refused)


DENIED = PermissionError(13, "Permission denied")


@pytest.mark.parametrize(
    ("error", "why"),
    [
        (DENIED, "you have no permission to read it"),
        (FileNotFoundError(2, "No such file or directory"), "there is no such file"),
        (OSError(5, "Input/output error"), "input/output error"),
    ],
)
def test_a_file_that_was_found_but_cannot_be_read_is_said(
    command: Command, monkeypatch: pytest.MonkeyPatch, error: OSError, why: str
) -> None:
    lay({"a.lights.yaml": PLAN, "b.lights.yaml": BURNING, "c.lights.yaml": REFERRING, SHEET_NAME: SHEET})
    refuse(monkeypatch, "a.lights.yaml", error)
    for arguments in (["a.lights.yaml", "b.lights.yaml"], ["."]):
        outcome = command.json(*arguments)
        assert (outcome.status, outcome.err) == (2, f"lampwright: a.lights.yaml: {why}\n")
        assert outcome.burning == ["b.lights.yaml"]
    refuse(monkeypatch, SHEET_NAME, error)
    (found,) = [item for item in command.json("c.lights.yaml").json["findings"] if item["rule"] == "unreadable-file"]
    assert found["message"] == f'"{SHEET_NAME}" cannot be read: {why}'


def test_a_folder_that_may_not_be_searched_is_said(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    lay({"a/x.lights.yaml": BURNING, "b/y.lights.yaml": BURNING})
    scan = os.scandir

    def refused(path: Path) -> object:
        if Path(path).name == "a":
            raise DENIED
        return scan(path)

    monkeypatch.setattr(searching.os, "scandir", refused)
    outcome = command.json()
    assert (outcome.status, outcome.err) == (2, "lampwright: a: you have no permission to read it\n")
    assert outcome.burning == ["b/y.lights.yaml"]


def test_settings_that_may_not_be_read_are_said(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    lay({"lampwright.yaml": "levels: {unprotected-led: note}\n", "a.lights.yaml": BURNING})
    real = Path.open
    monkeypatch.setattr(
        Path, "open", lambda path, *given, **named: refuse_settings(path) or real(path, *given, **named)
    )
    outcome = command.json("a.lights.yaml")
    assert (outcome.status, outcome.err) == (2, "lampwright: lampwright.yaml: you have no permission to read it\n")
    assert outcome.burning == ["a.lights.yaml"]


def refuse_settings(path: Path) -> None:
    if path.name == "lampwright.yaml":
        raise DENIED


def test_a_file_that_goes_between_finding_and_reading_is_said(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    lay({"a.lights.yaml": PLAN, "b.lights.yaml": BURNING})
    real = reading.decoded

    def decoded(data: bytes, shown: str) -> Source:
        Path("b.lights.yaml").unlink(missing_ok=True)
        return real(data, shown)

    monkeypatch.setattr(reading, "decoded", decoded)
    outcome = command("check")
    assert (outcome.status, outcome.err) == (2, "lampwright: b.lights.yaml: there is no such file\n")


@pytest.mark.parametrize("error", [RecursionError("deep"), MemoryError(), ValueError("two\nlines\x1b")])
def test_a_bug_of_ours_costs_one_file(command: Command, monkeypatch: pytest.MonkeyPatch, error: Exception) -> None:
    lay({"a.lights.yaml": PLAN, "b.lights.yaml": BURNING})
    from lampwright import engine

    real = engine.lower_plan
    asked: list[None] = []

    def lower_plan(*given: object, **named: object) -> object:
        asked.append(None)
        if len(asked) == 1:
            raise error
        return real(*given, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(engine, "lower_plan", lower_plan)
    outcome = command.json()
    assert outcome.status == 2
    assert outcome.err.startswith(
        f"lampwright: a.lights.yaml: this file could not be checked, which is our fault: {type(error).__name__}"
    )
    assert len(outcome.err.splitlines()) == 1
    assert outcome.burning == ["b.lights.yaml"]


def test_of_an_endless_file_only_the_beginning_is_read(command: Command) -> None:
    with Path("a.lights.yaml").open("wb") as sparse:
        sparse.truncate(100_000_000_000)
    outcome = command.json("a.lights.yaml")
    assert [finding["rule"] for finding in outcome.json["findings"]] == ["unreadable-file"]


# --- Folders ----------------------------------------------------------------------------------------------------------


def test_loops_of_links_come_to_an_end(command: Command) -> None:
    lay({"fleet/a.lights.yaml": BURNING})
    Path("fleet/again").symlink_to("..")
    Path("fleet/self").symlink_to("self")
    Path("fleet/other").symlink_to("../other")
    Path("other").symlink_to("fleet/other")
    assert command.json().burning == ["fleet/a.lights.yaml"]
    # Who takes a roundabout way is shown it.
    assert command.json("fleet/again/fleet/again").burning == ["fleet/again/fleet/again/fleet/a.lights.yaml"]
    assert command("check", "fleet/self").status == 2


def test_a_deep_tree_with_many_other_files_is_searched_in_time(command: Command) -> None:
    for number in range(20_000):
        name = Path(f"attic/{number % 50}/{number}.txt")
        if number < 50:
            name.parent.mkdir(parents=True)
        name.touch()
    # Deeper than Python calls itself.
    deep = Path(*["d"] * (sys.getrecursionlimit() + 200))
    for folder in (*reversed(deep.parents[:-1]), deep):
        folder.mkdir()
    lay({"a.lights.yaml": BURNING}, deep)
    start = time.monotonic()
    outcome = command.json()
    assert time.monotonic() - start < SECONDS
    assert outcome.burning == [f"{deep}/a.lights.yaml"]
    assert (outcome.status, outcome.err) == (1, "")
    # What clears up after the tests does call itself.
    (deep / "a.lights.yaml").unlink()
    for folder in (deep, *deep.parents[:-1]):
        folder.rmdir()


def test_a_working_directory_that_is_gone_is_one_line(tmp_path: Path) -> None:
    gone = tmp_path / "gone"
    gone.mkdir()
    outcome = started("check", cwd=gone, preexec_fn=gone.rmdir)
    assert outcome.returncode == 2
    assert len(lines(outcome.stderr)) == 1
