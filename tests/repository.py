"""Git in the working directory, as somebody without any settings of their own would have it."""

from __future__ import annotations

import os
import subprocess

import pytest

_NAMES = ("-c", "user.name=A member", "-c", "user.email=member@example.org", "-c", "init.defaultBranch=main")


def git(*words: str) -> str:
    """What git prints; the test fails if git does."""
    line = ["git", *_NAMES, *words]
    environment = {name: value for name, value in os.environ.items() if not name.startswith("GIT_")}
    done = subprocess.run(line, capture_output=True, text=True, check=False, env=environment)
    if done.returncode:
        pytest.fail(f"{line}: {done.stderr}")
    return done.stdout


def start() -> None:
    """A repository with all that stands here."""
    git("init")
    commit("Start")


def commit(message: str) -> None:
    """All that stands here, as a commit."""
    git("add", "-A")
    git("commit", "--quiet", "--allow-empty", "-m", message)
