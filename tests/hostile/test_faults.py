"""Killed at every call that writes, on a full disk, in a folder that nobody may write to, two at once, clocks that jump.

What is held to is always the same: each file of the user is the old or the new one, whole, and a run after that does
what was wanted.
"""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from pathlib import Path

import pytest

from command import BURNING, PLAN, SECONDS, Command, environment, lay, started

SLIP = PLAN.replace("14.5 V", "14,5 V")
"""What `fix` undoes to `PLAN`."""

# Runs a command again and again, each time in a child that ends at one call more, before it is done or after it; or that
# is told there by the system that the disk is full. What is loaded, is loaded once; the first child is left alone.
FAULTS = """
import errno, os, signal, shutil, sys
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
        done = real(*given, **named)
        if how == "after" and left == 0:
            os.kill(os.getpid(), signal.SIGKILL)
        return done
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
    done = subprocess.run(line, cwd=folder, capture_output=True, text=True, check=False, timeout=SECONDS, env=environment())
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
    seen = states(how, folder, "fix", "--no-cache")
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
def test_a_baseline_is_the_old_or_the_new_one(tmp_path: Path, command: Command, how: str, known: str | None) -> None:
    folder = tmp_path / "club"
    lay({"a.lights.yaml": BURNING, "b.lights.yaml": BURNING}, folder)
    os.chdir(folder)
    assert command("baseline", "known.jsonl").status == 0
    whole = Path("known.jsonl").read_bytes()
    Path("known.jsonl").unlink()
    if known is None:
        old, new, arguments = None, whole, ("baseline", "known.jsonl")
    else:
        lay({"known.jsonl": whole, "b.lights.yaml": PLAN})
        old, new, arguments = whole, None, ("baseline", "known.jsonl")
    seen = states(how, folder, *arguments)
    finished = seen[-1][2]["known.jsonl"]
    assert finished != old
    assert new in (None, finished)
    for moment, status, files in seen:
        assert files.get("known.jsonl") in (old, finished), (moment, status)
        assert moment != "again" or files["known.jsonl"] == finished
        assert status not in (0, 100) or files["known.jsonl"] == finished
    assert len(seen) > 6
