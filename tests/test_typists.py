"""What six tired people typed, and what they are told: kept as files, so that every change of a message is read."""

from __future__ import annotations

from pathlib import Path

import pytest

from lampwright.cli import main

FOLDER = Path(__file__).parent / "typists"
PEOPLE = sorted(path.name for path in FOLDER.iterdir() if path.is_dir())


@pytest.mark.parametrize("who", PEOPLE)
def test_they_are_told_what_is_written_here(
    who: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, rewrite: bool
) -> None:
    monkeypatch.chdir(FOLDER / who)
    assert main(["check"]) == 1
    told = capsys.readouterr().out
    kept = FOLDER / who / "told.txt"
    if rewrite:
        kept.write_text(told, "utf-8")
    assert told == kept.read_text("utf-8"), "run pytest --rewrite and read the difference as the typist would"


def test_all_six_are_here() -> None:
    assert len(PEOPLE) == 6
