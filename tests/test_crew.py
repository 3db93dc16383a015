"""Many files are shared among processes: what comes out is the same, whatever becomes of them, and none stays behind."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from bench.club import make_club
from command import SECONDS, environment, started

DRIVER = """
import os, signal, sys, time
from lampwright.cli import checking, crew, main, recalling
crew._processors = lambda: 2
checked, check = [], checking.Run.check
def counting(self, path):
    checked.append(path)
    return check(self, path)
checking.Run.check = counting
{patch}
status = main(sys.argv[1:])
if "COUNT" in os.environ:
    open(os.environ["COUNT"], "w").write(str(len(checked)))
sys.exit(status)
"""
SPAWN = """
import multiprocessing
get = multiprocessing.get_context
multiprocessing.get_context = lambda kind: get("spawn")
"""
DIES = """
work = crew._work
def dying(folder, paths, pipe, listening):
    if paths[0][0] == {share}:
        {how}
        os.kill(os.getpid(), signal.SIGKILL)
    work(folder, paths, pipe, listening)
crew._work = dying
"""
LOUD = """
recalling.Memory.learnt = lambda self, source: ["x" * 1_000_000]
"""
DEAF = (
    LOUD
    + """
import multiprocessing.connection
multiprocessing.connection.wait = lambda pipes: time.sleep(60)
"""
)
on_linux = pytest.mark.skipif(sys.platform != "linux", reason="looks at processes as Linux shows them")


@pytest.fixture(scope="module")
def club(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two hundred plans."""
    folder = tmp_path_factory.mktemp("large") / "club"
    folder.mkdir()
    make_club(folder, 200, lines=1)
    return folder


@pytest.fixture(scope="module")
def serial(club: Path) -> bytes:
    """What one process says of half of them, as each test here asks for it."""
    return started(*HALF, cwd=club).stdout


HALF = ("check", "--no-cache", "--format", "json", "vehicles-0", "vehicles-1")


def shared(club: Path, tmp_path: Path, patch: str = "", *arguments: str) -> tuple[bytes, int]:
    """What several processes say, and how many files the first one had to check."""
    count = tmp_path / "count"
    start = ["-c", DRIVER.replace("{patch}", patch)]
    done = started(*(arguments or HALF), cwd=club, start=start, env=environment(COUNT=str(count)))
    assert done.stderr == b""
    return done.stdout, int(count.read_text())


@pytest.fixture(autouse=True, scope="module")
def one_processor() -> Iterator[None]:
    """Without a driver, the command has one processor."""
    if sys.platform != "linux":
        yield
        return
    before = os.sched_getaffinity(0)
    os.sched_setaffinity(0, {min(before)})
    yield
    os.sched_setaffinity(0, before)


def test_two_hundred_plans(club: Path, tmp_path: Path) -> None:
    arguments = "check", "--format", "json"
    alone = started(*arguments, "--no-cache", cwd=club).stdout
    assert shared(club, tmp_path, "", *arguments) == (alone, 0)
    # What others have told is kept like anything else.
    assert shared(club, tmp_path, "recalling.Memory.watch = None", *arguments) == (alone, 0)


def test_processes_that_begin_from_nothing(club: Path, tmp_path: Path, serial: bytes) -> None:
    assert shared(club, tmp_path, SPAWN) == (serial, 0)


@pytest.mark.parametrize("share", [0, 1])
@pytest.mark.parametrize("how", ["pass", r"os.write(pipe.fileno(), b'\0\1\0\0half a message')"])
def test_a_process_that_is_lost(club: Path, tmp_path: Path, serial: bytes, share: int, how: str) -> None:
    said, checked = shared(club, tmp_path, DIES.replace("{share}", str(share)).replace("{how}", how))
    assert said == serial
    assert 40 < checked < 70


@pytest.mark.parametrize("patch", ["crew._work = lambda *_: None", "recalling.Memory.learnt = lambda *_: 1 / 0"])
def test_a_process_that_tells_nothing(club: Path, tmp_path: Path, serial: bytes, patch: str) -> None:
    said, checked = shared(club, tmp_path, patch)
    assert said == serial
    assert checked > 100


@pytest.mark.parametrize("call", ["os.fork", "os.pipe"])
def test_no_more_processes_to_be_had(club: Path, tmp_path: Path, serial: bytes, call: str) -> None:
    patch = f"real, calls = {call}, []\ndef fail():\n    calls.append(1)\n    if len(calls) > 3:\n        raise OSError(11, 'none')\n    return real()\n"
    if call == "os.fork":
        patch = patch.replace("> 3", "> 1")
    # Two pipes for each: its own, and the one by which it is seen to end.
    said, checked = shared(club, tmp_path, patch + f"{call} = fail")
    assert said == serial
    assert 40 < checked < 70


def test_a_file_that_cannot_be_read_is_told_once(club: Path) -> None:
    # Whoever is root may read anything, but nobody reads a link to itself.
    link = club / "vehicles-1" / "loop.lights.yaml"
    link.symlink_to(link.name)
    try:
        alone = started(*HALF, cwd=club)
        done = started(*HALF, cwd=club, start=["-c", DRIVER.replace("{patch}", "")])
    finally:
        link.unlink()
    assert (done.stdout, done.stderr, done.returncode) == (alone.stdout, alone.stderr, 2)
    assert len(done.stderr.splitlines()) == 1


@on_linux
def test_one_processor_works_alone(club: Path, tmp_path: Path, serial: bytes) -> None:
    patch = "crew._processors = lambda: len(os.sched_getaffinity(0))\nos.fork = None"
    said, checked = shared(club, tmp_path, patch)
    assert (said, checked > 100) == (serial, True)


# --- Ends -------------------------------------------------------------------------------------------------------------


def begun(club: Path, patch: str = "") -> subprocess.Popen[bytes]:
    line = [sys.executable, "-c", DRIVER.replace("{patch}", patch), *HALF]
    pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    return subprocess.Popen(line, cwd=club, env=environment(), start_new_session=True, **pipes)  # type: ignore[call-overload,no-any-return]


def members(process: subprocess.Popen[bytes], count: int) -> list[int]:
    """The processes that it has started, as soon as they are so many."""
    listed = Path(f"/proc/{process.pid}/task/{process.pid}/children")
    end = time.monotonic() + SECONDS
    while time.monotonic() < end:
        found = [int(number) for number in listed.read_text().split()]
        if len(found) >= count:
            return found
        time.sleep(0.001)
    raise AssertionError("none was started")


def are_gone(numbers: list[int], seconds: float = 10) -> bool:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if not any(_lives(number) for number in numbers):
            return True
        time.sleep(0.01)
    return False


def _lives(number: int) -> bool:
    try:
        # A process that nobody has asked how it ended is dead all the same.
        return Path(f"/proc/{number}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


@on_linux
@pytest.mark.parametrize(("count", "seconds"), [(1, 0.0), (1, 0.002), (2, 0.0), (2, 0.01), (2, 0.05), (2, 0.2)])
def test_ctrl_c(club: Path, count: int, seconds: float) -> None:
    process = begun(club)
    started_ones = members(process, count)
    time.sleep(seconds)
    os.killpg(process.pid, signal.SIGINT)
    out, err = process.communicate(timeout=SECONDS)
    assert (process.returncode, out, err) == (130, b"", b"lampwright: stopped\n")
    assert are_gone(started_ones)


@on_linux
def test_ctrl_c_as_soon_as_they_begin(club: Path) -> None:
    # The first thing that a new process does takes so long that Ctrl-C comes before it.
    process = begun(
        club, "work = crew._work\ndef late(*given):\n    time.sleep(0.3)\n    work(*given)\ncrew._work = late"
    )
    started_ones = members(process, 2)
    time.sleep(0.1)
    os.killpg(process.pid, signal.SIGINT)
    _, err = process.communicate(timeout=SECONDS)
    assert (process.returncode, err) == (130, b"lampwright: stopped\n")
    assert are_gone(started_ones)


@on_linux
@pytest.mark.parametrize("patch", ["", DEAF])
def test_nobody_works_for_one_that_was_killed(club: Path, patch: str) -> None:
    process = begun(club, patch)
    started_ones = members(process, 2)
    time.sleep(0.1)
    process.kill()
    process.communicate(timeout=SECONDS)
    assert are_gone(started_ones)
