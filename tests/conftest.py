"""The one seam of each kind: `check` a text, `fix` a text; and the flag that rewrites what is generated."""

from __future__ import annotations

import os
from itertools import count
from pathlib import Path

import pytest

from command import Command
from released import build, once, reach_index, release

# A shell that exports how many columns it has must not change what is compared.
os.environ.pop("COLUMNS", None)
_NUMBERS = count()


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--rewrite", action="store_true", help="rewrite generated files instead of comparing them")


@pytest.fixture
def rewrite(request: pytest.FixtureRequest) -> bool:
    return bool(request.config.getoption("--rewrite"))


@pytest.fixture(autouse=True)
def own_cache(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A place of its own for each test to keep results in, so that none is told what another has found."""
    folder = tmp_path_factory.getbasetemp() / f"cache-{next(_NUMBERS)}"
    monkeypatch.setenv("XDG_CACHE_HOME", str(folder))
    return folder


@pytest.fixture
def command(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Command:
    """The command in an empty folder."""
    monkeypatch.chdir(tmp_path)
    return Command(capsys, monkeypatch)


@pytest.fixture(scope="session")
def released(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A repository with this working tree, committed and tagged."""
    return once(tmp_path_factory, "released", release)


@pytest.fixture(scope="session")
def reachable_index(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An environment with a pip that reaches its index; a test that wants it is skipped if it does not."""
    return once(tmp_path_factory, "reached", reach_index)


@pytest.fixture(scope="session")
def hook_home(tmp_path_factory: pytest.TempPathFactory, reachable_index: Path) -> Path:  # noqa: ARG001
    """Where pre-commit keeps the environments of hooks: ours is installed once in a run."""
    return once(tmp_path_factory, "hooks", lambda _: None)


@pytest.fixture(scope="session")
def wheel(tmp_path_factory: pytest.TempPathFactory, released: Path, reachable_index: Path) -> Path:
    """The release, built by pip from the kind of URL that a club writes."""
    (built,) = once(tmp_path_factory, "built", lambda folder: build(folder, released, reachable_index)).glob("*.whl")
    return built
