"""A file is replaced whole or not at all: killed at any moment, on a full disk, or while somebody else writes to it."""

from __future__ import annotations

import errno
import os
import stat
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest

from command import SECONDS, environment
from lampwright.engine import Refusal
from lampwright.files.writing import write_instead

OLD, NEW = b"track: 14,5 V\r\n", b"\xef\xbb\xbftrack: 14.5 V\r\n" * 5000


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    path = tmp_path / "fleet" / "a.lights.yaml"
    path.parent.mkdir()
    path.write_bytes(OLD)
    return path


def names(path: Path) -> list[str]:
    return sorted(each.name for each in path.parent.iterdir())


def test_the_new_bytes_stand_there_and_nothing_else(plan: Path) -> None:
    assert write_instead(plan, OLD, NEW) is None
    assert plan.read_bytes() == NEW
    assert names(plan) == ["a.lights.yaml"]


# --- Killed at any moment ---------------------------------------------------------------------------------------------

# Runs in a process of its own: forks for each call of a function written in C, and for each return of one, that the
# writing takes, and is killed right there; so also before and after each write, fsync and rename.
KILLER = """
import os, signal, sys
from pathlib import Path
from lampwright.files.writing import write_instead

path, old, new = Path(sys.argv[1]), b"old" * 1000, b"new" * 70000
before = old if sys.argv[2] == "replaced" else None
moment, seen = 0, set()

def count(frame, event, argument):
    global left
    if not event.startswith("c_"):
        return
    left -= 1
    if left == 0:
        os.kill(os.getpid(), signal.SIGKILL)

# What is loaded at the first use is loaded.
write_instead(path.with_name("warm"), None, new)
path.with_name("warm").unlink()
while True:
    moment += 1
    path.unlink(missing_ok=True)
    if before is not None:
        path.write_bytes(old)
    child = os.fork()
    if child == 0:
        left = moment
        sys.setprofile(count)
        write_instead(path, before, new)
        sys.setprofile(None)
        os._exit(0)
    _, status = os.waitpid(child, 0)
    seen.add(path.read_bytes() if path.exists() else None)
    if status == 0:
        break
    assert os.WIFSIGNALED(status), status
sizes = sorted(len(each) if each is not None else 0 for each in seen)
print(moment, seen == {before, new}, sizes)
"""


@pytest.mark.parametrize("how", ["replaced", "made"])
def test_killed_at_any_moment_the_file_is_the_old_or_the_new_one(plan: Path, how: str) -> None:
    line = [sys.executable, "-c", KILLER, str(plan), how]
    done = subprocess.run(line, capture_output=True, text=True, check=False, timeout=SECONDS, env=environment())
    assert done.returncode == 0, done.stderr
    moments, is_right, _ = done.stdout.split(maxsplit=2)
    assert is_right == "True", done.stdout
    assert int(moments) > 50
    # What a killed run leaves behind is found by no search.
    assert {name for name in names(plan) if not name.startswith(".lampwright-")} == {"a.lights.yaml"}


# --- What goes wrong --------------------------------------------------------------------------------------------------

STEPS = [(os, "fdopen"), (os, "fsync"), (os, "replace"), (os, "chmod"), (tempfile, "mkstemp")]


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EIO, errno.EDQUOT])
@pytest.mark.parametrize(("module", "step"), STEPS, ids=lambda value: getattr(value, "__name__", value))
def test_a_step_that_fails_changes_nothing(
    plan: Path, monkeypatch: pytest.MonkeyPatch, module: object, step: str, number: int
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(module, step, fail)
    words = os.strerror(number)
    assert write_instead(plan, OLD, NEW) == Refusal(words[0].lower() + words[1:])
    assert plan.read_bytes() == OLD
    assert names(plan) == ["a.lights.yaml"]


def test_a_folder_that_may_not_be_written_to_is_one_word(plan: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(**_: object) -> None:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    monkeypatch.setattr(tempfile, "mkstemp", refuse)
    assert write_instead(plan, OLD, NEW) == Refusal("unwritable")
    assert plan.read_bytes() == OLD


@pytest.mark.parametrize(("module", "step"), STEPS, ids=lambda value: getattr(value, "__name__", value))
def test_an_interrupt_changes_nothing_and_leaves_nothing(
    plan: Path, monkeypatch: pytest.MonkeyPatch, module: object, step: str
) -> None:
    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(module, step, stop)
    with pytest.raises(KeyboardInterrupt):
        write_instead(plan, OLD, NEW)
    assert plan.read_bytes() == OLD
    assert names(plan) == ["a.lights.yaml"]


def test_the_bytes_are_on_the_disk_before_the_name_is(plan: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    steps: list[str] = []
    for name in ("fsync", "replace"):
        real = getattr(os, name)

        def noted(*given: object, name: str = name, real: Callable[..., object] = real) -> object:
            size = os.fstat(given[0]).st_size if isinstance(given[0], int) else 0
            steps.append(f"{name} whole" if size == len(NEW) else name)
            return real(*given)

        monkeypatch.setattr(os, name, noted)
    assert write_instead(plan, OLD, NEW) is None
    assert steps == ["fsync whole", "replace", "fsync"]


def test_a_folder_that_cannot_be_synced_is_no_failure(plan: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = os.open

    def refuse(path: object, flags: int, *more: int, **named: object) -> int:
        if path == plan.parent:
            raise OSError(errno.EINVAL, "no folder")
        return real(path, flags, *more, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(os, "open", refuse)
    assert write_instead(plan, OLD, NEW) is None
    assert plan.read_bytes() == NEW


# --- Somebody else ----------------------------------------------------------------------------------------------------


def meanwhile(monkeypatch: pytest.MonkeyPatch, act: Callable[[], object]) -> None:
    """While the new file is being written, `act`."""
    real = os.fsync

    def sync(descriptor: int) -> None:
        real(descriptor)
        monkeypatch.setattr(os, "fsync", real)
        act()

    monkeypatch.setattr(os, "fsync", sync)


@pytest.mark.parametrize("theirs", [b"", b"track: 15 V\r\n", OLD + b"\n", OLD[:-1]])
def test_what_somebody_else_wrote_meanwhile_stays(plan: Path, monkeypatch: pytest.MonkeyPatch, theirs: bytes) -> None:
    meanwhile(monkeypatch, lambda: plan.write_bytes(theirs))
    assert write_instead(plan, OLD, NEW) == Refusal("changed")
    assert plan.read_bytes() == theirs
    assert names(plan) == ["a.lights.yaml"]


def test_what_somebody_took_away_meanwhile_does_not_come_back(plan: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    meanwhile(monkeypatch, plan.unlink)
    assert write_instead(plan, OLD, NEW) == Refusal("missing")
    assert names(plan) == []


def test_what_was_changed_before_stays(plan: Path) -> None:
    assert write_instead(plan, b"something else", NEW) == Refusal("changed")
    assert plan.read_bytes() == OLD


def test_a_new_file_takes_nobodys_place(plan: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert write_instead(plan, None, NEW) == Refusal("changed")
    other = plan.with_name("b.lights.yaml")
    meanwhile(monkeypatch, lambda: other.write_bytes(b"theirs"))
    assert write_instead(other, None, NEW) == Refusal("changed")
    assert (plan.read_bytes(), other.read_bytes()) == (OLD, b"theirs")


# --- What is kept -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("mode", [0o644, 0o600, 0o640, 0o755, 0o666, 0o2664])
def test_the_mode_stays(plan: Path, mode: int) -> None:
    plan.chmod(mode)
    assert write_instead(plan, OLD, NEW) is None
    assert stat.S_IMODE(plan.stat().st_mode) == mode


@pytest.mark.skipif(not hasattr(os, "getuid") or os.getuid() != 0, reason="only root gives files away")
def test_the_owner_stays(plan: Path) -> None:
    os.chown(plan, 1234, 4321)
    assert write_instead(plan, OLD, NEW) is None
    assert (plan.stat().st_uid, plan.stat().st_gid) == (1234, 4321)


@pytest.mark.skipif(not hasattr(os, "setxattr"), reason="this system has no extended attributes")
def test_extended_attributes_stay(plan: Path) -> None:
    try:
        os.setxattr(plan, "user.origin", b"drawer")
    except OSError:
        pytest.skip("this file system has no extended attributes")
    assert write_instead(plan, OLD, NEW) is None
    assert os.getxattr(plan, "user.origin") == b"drawer"


def test_a_new_file_is_like_any_new_file(plan: Path) -> None:
    other, usual = plan.with_name("b"), plan.with_name("c")
    usual.write_bytes(b"")
    assert write_instead(other, None, NEW) is None
    assert other.stat().st_mode == usual.stat().st_mode


def test_what_a_link_leads_to_is_replaced_not_the_link(plan: Path) -> None:
    link, other = plan.with_name("link.lights.yaml"), plan.parent.parent / "far.lights.yaml"
    link.symlink_to(plan.name)
    other.symlink_to(link)
    assert write_instead(other, OLD, NEW) is None
    assert plan.read_bytes() == NEW
    assert (link.readlink(), other.readlink()) == (Path(plan.name), link)


@pytest.mark.parametrize("mode", [0o444, 0o400, 0o555])
def test_what_is_write_protected_stays(plan: Path, mode: int) -> None:
    plan.chmod(mode)
    assert write_instead(plan, OLD, NEW) == Refusal("write-protected")
    assert plan.read_bytes() == OLD


def test_what_may_not_be_written_stays_although_its_folder_may(plan: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "access", lambda *_: False)
    assert write_instead(plan, OLD, NEW) == Refusal("write-protected")
    assert plan.read_bytes() == OLD


def test_a_file_with_two_names_stays_one_file(plan: Path) -> None:
    other = plan.with_name("b.lights.yaml")
    other.hardlink_to(plan)
    assert write_instead(plan, OLD, NEW) == Refusal("hard-links")
    assert plan.read_bytes() == other.read_bytes() == OLD
    assert plan.samefile(other)


@pytest.mark.parametrize("what", ["folder", "fifo", "nothing"])
def test_what_is_no_file_is_left_alone(plan: Path, what: str) -> None:
    path = plan.with_name("b.lights.yaml")
    {"folder": path.mkdir, "fifo": lambda: os.mkfifo(path), "nothing": lambda: None}[what]()
    assert write_instead(path, OLD, NEW) == Refusal("missing" if what == "nothing" else "no-file")
    assert names(plan) == ["a.lights.yaml", *(["b.lights.yaml"] if what != "nothing" else [])]
