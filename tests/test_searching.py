"""Which files are checked, and what they are called in the report."""

from __future__ import annotations

from pathlib import Path

import pytest

from command import BURNING, FAULTY_SHEET, PLAN, REFERRING, SHEET, SPARE, Command, lay, started

SUMMARY = {"right": "0 errors, 0 warnings, 0 notes in 1 file", "spare": "0 errors, 1 warning, 0 notes in 1 file"}


def test_a_folder_is_searched_for_the_four_kinds(command: Command) -> None:
    lay({"a.lights.yaml": PLAN, "deep/er/b.decoder.yaml": SHEET, "c.parts.yaml": "lamps: {}\n", "lampwright.yaml": ""})
    lay({"d.yaml": "a", ".lights.yaml": "a", "e.lights.yml": "a", "f.lights.yaml.orig": "a", "mylampwright.yaml": "a"})
    outcome = command.json()
    assert (outcome.status, outcome.json["summary"]["files"], outcome.err) == (0, 4, "")


def test_the_sheet_and_catalogues_that_a_plan_names_are_checked_with_it_and_printed_once(command: Command) -> None:
    lay({"a.lights.yaml": REFERRING, "b.lights.yaml": REFERRING, "bench-six.decoder.yaml": FAULTY_SHEET})
    for arguments in (["a.lights.yaml"], ["a.lights.yaml", "b.lights.yaml"], ["."]):
        findings = command.json(*arguments).json["findings"]
        assert [(finding["rule"], finding["file"]) for finding in findings] == [
            ("misspelt-unit", "bench-six.decoder.yaml")
        ]


@pytest.mark.parametrize(
    "arguments",
    [
        ["a.lights.yaml", "a.lights.yaml"],
        ["a.lights.yaml", "./a.lights.yaml"],
        [".", "a.lights.yaml"],
        ["a.lights.yaml", "."],
        [".", ".", "deep/.."],
        ["link.lights.yaml", "a.lights.yaml"],
        ["a.lights.yaml", "link.lights.yaml"],
    ],
)
def test_a_file_is_checked_once_however_often_it_is_named(command: Command, arguments: list[str]) -> None:
    lay({"a.lights.yaml": BURNING, "deep/notes.txt": ""})
    Path("link.lights.yaml").symlink_to("a.lights.yaml")
    outcome = command.json(*arguments)
    assert outcome.burning == ["a.lights.yaml"]
    assert outcome.json["summary"]["files"] == 1


@pytest.mark.parametrize(
    ("ignores", "checked"),
    [
        ({}, ["a", "old/b", "old/new/c"]),
        ({".gitignore": "old/\n"}, ["a"]),
        ({".gitignore": "old"}, ["a"]),
        ({".gitignore": "*.lights.yaml\n!a.lights.yaml\n"}, ["a"]),
        ({".gitignore": "/new/\n"}, ["a", "old/b", "old/new/c"]),
        ({"old/.gitignore": "/new/\n"}, ["a", "old/b"]),
        ({".gitignore": "b.lights.yaml\n", "old/.gitignore": "!b.lights.yaml\n"}, ["a", "old/b", "old/new/c"]),
        ({".gitignore": "old/\n", "old/.gitignore": "!b.lights.yaml\n"}, ["a"]),
        ({".gitignore": "old/*\n!old/new/\n"}, ["a", "old/new/c"]),
        ({".gitignore": "# a comment\n\n\\#a\n   \n"}, ["a", "old/b", "old/new/c"]),
        ({".gitignore": "\ufeffold/\r\n"}, ["a"]),
        ({".gitignore": "!\n[z-a]\n\\\n[[:odd:]]\nold/\n"}, ["a"]),
        ({"lampwright.yaml": "exclude: [old/]\n"}, ["a"]),
        ({"lampwright.yaml": "exclude: ['*.lights.yaml', '!a.lights.yaml']\n"}, ["a"]),
        ({"lampwright.yaml": "exclude: ['[z-a]', old/new]\n"}, ["a", "old/b"]),
        ({"lampwright.yaml": "exclude: [new/]\n", "old/lampwright.yaml": "exclude: [b.*]\n"}, ["a", "old/new/c"]),
    ],
)
def test_what_is_ignored_or_excluded_is_not_searched(
    command: Command, ignores: dict[str, str], checked: list[str]
) -> None:
    lay({"a.lights.yaml": BURNING, "old/b.lights.yaml": BURNING, "old/new/c.lights.yaml": BURNING, **ignores})
    assert sorted(command.json().burning) == sorted(f"{name}.lights.yaml" for name in checked)


def test_folders_above_ignore_too_up_to_the_repository(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    plans = {"club/fleet/a.lights.yaml": BURNING, "club/fleet/old/b.lights.yaml": BURNING}
    lay({**plans, ".gitignore": "a.lights.yaml\n", "club/.gitignore": "old/\n"})
    assert command.json("club/fleet").burning == ["club/fleet/a.lights.yaml", "club/fleet/old/b.lights.yaml"]
    Path("club/.git").mkdir()
    assert command.json("club/fleet").burning == ["club/fleet/a.lights.yaml"]
    monkeypatch.chdir("club/fleet")
    assert command.json().burning == ["a.lights.yaml"]


@pytest.mark.parametrize("ignores", [{".gitignore": "old/\n"}, {"lampwright.yaml": "exclude: [old/]\n"}])
def test_what_is_named_is_checked_although_a_search_leaves_it_out(command: Command, ignores: dict[str, str]) -> None:
    lay({"a.lights.yaml": BURNING, "old/b.lights.yaml": BURNING, "old/c.lights.yaml": BURNING, **ignores})
    lay({"old/.gitignore": "c.lights.yaml\n"})
    Path(".git").mkdir()
    assert command.json("old/c.lights.yaml").burning == ["old/c.lights.yaml"]
    assert command.json("old").burning == ["old/b.lights.yaml"]


def test_a_repositorys_own_folder_is_not_searched(command: Command) -> None:
    lay({"a.lights.yaml": BURNING, ".git/b.lights.yaml": BURNING, "fleet/.git/c.lights.yaml": BURNING})
    assert command.json().burning == ["a.lights.yaml"]


def test_patterns_of_an_odd_kind_are_no_reason_for_words(tmp_path: Path) -> None:
    lay({"a.lights.yaml": PLAN, ".gitignore": "[[:odd:]]\n[z-a]\n"}, tmp_path)
    outcome = started("check", cwd=tmp_path)
    assert (outcome.returncode, outcome.stderr) == (0, b"")


def test_a_linked_folder_is_governed_from_where_it_really_is(command: Command) -> None:
    lay(
        {
            "club/lampwright.yaml": "exclude: [b.*]\n",
            "club/fleet/a.lights.yaml": BURNING,
            "club/fleet/b.lights.yaml": BURNING,
        }
    )
    lay({"other/c.lights.yaml": BURNING})
    Path("link").symlink_to("club/fleet")
    assert command.json("other", "link").burning == ["link/a.lights.yaml", "other/c.lights.yaml"]


def test_the_settings_that_govern_a_plan_are_checked_with_it(command: Command) -> None:
    lay({"lampwright.yaml": "levels: {unwird-lamp: error}\n", "fleet/a.lights.yaml": PLAN})
    findings = command.json("fleet/a.lights.yaml").json["findings"]
    assert [(finding["rule"], finding["file"]) for finding in findings] == [("unknown-name", "lampwright.yaml")]


def test_files_are_shown_relative_to_the_working_directory(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    lay({"fleet/a.lights.yaml": BURNING, "fleet/yard/notes.txt": ""})
    absolute = str(Path("fleet/a.lights.yaml").resolve())
    assert command.json("fleet/yard/../a.lights.yaml").burning == ["fleet/a.lights.yaml"]
    assert command.json(absolute).burning == ["fleet/a.lights.yaml"]
    Path("link").symlink_to("fleet/yard")
    assert command.json("link/../a.lights.yaml").burning == ["fleet/a.lights.yaml"]
    monkeypatch.chdir("fleet/yard")
    assert command.json("..").burning == ["../a.lights.yaml"]
    assert command.json(absolute).burning == ["../a.lights.yaml"]


def test_a_working_directory_with_two_names_makes_no_detours(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    lay({"fleet/a.lights.yaml": BURNING})
    Path("link").symlink_to("fleet")
    absolute = str(Path("link/a.lights.yaml").absolute())
    monkeypatch.chdir("link")
    assert command.json(absolute).burning == ["a.lights.yaml"]


def test_the_order_of_the_arguments_does_not_matter(command: Command) -> None:
    lay(
        {
            "b.lights.yaml": BURNING,
            "a/c.lights.yaml": SPARE,
            "a/b.lights.yaml": BURNING,
            "c.parts.yaml": "resistors: 3\n",
        }
    )
    forwards = command.json("a", "b.lights.yaml", "c.parts.yaml", "nowhere", "neither")
    backwards = command.json("neither", "nowhere", "c.parts.yaml", "b.lights.yaml", "a")
    assert forwards == backwards
    places = [
        (finding["file"], finding["line"], finding["column"], finding["rule"]) for finding in forwards.json["findings"]
    ]
    assert places == sorted(places)
    assert len({file for file, *_ in places}) == 4
