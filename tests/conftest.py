"""The one seam of each kind: `check` a text, `fix` a text; and the flag that rewrites what is generated."""

from __future__ import annotations

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--rewrite", action="store_true", help="rewrite generated files instead of comparing them")


@pytest.fixture
def rewrite(request: pytest.FixtureRequest) -> bool:
    return bool(request.config.getoption("--rewrite"))
