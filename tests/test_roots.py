"""How far a reference may reach, and which settings govern a file; symbolic links are resolved for both."""

from __future__ import annotations

from pathlib import Path

import pytest

from command import BURNING, FAULTY_SHEET, REFERRING, SHEET, SPARE, Command, lay

OUTSIDE = '"{}" cannot be read: it lies outside this repository'
MISSING = '"{}" cannot be read: there is no such file'


def referring(path: str) -> str:
    return REFERRING.replace("bench-six.decoder.yaml", path)


def refusals(command: Command, *paths: str) -> list[str]:
    """What unreadable-file says."""
    findings = command.json(*paths).json["findings"]
    return [finding["message"] for finding in findings if finding["rule"] == "unreadable-file"]


# --- The root ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("marked", "is_inside"),
    [
        # The nearest folder with settings, whatever repository is around it.
        ({"club/lampwright.yaml": ""}, True),
        ({"club/fleet/lampwright.yaml": ""}, False),
        ({"club/lampwright.yaml": "", "club/.git/HEAD": "", "club/fleet/.git/HEAD": ""}, True),
        ({"club/fleet/lampwright.yaml": "", "club/lampwright.yaml": ""}, False),
        # Else the nearest repository; in a worktree `.git` is a file.
        ({"club/.git/HEAD": ""}, True),
        ({"club/.git": "gitdir: /somewhere\n"}, True),
        ({"club/fleet/.git/HEAD": ""}, False),
        ({"club/fleet/.git/HEAD": "", "club/.git/HEAD": ""}, False),
        # A folder called lampwright.yaml governs nothing.
        ({"club/fleet/lampwright.yaml/notes.txt": "", "club/.git/HEAD": ""}, True),
    ],
)
def test_the_root_is_the_nearest_folder_with_settings_else_with_a_repository(
    command: Command, monkeypatch: pytest.MonkeyPatch, marked: dict[str, str], is_inside: bool
) -> None:
    lay(
        {
            "club/fleet/a.lights.yaml": referring("../bench-six.decoder.yaml"),
            "club/bench-six.decoder.yaml": SHEET,
            **marked,
        }
    )
    expected = [] if is_inside else [OUTSIDE.format("../bench-six.decoder.yaml")]
    assert refusals(command, "club/fleet/a.lights.yaml") == expected
    Path("elsewhere").mkdir()
    monkeypatch.chdir("elsewhere")
    assert refusals(command, "../club/fleet/a.lights.yaml") == expected


def test_without_either_it_is_the_working_directory_if_that_holds_the_file(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    lay({"club/fleet/a.lights.yaml": referring("../bench-six.decoder.yaml"), "club/bench-six.decoder.yaml": SHEET})
    assert refusals(command, "club/fleet/a.lights.yaml") == []
    monkeypatch.chdir("club/fleet")
    assert refusals(command, "a.lights.yaml") == [OUTSIDE.format("../bench-six.decoder.yaml")]


def test_else_it_is_the_folder_of_the_file(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    lay({"club/a.lights.yaml": referring("sheets/bench-six.decoder.yaml"), "club/sheets/bench-six.decoder.yaml": SHEET})
    lay(
        {
            "club/b.lights.yaml": referring("../bench-six.decoder.yaml"),
            "bench-six.decoder.yaml": SHEET,
            "hut/notes.txt": "",
        }
    )
    monkeypatch.chdir("hut")
    assert refusals(command, "../club") == [OUTSIDE.format("../bench-six.decoder.yaml")]


@pytest.mark.parametrize(
    ("path", "refusal"),
    [
        ("../../../etc/passwd.decoder.yaml", OUTSIDE),
        ("/etc/passwd.decoder.yaml", OUTSIDE),
        ("../club-two/bench-six.decoder.yaml", OUTSIDE),
        ("linked-file.decoder.yaml", OUTSIDE),
        ("linked-folder/bench-six.decoder.yaml", OUTSIDE),
        ("linked-folder/../club/bench-six.decoder.yaml", None),
        ("inner-link.decoder.yaml", None),
        ("./sheets/../bench-six.decoder.yaml", None),
        ("sheets/../../club/bench-six.decoder.yaml", None),
        ("bench-seven.decoder.yaml", MISSING),
        ("dangling.decoder.yaml", MISSING),
        ("bench-six.decoder.yaml/x.decoder.yaml", MISSING),
    ],
)
def test_references_stay_inside_wherever_links_lead(command: Command, path: str, refusal: str | None) -> None:
    lay({"club/lampwright.yaml": "", "club/bench-six.decoder.yaml": SHEET, "club/sheets/notes.txt": ""})
    lay({"club-two/bench-six.decoder.yaml": SHEET, "club/a.lights.yaml": referring(path)})
    Path("club/linked-file.decoder.yaml").symlink_to("../club-two/bench-six.decoder.yaml")
    Path("club/linked-folder").symlink_to("../club-two")
    Path("club/inner-link.decoder.yaml").symlink_to("bench-six.decoder.yaml")
    Path("club/dangling.decoder.yaml").symlink_to("nothing")
    expected = [] if refusal is None else [refusal.format(path)]
    assert refusals(command, "club/a.lights.yaml") == expected


def test_an_absolute_reference_may_stay_inside(command: Command) -> None:
    lay({"lampwright.yaml": "", "bench-six.decoder.yaml": SHEET})
    lay({"fleet/a.lights.yaml": referring(str(Path("bench-six.decoder.yaml").resolve()))})
    assert refusals(command, "fleet") == []


def test_a_linked_plan_starts_from_where_it_really_is(command: Command) -> None:
    lay({"club/lampwright.yaml": "", "club/fleet/a.lights.yaml": referring("../bench-six.decoder.yaml")})
    lay({"club/bench-six.decoder.yaml": FAULTY_SHEET})
    Path("desk").mkdir()
    Path("desk/link.lights.yaml").symlink_to("../club/fleet/a.lights.yaml")
    findings = command.json("desk/link.lights.yaml").json["findings"]
    assert [(finding["file"], finding["rule"]) for finding in findings] == [
        ("club/bench-six.decoder.yaml", "misspelt-unit")
    ]


# --- The settings -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("settings", "levels"),
    [
        ({}, ["warning"]),
        ({"lampwright.yaml": "levels: {unwired-lamp: error}\n"}, ["error"]),
        ({"club/lampwright.yaml": "levels: {unwired-lamp: error}\n"}, ["error"]),
        (
            {
                "club/lampwright.yaml": "levels: {unwired-lamp: note}\n",
                "lampwright.yaml": "levels: {unwired-lamp: error}\n",
            },
            ["note"],
        ),
        # Nothing is merged: what the nearest one does not say is as if nobody said it.
        (
            {"club/lampwright.yaml": "inside: 30 °C\n", "lampwright.yaml": "levels: {unwired-lamp: error}\n"},
            ["warning"],
        ),
        ({"club/.git/HEAD": "", "lampwright.yaml": "levels: {unwired-lamp: error}\n"}, ["error"]),
        ({"club/fleet/lampwright.yaml": "levels: {unwired-lamp: ignore}\n"}, []),
        ({"club/other/lampwright.yaml": "levels: {unwired-lamp: ignore}\n"}, ["warning"]),
    ],
)
def test_the_nearest_settings_upwards_govern_a_file(
    command: Command, monkeypatch: pytest.MonkeyPatch, settings: dict[str, str], levels: list[str]
) -> None:
    lay({"club/fleet/a.lights.yaml": SPARE, **settings})
    assert [finding["level"] for finding in command.json("club/fleet/a.lights.yaml").json["findings"]] == levels
    monkeypatch.chdir("club/fleet")
    assert [finding["level"] for finding in command.json().json["findings"]] == levels
    outcome = command.json("-", "--stdin-name", "new.lights.yaml", stdin=SPARE.encode())
    assert [finding["level"] for finding in outcome.json["findings"]] == levels


def test_each_file_of_one_search_has_its_own_settings(command: Command) -> None:
    lay({"a.lights.yaml": SPARE, "strict/a.lights.yaml": SPARE, "lax/a.lights.yaml": SPARE})
    lay(
        {
            "strict/lampwright.yaml": "levels: {unwired-lamp: error}\n",
            "lax/lampwright.yaml": "levels: {unwired-lamp: ignore}\n",
        }
    )
    outcome = command.json()
    found = [(finding["file"], finding["level"]) for finding in outcome.json["findings"]]
    assert found == [("a.lights.yaml", "warning"), ("strict/a.lights.yaml", "error")]
    assert outcome.json["summary"]["rules-ignored"] == ["unwired-lamp"]


@pytest.mark.parametrize("paths", [["a.lights.yaml"], ["."], ["sheets", "a.lights.yaml"]])
def test_a_sheet_has_the_settings_nearest_to_it_whoever_refers_to_it(command: Command, paths: list[str]) -> None:
    lay(
        {
            "lampwright.yaml": "levels: {misspelt-unit: warning}\n",
            "a.lights.yaml": referring("sheets/bench-six.decoder.yaml"),
        }
    )
    lay({"sheets/lampwright.yaml": "levels: {misspelt-unit: note}\n", "sheets/bench-six.decoder.yaml": FAULTY_SHEET})
    found = [(finding["rule"], finding["level"]) for finding in command.json(*paths).json["findings"]]
    assert found == [("misspelt-unit", "note")]


def test_a_linked_plan_has_the_settings_of_where_it_really_is(command: Command) -> None:
    lay({"club/lampwright.yaml": "levels: {unwired-lamp: error}\n", "club/a.lights.yaml": SPARE, "desk/notes.txt": ""})
    Path("desk/link.lights.yaml").symlink_to("../club/a.lights.yaml")
    assert [finding["level"] for finding in command.json("desk").json["findings"]] == ["error"]


def test_a_link_is_excluded_by_its_own_name(command: Command) -> None:
    lay({"lampwright.yaml": "exclude: [old/]\n", "a.lights.yaml": BURNING, "old/b.lights.yaml": BURNING})
    Path("link.lights.yaml").symlink_to("old/b.lights.yaml")
    Path("old/link.lights.yaml").symlink_to("../a.lights.yaml")
    assert command.json().burning == ["a.lights.yaml", "link.lights.yaml"]
