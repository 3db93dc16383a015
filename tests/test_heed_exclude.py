"""What the settings exclude is left out where hooks name it, as a search leaves it out; whoever names it himself means it."""

from __future__ import annotations

from pathlib import Path

import pytest

from command import BURNING, FAULTY_SHEET, PLAN, REFERRING, Command, lay
from repository import start

TYPED = PLAN.replace("14.5 V", "14,5 V")
PLANS = ("a.lights.yaml", "attic/b.lights.yaml", "attic/deep/c.lights.yaml", "yard/attic/d.lights.yaml")


def club(settings: dict[str, str]) -> None:
    """Plans in folders; `settings` has the lines of a lampwright.yaml, by its folder."""
    lay(dict.fromkeys(PLANS, BURNING))
    lay({f"{folder}/lampwright.yaml": text + "\n" for folder, text in settings.items()})


@pytest.mark.parametrize(
    ("settings", "left_out"),
    [
        ({}, ""),
        ({".": "resistors: E12"}, ""),
        ({".": "exclude: []"}, ""),
        ({".": "exclude: [attic/]"}, "bcd"),
        ({".": "exclude: [/attic/]"}, "bc"),
        ({".": "exclude: ['*.lights.yaml', '!a.lights.yaml']"}, "bcd"),
        # What is in a folder that is left out is not let in again, as with git.
        ({".": "exclude: [attic/, '!b.lights.yaml']"}, "bcd"),
        ({".": "exclude: ['attic/*', '!attic/deep/']"}, "b"),
        # Settings in a folder say nothing of that folder itself, and nothing above them holds below.
        ({".": "exclude: [attic/]", "attic": "exclude: []"}, "bcd"),
        ({".": "exclude: [deep/, d.*]", "attic": "exclude: [b.*]"}, "bd"),
        ({".": "exclude: [deep/]", "yard": "exclude: [attic/]"}, "cd"),
        # Settings that cannot be read exclude nothing, and are a finding themselves.
        ({".": "exclude: attic/"}, ""),
    ],
)
def test_named_or_searched_it_is_the_same(command: Command, settings: dict[str, str], left_out: str) -> None:
    club(settings)
    expected = [name for name in PLANS if Path(name).name[0] not in left_out]
    assert command.json("--heed-exclude", *PLANS).burning == expected
    assert command.json().burning == expected
    assert command.json(*PLANS).burning == list(PLANS)


def test_folders_are_held_to_it_as_well(command: Command) -> None:
    club({".": "exclude: [/attic/]"})
    assert command.json("--heed-exclude", "attic", "attic/deep", "yard").burning == ["yard/attic/d.lights.yaml"]
    assert command.json("attic").burning == ["attic/b.lights.yaml", "attic/deep/c.lights.yaml"]


def test_nothing_left_is_nothing_wrong(command: Command) -> None:
    club({".": "exclude: [attic/]"})
    for name in ("check", "fix"):
        outcome = command(name, "--heed-exclude", "attic/b.lights.yaml")
        assert (outcome.status, outcome.err, "0 errors" in outcome.out) == (0, "", True)
        assert command(name, "attic/b.lights.yaml").status == 1


def test_from_within_a_folder_that_is_left_out(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    club({".": "exclude: [attic/]"})
    monkeypatch.chdir("attic")
    assert command.json("--heed-exclude", "b.lights.yaml", "../a.lights.yaml").burning == ["../a.lights.yaml"]
    # Who works there means what is there.
    assert command.json().burning == ["b.lights.yaml", "deep/c.lights.yaml"]


def test_a_fix_leaves_the_file_alone(command: Command) -> None:
    lay({"lampwright.yaml": "exclude: [attic/]\n", "a.lights.yaml": TYPED, "attic/b.lights.yaml": TYPED})
    assert command("fix", "--heed-exclude", "a.lights.yaml", "attic/b.lights.yaml").out.endswith(
        "fixed 1 in 1 file; left: 0 errors, 0 warnings, 0 notes\n"
    )
    assert [Path(name).read_text() for name in ("a.lights.yaml", "attic/b.lights.yaml")] == [PLAN, TYPED]
    assert command("fix", "attic/b.lights.yaml").status == 0
    assert Path("attic/b.lights.yaml").read_text() == PLAN


def test_settings_may_exclude_settings(command: Command) -> None:
    lay({"lampwright.yaml": "exclude: [attic/]\n", "attic/lampwright.yaml": "resistors: E13\n"})
    assert command("check", "--heed-exclude", "attic/lampwright.yaml").status == 0
    assert command("check", "attic/lampwright.yaml").status == 1


def test_other_complaints_stay(command: Command) -> None:
    club({".": "exclude: [attic/]"})
    for path in ("nowhere.lights.yaml", "notes.txt", ""):
        assert command("check", "--heed-exclude", path).status == 2


def test_what_a_plan_names_is_read_although_it_is_excluded(command: Command) -> None:
    sheets = {"bench-six.decoder.yaml": FAULTY_SHEET}
    lay({"lampwright.yaml": "exclude: ['*.decoder.yaml']\n", "a.lights.yaml": REFERRING, **sheets})
    findings = command.json("--heed-exclude", "a.lights.yaml", *sheets).json["findings"]
    assert [(each["file"], each["rule"]) for each in findings] == [("bench-six.decoder.yaml", "misspelt-unit")]
    assert command.json("--heed-exclude", *sheets).json["findings"] == []


def test_what_has_come_since_is_held_to_it_as_well(command: Command) -> None:
    club({".": "exclude: [attic/]"})
    start()
    lay({"a.lights.yaml": PLAN, "new.lights.yaml": BURNING, "attic/new.lights.yaml": BURNING})
    named = ("a.lights.yaml", "new.lights.yaml", "attic/new.lights.yaml", "attic/b.lights.yaml")
    assert command.json("--heed-exclude", "--since", "HEAD", *named).burning == ["new.lights.yaml"]
