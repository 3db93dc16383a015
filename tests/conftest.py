"""The one seam of each kind: `check` a text, `fix` a text; and the flag that rewrites what is generated."""

from __future__ import annotations

from itertools import count
from pathlib import Path

import pytest

from command import Command

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
