"""Killed at every call that writes, on a full disk, in a folder that nobody may write to, two at once, clocks that jump.

What is held to is always the same: each file of the user is the old or the new one, whole, and a run after that does
what was wanted.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from command import BURNING, PLAN, SECONDS, Command, environment, lay, started

SLIP = PLAN.replace("14.5 V", "14,5 V")
"""What `fix` undoes to `PLAN`."""

# Runs a command again and again, each time in a child that ends at one call more, before it is done or after it; or that
# is told there by the system that the disk is full. What is loaded, is loaded once; the first child is left alone.
FAULTS = """
import contextlib, errno, os, signal, shutil, sys
from pathlib import Path
from lampwright.cli import main

how, folder, arguments = sys.argv[1], Path(sys.argv[2]), sys.argv[3:]
CALLS = ["write", "fsync", "replace", "rename", "link", "unlink", "chmod", "open", "fdopen", "mkdir"]
if how == "full":
    CALLS = ["fsync", "replace", "mkdir", "fdopen"]
first = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
cache = Path(os.environ["XDG_CACHE_HOME"])

def is_ours(given):
    return any(isinstance(each, int) and each > 2 or str(folder) in str(each) or str(cache) in str(each) for each in given)

def fault(real, name):
    def call(*given, **named):
        global left
        if name == "open" and not (len(given) > 1 and given[1] & (os.O_WRONLY | os.O_RDWR)) or not is_ours(given):
            return real(*given, **named)
        left -= 1
        if how == "before" and left == 0:
            os.kill(os.getpid(), signal.SIGKILL)
        if how == "full" and left <= 0:
            raise OSError(errno.ENOSPC, "No space left on device")
        try:
            return real(*given, **named)
        finally:
            if how == "after" and left == 0:
                os.kill(os.getpid(), signal.SIGKILL)
    return call

def again():
    for path in folder.iterdir():
        if path not in first:
            shutil.rmtree(path) if path.is_dir() else path.unlink()
    for path, data in first.items():
        path.write_bytes(data)
    shutil.rmtree(cache, ignore_errors=True)

def run(number):
    global left
    child = os.fork()
    if child == 0:
        left = number
        silent = os.open(os.devnull, os.O_WRONLY)
        os.dup2(silent, 1), os.dup2(silent, 2)
        for name in CALLS:
            setattr(os, name, fault(getattr(os, name), name))
        status = 70
        try:
            status = main(arguments)
        except SystemExit as end:
            status = end.code
        finally:
            # A call that was never reached says that there are no more.
            os._exit(100 if left > 0 else status or 0)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])

nowhere = open(os.devnull, "w")
# What a child loads is loaded by its parent already.
with contextlib.redirect_stdout(nowhere), contextlib.redirect_stderr(nowhere), contextlib.suppress(SystemExit):
    main(arguments)
number = 0
while True:
    number += 1
    again()
    status = run(number)
    print(number, status, *sorted(f"{path.name}={path.read_bytes().hex()}" for path in folder.iterdir() if path.is_file()))
    if status == 100:
        break
    assert number < 200
    # Whatever was left behind hinders nobody.
    assert run(10**9) == 100
    print("again", 100, *sorted(f"{path.name}={path.read_bytes().hex()}" for path in folder.iterdir() if path.is_file()))
"""


def states(how: str, folder: Path, *arguments: str) -> list[tuple[str, int, dict[str, bytes]]]:
    """What lies in the folder after each fault, and again after a run without one; the last was never reached."""
    line = [sys.executable, "-c", FAULTS, how, str(folder), *arguments]
    done = subprocess.run(
        line, cwd=folder, capture_output=True, text=True, check=False, timeout=SECONDS, env=environment()
    )
    assert done.returncode == 0, done.stderr
    found = []
    for words in map(str.split, done.stdout.splitlines()):
        files = dict(word.split("=", 1) for word in words[2:])
        shown = {name: bytes.fromhex(data) for name, data in files.items() if not name.startswith(".lampwright-")}
        found.append((words[0], int(words[1]), shown))
    return found


each_fault = pytest.mark.parametrize("how", ["before", "after", "full"])
pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork")


@each_fault
def test_fix_leaves_each_file_old_or_new(tmp_path: Path, how: str) -> None:
    folder = tmp_path / "club"
    old = {"a.lights.yaml": SLIP.encode(), "b.lights.yaml": SLIP.replace("7}", "8}").encode()}
    new = {name: data.replace(b"14,5 V", b"14.5 V") for name, data in old.items()}
    lay(old, folder)
    seen = states(how, folder, "fix")
    for moment, status, files in seen:
        assert files.keys() == old.keys()
        assert all(files[name] in (old[name], new[name]) for name in old), (moment, status)
        # Said to be done is done.
        assert status not in (0, 100) or files == new, (moment, status)
        assert moment != "again" or files == new
    assert any(files == old for _, _, files in seen)
    assert len(seen) > 12
    assert {status for _, status, _ in seen} == ({-9, 100} if how != "full" else {0, 2, 100})


@each_fault
def test_a_check_writes_a_cache_and_nothing_else(tmp_path: Path, how: str) -> None:
    folder = tmp_path / "club"
    lay({"a.lights.yaml": BURNING}, folder)
    seen = states(how, folder, "check")
    assert len(seen) > 4
    assert all(files == {"a.lights.yaml": BURNING.encode()} for _, _, files in seen)
    assert {status for _, status, _ in seen} == ({-9, 100} if how != "full" else {1, 100})


@each_fault
@pytest.mark.parametrize("known", [None, "longer"])
def test_a_baseline_is_the_old_or_the_new_one(
    tmp_path: Path, command: Command, monkeypatch: pytest.MonkeyPatch, how: str, known: str | None
) -> None:
    folder = tmp_path / "club"
    lay({"a.lights.yaml": BURNING, "b.lights.yaml": BURNING}, folder)
    monkeypatch.chdir(folder)
    assert command("baseline", "known.jsonl").status == 0
    whole, old = Path("known.jsonl").read_bytes(), None
    if known is None:
        Path("known.jsonl").unlink()
    else:
        # One of the two is cured, so that it shrinks.
        lay({"b.lights.yaml": PLAN})
        old = whole
    seen = states(how, folder, "baseline", "known.jsonl")
    finished = seen[-1][2]["known.jsonl"]
    assert (finished == whole) == (known is None)
    for moment, status, files in seen:
        assert files.get("known.jsonl") in (old, finished), (moment, status)
        assert moment != "again" or files["known.jsonl"] == finished
        assert status not in (0, 100) or files["known.jsonl"] == finished
    assert len(seen) > 6


# --- Disks and folders that are so ------------------------------------------------------------------------------------


@pytest.fixture
def tiny(tmp_path: Path) -> Iterator[Path]:
    """A file system of 64 KiB."""
    folder = tmp_path / "tiny"
    folder.mkdir()
    mount, unmount = shutil.which("mount") or "", shutil.which("umount") or ""
    line = [mount, "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(folder)]
    if os.getuid() != 0 or not mount or subprocess.run(line, check=False, capture_output=True).returncode:
        pytest.skip("only root mounts a file system, and not everywhere")
    yield folder
    subprocess.run([unmount, str(folder)], check=True)


def test_a_disk_that_is_really_full(tiny: Path) -> None:
    lay({"a.lights.yaml": SLIP, "filling": b"x" * 45_000}, tiny)
    with suppress(OSError), (tiny / "filling").open("ab", buffering=0) as file:
        while file.write(b"x" * 4096) == 4096:
            pass
    done = started("fix", cwd=tiny)
    assert (done.returncode, (tiny / "a.lights.yaml").read_text("utf-8")) == (2, SLIP)
    assert done.stderr == b"lampwright: a.lights.yaml: no space left on device\n"
    done = started("check", cwd=tiny, env=environment(XDG_CACHE_HOME=str(tiny / "cache")))
    assert (done.returncode, done.stderr) == (1, b"")
    done = started("baseline", "known.jsonl", cwd=tiny)
    assert (done.returncode, b"no space left on device" in done.stderr) == (2, True)
    assert sorted(each.name for each in tiny.iterdir() if each.name != "cache") == ["a.lights.yaml", "filling"]
    (tiny / "filling").unlink()
    assert (started("fix", cwd=tiny).returncode, (tiny / "a.lights.yaml").read_text("utf-8")) == (0, PLAN)


# Root may write anywhere, so root becomes somebody else first; who may perhaps not read this program, so it is loaded.
POWERLESS = """
import os, pkgutil, sys, tempfile
import lampwright
for module in pkgutil.walk_packages(lampwright.__path__, "lampwright."):
    if not module.name.endswith("__main__"):
        __import__(module.name)
if os.getuid() == 0:
    os.setgroups([]), os.setgid(65534), os.setuid(65534)
sys.exit(lampwright.cli.main())
"""


@pytest.mark.parametrize("arguments", [("fix",), ("baseline", "known.jsonl")], ids=lambda words: words[0])
def test_a_folder_that_may_not_be_written_to(arguments: tuple[str, ...]) -> None:
    # Others may not pass through the folders that pytest makes.
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        lay({"a.lights.yaml": SLIP}, folder)
        (folder / "a.lights.yaml").chmod(0o666)
        folder.chmod(0o555)
        try:
            done = started(*arguments, cwd=folder, start=["-c", POWERLESS])
        finally:
            folder.chmod(0o755)
        assert (done.returncode, len(done.stderr.splitlines())) == (2, 1), done.stderr
        assert done.stderr.startswith(b"lampwright: ")
        assert {each.name: each.read_text("utf-8") for each in folder.iterdir()} == {"a.lights.yaml": SLIP}


# --- Two at once, and clocks ------------------------------------------------------------------------------------------


def together(folder: Path, *arguments: str, number: int = 2) -> list[tuple[int, bytes, bytes]]:
    line = [sys.executable, "-m", "lampwright", *arguments]
    pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    members = [subprocess.Popen(line, cwd=folder, env=environment(), **pipes) for _ in range(number)]  # type: ignore[call-overload]
    said = [member.communicate(timeout=SECONDS) for member in members]
    return [(member.returncode, *each) for member, each in zip(members, said, strict=True)]


def test_two_that_fix_at_once_fix_all_and_nothing_twice(tmp_path: Path) -> None:
    lay({f"{number:02}.lights.yaml": SLIP for number in range(20)}, tmp_path)
    for status, _, complaint in together(tmp_path, "fix"):
        # Who comes second either sees a sound file, or is told that it has changed.
        assert status == (2 if complaint else 0)
        assert all(
            line.endswith(b"in the meantime; run it again") or b"changed" in line for line in complaint.splitlines()
        )
    assert {each.read_text("utf-8") for each in tmp_path.iterdir()} == {PLAN}
    assert started("check", cwd=tmp_path).returncode == 0


def test_two_that_write_one_baseline_leave_a_whole_one(tmp_path: Path) -> None:
    lay({f"{number:02}.lights.yaml": BURNING for number in range(20)}, tmp_path)
    statuses = [status for status, _, _ in together(tmp_path, "baseline", "known.jsonl")]
    assert 0 in statuses
    assert set(statuses) <= {0, 2}
    assert started("check", "--baseline", "known.jsonl", cwd=tmp_path).returncode == 0


def test_who_checks_while_others_fix_sees_the_old_or_the_new_text(tmp_path: Path) -> None:
    lay({f"{number:02}.lights.yaml": SLIP for number in range(20)}, tmp_path)
    checking = together(tmp_path, "check", "--format", "json", number=1)[0]
    assert checking[0] == 1
    fixing = subprocess.Popen(
        [sys.executable, "-m", "lampwright", "fix"], cwd=tmp_path, env=environment(), stdout=subprocess.DEVNULL
    )
    for _ in range(3):
        status, out, complaint = together(tmp_path, "check", "--format", "json", number=1)[0]
        assert (status in (0, 1), complaint) == (True, b"")
        assert {finding["rule"] for finding in json.loads(out)["findings"]} <= {"decimal-comma"}
    assert fixing.wait(SECONDS) == 0
    assert started("check", cwd=tmp_path).returncode == 0


@pytest.mark.parametrize("seconds", [0, 1, 2**31 - 1, 2**33])
def test_a_file_of_any_time_is_checked_as_it_is_now(command: Command, seconds: int) -> None:
    for text, status in ((PLAN, 0), (BURNING, 1), (PLAN, 0)):
        lay({"a.lights.yaml": text})
        os.utime("a.lights.yaml", (seconds, seconds))
        os.utime(".", (seconds, seconds))
        for _ in range(2):
            assert command("check").status == status
    lay({"a.lights.yaml": SLIP})
    os.utime("a.lights.yaml", (seconds, seconds))
    assert command("fix").status == 0
    assert Path("a.lights.yaml").read_text("utf-8") == PLAN
