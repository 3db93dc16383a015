"""The one seam of each kind: `check` a text, `fix` a text; and the flag that rewrites what is generated."""

from __future__ import annotations

from pathlib import Path

import pytest

from command import Command


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--rewrite", action="store_true", help="rewrite generated files instead of comparing them")


@pytest.fixture
def rewrite(request: pytest.FixtureRequest) -> bool:
    return bool(request.config.getoption("--rewrite"))


@pytest.fixture
def command(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Command:
    """The command in an empty folder."""
    monkeypatch.chdir(tmp_path)
    return Command(capsys, monkeypatch)
