"""The working tree as others get it: a repository with one commit and the tag of the version, and what is installed from it.

Whatever needs the package index says so by `reachable_index`: without an index it is skipped, but never in CI.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from filelock import FileLock

from command import environment
from lampwright import __version__
from repository import git

ROOT = Path(__file__).parent.parent
SECONDS = 300
"""An installation waits for an index, which may be far away."""


def once(factory: pytest.TempPathFactory, name: str, make: Callable[[Path], None]) -> Path:
    """The folder `name`, made by the first process of this run that wants it; all others wait for that."""
    own = factory.getbasetemp()
    folder = (own.parent if "PYTEST_XDIST_WORKER" in os.environ else own) / name
    is_made = folder.with_suffix(".made")
    with FileLock(folder.with_suffix(".lock")):
        if not is_made.exists():
            shutil.rmtree(folder, ignore_errors=True)
            folder.mkdir()
            make(folder)
            is_made.touch()
    return folder


def release(folder: Path) -> None:
    """Put a repository of all that git would keep of the working tree into `folder`, as version `__version__`."""
    listed = git("-C", str(ROOT), "ls-files", "-z", "--cached", "--others", "--exclude-standard")
    for name in filter(None, listed.split("\0")):
        if (ROOT / name).is_file():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(ROOT / name, folder / name)
    for words in (["init"], ["add", "-A"], ["commit", "--quiet", "-m", "Release"], ["tag", f"v{__version__}"]):
        git("-C", str(folder), *words)


def outside(**more: str) -> dict[str, str]:
    """The environment of somebody who has neither this working tree nor settings for git or pre-commit."""
    own = ("GIT_", "PRE_COMMIT", "PYTHONPATH", "SKIP", "CI_", "GITHUB_")
    kept = {name: value for name, value in environment().items() if not name.startswith(own)}
    who = {f"GIT_{role}_{what}": "member@example.org" for role in ("AUTHOR", "COMMITTER") for what in ("NAME", "EMAIL")}
    return {**kept, **who, "GIT_CONFIG_GLOBAL": os.devnull, "PRE_COMMIT_COLOR": "never", **more}


def reach_index(folder: Path) -> None:
    """Make an empty environment in `folder`, with what builds our package; skip the test if the index is unreachable."""
    _run(sys.executable, "-m", "virtualenv", "--quiet", str(folder))
    pip = ("-m", "pip", "download", "--quiet", "--no-deps", "--retries", "1", "--dest", str(folder / "reached"))
    done = _run(str(folder / "bin" / "python"), *pip, "hatchling", may_fail=True)
    if done.returncode:
        tell = pytest.fail if os.environ.get("CI") else pytest.skip
        tell(f"the package index that pip is set up for cannot be reached: {done.stderr.strip().splitlines()[-1]}")


def build(folder: Path, repository: Path, reachable_index: Path) -> None:
    """Make a wheel in `folder` of what the tag of `repository` holds, and install it where the index was reached.

    Tests that install it there once more find it done, so that several may do so at the same time.
    """
    pip = (str(reachable_index / "bin" / "python"), "-m", "pip")
    _run(*pip, "wheel", "--quiet", "--no-deps", "--wheel-dir", str(folder), f"git+file://{repository}@v{__version__}")
    _run(*pip, "install", "--quiet", *map(str, folder.glob("*.whl")))


def _run(*line: str, may_fail: bool = False) -> subprocess.CompletedProcess[str]:
    done = subprocess.run(line, capture_output=True, text=True, check=False, timeout=SECONDS, env=outside())
    assert may_fail or done.returncode == 0, done.stderr
    return done
