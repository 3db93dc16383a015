"""What a branch adds: both states are checked, each with the sheets and settings of its time, and subtracted."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from command import BURNING, FAULTY_SHEET, PLAN, REFERRING, SHEET, SPARE, Command, lay, started
from repository import commit, git, start

NAME, SHEET_NAME = "a.lights.yaml", "bench-six.decoder.yaml"
TWO = SPARE.replace("[1.5 kohm 1/4 W, front headlamp]", "[front headlamp]")


def added(command: Command, *arguments: str, since: str = "HEAD") -> list[tuple[str, str, str]]:
    """File, rule and level of what is new."""
    outcome = command("check", "--format", "json", "--since", since, *arguments)
    assert outcome.err == ""
    return [(each["file"], each["rule"], each["level"]) for each in outcome.json["findings"] if each["allowed"] is None]


# --- What is new ------------------------------------------------------------------------------------------------------


def test_only_what_was_added_is_found(command: Command) -> None:
    lay({NAME: BURNING, "b.lights.yaml": PLAN})
    start()
    assert added(command) == []
    outcome = command("check", "--since", "HEAD")
    assert (outcome.status, outcome.out.splitlines()[-1]) == (
        0,
        "0 errors, 0 warnings, 0 notes in 2 files; 1 known; 11 not decided",
    )
    lay({NAME: TWO, "b.lights.yaml": BURNING, "new/c.lights.yaml": BURNING})
    assert added(command) == [
        (NAME, "unwired-lamp", "warning"),
        ("b.lights.yaml", "unprotected-led", "error"),
        ("new/c.lights.yaml", "unprotected-led", "error"),
    ]
    assert command("check", "--since", "HEAD").status == 1


def test_lines_that_move_add_nothing_and_lines_that_stay_may_add(command: Command) -> None:
    lay({NAME: TWO})
    start()
    lay({NAME: "# one\n# two\n" + TWO.replace("lamps:\n", "\n\nlamps:\n").replace("14.5 V", "15 V")})
    assert added(command) == []
    # The lamp's line is the same, but nothing feeds it any more.
    lay({NAME: PLAN.replace("[1.5 kohm 1/4 W, front headlamp]", "[]")})
    assert added(command) == [(NAME, "unwired-lamp", "warning"), (NAME, "empty-output", "warning")]


def test_findings_in_plans_that_nobody_touched(command: Command) -> None:
    lay({NAME: REFERRING, SHEET_NAME: SHEET})
    start()
    lay({SHEET_NAME: SHEET.replace("limit: 100 mA", "limit: 5 mA")})
    assert added(command) == [(NAME, "overloaded-output", "error")]
    # The other way round, the sheet as it was then tells that the finding was there.
    commit("Smaller outputs")
    lay({SHEET_NAME: SHEET.replace("limit: 100 mA", "limit: 6 mA")})
    assert added(command) == []
    lay({SHEET_NAME: SHEET})
    assert added(command) == []


def test_a_sheet_that_is_new_or_gone(command: Command) -> None:
    lay({NAME: REFERRING})
    start()
    lay({SHEET_NAME: FAULTY_SHEET})
    assert added(command) == [(SHEET_NAME, "misspelt-unit", "error")]
    commit("The sheet")
    assert added(command) == []
    Path(SHEET_NAME).unlink()
    assert added(command) == [(NAME, "unreadable-file", "error")]


def test_settings_are_those_of_then(command: Command) -> None:
    lay({NAME: SPARE, "lampwright.yaml": "levels: {unwired-lamp: warning}\n"})
    start()
    assert added(command) == []
    # What weighs more than it did is new, what weighs less is not.
    lay({"lampwright.yaml": "levels: {unwired-lamp: error}\n"})
    assert added(command) == [(NAME, "unwired-lamp", "error")]
    lay({"lampwright.yaml": "levels: {unwired-lamp: note}\n"})
    assert added(command) == []
    commit("Ignore it")
    lay({"fleet/lampwright.yaml": "levels: {unwired-lamp: ignore}\n"})
    git("mv", NAME, "fleet/a.lights.yaml")
    commit("Move it")
    Path("fleet/lampwright.yaml").unlink()
    assert added(command) == [("fleet/a.lights.yaml", "unwired-lamp", "note")]


def test_a_plan_that_got_worse_is_new(command: Command) -> None:
    sheet = PLAN.replace("limit: 100 mA", "limit: {}")
    # 11.1 V over 1.5 kohm less 5 % are 7.1 mA: within 90 % of the limit, above that, above the limit.
    lay({NAME: sheet.replace("{}", "7.5 mA")})
    start()
    assert added(command) == []
    lay({NAME: sheet.replace("{}", "6 mA")})
    assert [(rule, level) for _, rule, level in added(command)] == [("overloaded-output", "error")]


@pytest.mark.parametrize(("before", "now", "new"), [(2, 2, 0), (2, 3, 1), (2, 1, 0), (1, 3, 2), (0, 2, 2)])
def test_of_equal_findings_those_are_new_that_are_more(command: Command, before: int, now: int, new: int) -> None:
    def plan(count: int) -> str:
        return PLAN.replace("[{output: white, when: forward}]", f"[{', '.join(['{output: violet}'] * count)}]")

    lay({NAME: plan(before)})
    start()
    lay({NAME: plan(now)})
    assert added(command) == [(NAME, "unknown-name", "error")] * new


def test_an_excuse_that_is_taken_away_is_news(command: Command) -> None:
    excused = BURNING.replace("front headlamp]}", "front headlamp]}  # lampwright: allow unprotected-led -- bench")
    lay({NAME: excused})
    start()
    assert added(command) == []
    lay({NAME: BURNING})
    assert added(command) == [(NAME, "unprotected-led", "error")]


# --- Names ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("how", ["git mv", "mv"])
def test_a_renamed_file_is_the_same_file(command: Command, how: str) -> None:
    lay({NAME: TWO, "fleet/notes.txt": ""})
    start()
    if how == "mv":
        shutil.move(NAME, "fleet/b.lights.yaml")
    else:
        git("mv", NAME, "fleet/b.lights.yaml")
    assert added(command) == []
    mast = "  mast lamp: {bulb: {voltage: 12 V, current: 40 mA}}\n"
    lay({"fleet/b.lights.yaml": TWO.replace("40 mA", "41 mA").replace("  step lamp:", f"{mast}  step lamp:")})
    assert added(command) == [("fleet/b.lights.yaml", "unwired-lamp", "warning")]


def test_a_renamed_file_refers_to_what_it_referred_to_then(command: Command) -> None:
    lay({"old/a.lights.yaml": REFERRING, f"old/{SHEET_NAME}": SHEET.replace("100 mA", "5 mA")})
    start()
    git("mv", "old", "new")
    assert added(command) == []


def test_a_link_leads_where_it_led(command: Command) -> None:
    lay({NAME: REFERRING, "sheets/one.decoder.yaml": SHEET.replace("100 mA", "5 mA"), "sheets/two.decoder.yaml": SHEET})
    Path(SHEET_NAME).symlink_to("sheets/two.decoder.yaml")
    start()
    Path(SHEET_NAME).unlink()
    Path(SHEET_NAME).symlink_to("sheets/../sheets/one.decoder.yaml")
    assert added(command) == [(NAME, "overloaded-output", "error")]
    commit("The other sheet")
    assert added(command) == []


def test_names_in_any_script(command: Command) -> None:
    lay({"Loks/Grün 7.lights.yaml": BURNING, 'odd"\\\n.lights.yaml': BURNING})
    start()
    assert added(command) == []
    git("mv", "Loks/Grün 7.lights.yaml", "Loks/Ω\t.lights.yaml")
    assert added(command) == []


# --- Revisions --------------------------------------------------------------------------------------------------------


def test_any_revision_will_do(command: Command) -> None:
    lay({NAME: PLAN})
    start()
    git("tag", "v1")
    lay({NAME: BURNING})
    commit("Burn")
    first = git("rev-parse", "HEAD~1").strip()
    for revision in ("HEAD~1", "v1", "main~", first, first[:8], "v1^{commit}"):
        assert len(added(command, since=revision)) == 1
    assert added(command, since="HEAD") == []


def test_where_a_branch_left_another(command: Command) -> None:
    lay({NAME: BURNING})
    start()
    git("checkout", "-q", "-b", "branch")
    git("checkout", "-q", "main")
    lay({NAME: PLAN})
    commit("Cure")
    git("checkout", "-q", "branch")
    assert added(command, since="main") == [(NAME, "unprotected-led", "error")]
    assert added(command, since="main...") == []


def test_from_any_folder(command: Command, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    lay({"club/fleet/a.lights.yaml": BURNING, "club/fleet/yard/b.lights.yaml": PLAN})
    monkeypatch.chdir("club")
    start()
    lay({"fleet/yard/b.lights.yaml": BURNING})
    monkeypatch.chdir("fleet/yard")
    assert added(command, "..") == [("b.lights.yaml", "unprotected-led", "error")]
    monkeypatch.chdir(tmp_path)
    assert added(command, "club") == [("club/fleet/yard/b.lights.yaml", "unprotected-led", "error")]
    assert added(command, "club/fleet/a.lights.yaml") == []


def test_standard_input_is_compared_with_its_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    lay({NAME: BURNING})
    start()
    arguments = ("check", "--since", "HEAD", "-", "--stdin-name", NAME)
    assert started(*arguments, cwd=tmp_path, input=BURNING.encode()).returncode == 0
    assert started(*arguments, cwd=tmp_path, input=TWO.encode()).stdout.count(b"warning:") == 1


def test_the_repository_is_left_as_it_is(command: Command) -> None:
    lay({NAME: BURNING, "b.lights.yaml": PLAN})
    start()
    Path(NAME).rename("c.lights.yaml")
    lay({"b.lights.yaml": BURNING})
    git("add", "b.lights.yaml")
    before = (git("status", "--porcelain"), Path(".git/index").read_bytes(), sorted(map(str, Path(".git").rglob("*"))))
    assert len(added(command)) == 1
    after = (git("status", "--porcelain"), Path(".git/index").read_bytes(), sorted(map(str, Path(".git").rglob("*"))))
    assert after == before


def test_not_even_the_index_is_refreshed(command: Command) -> None:
    lay({NAME: BURNING})
    start()
    os.utime(NAME, (1, 1))
    before = Path(".git/index").read_bytes()
    assert added(command) == []
    assert Path(".git/index").read_bytes() == before


def test_with_a_baseline(command: Command) -> None:
    lay({NAME: BURNING})
    start()
    lay({NAME: TWO, "b.lights.yaml": BURNING})
    command("baseline", "known.jsonl", "b.lights.yaml")
    assert added(command, "--baseline", "known.jsonl") == [(NAME, "unwired-lamp", "warning")]


@pytest.mark.parametrize("text", ["\xff", "vehicle: [", "x" * 2_000_001, "&a [*a]"])
def test_a_file_that_could_not_be_read_then_had_no_other_finding(command: Command, text: str) -> None:
    lay({NAME: text.encode("latin-1")})
    start()
    lay({NAME: BURNING})
    assert added(command) == [(NAME, "unprotected-led", "error")]


# --- What cannot be told ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "revision", ["nowhere", "", "-h", "--help", "HEAD~9", "...", "HEAD:a.lights.yaml", "main..HEAD"]
)
def test_an_unknown_revision_is_one_line(command: Command, revision: str) -> None:
    lay({NAME: BURNING})
    start()
    outcome = command("check", f"--since={revision}")
    assert (outcome.status, outcome.err) == (2, f"lampwright: --since {revision}: git knows no such revision\n")
    assert outcome.out == "0 errors, 0 warnings, 0 notes in 0 files; 1 failure\n"


def test_no_repository_is_one_line(command: Command, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    lay({NAME: BURNING})
    outcome = command("check", "--since", "HEAD")
    assert (outcome.status, outcome.err) == (2, "lampwright: --since HEAD: this folder is in no git repository\n")


def test_what_git_has_to_say_is_passed_on(command: Command) -> None:
    lay({NAME: BURNING})
    git("init", "--bare", "bare")
    lay({"bare/a.lights.yaml": BURNING})
    outcome = command("check", "--since", "HEAD", "bare")
    assert (outcome.status, outcome.err) == (
        2,
        "lampwright: --since HEAD: git says: fatal: this operation must be run in a work tree\n",
    )


def test_an_empty_repository_has_no_revision(command: Command) -> None:
    lay({NAME: BURNING})
    git("init")
    assert command("check", "--since", "HEAD").err == "lampwright: --since HEAD: git knows no such revision\n"


def test_no_git_is_one_line(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    lay({NAME: BURNING})
    monkeypatch.setenv("PATH", os.devnull)
    outcome = command("check", "--since", "HEAD")
    assert (outcome.status, outcome.err) == (2, "lampwright: --since HEAD: git is not installed\n")


def test_a_damaged_repository_is_one_line(command: Command) -> None:
    lay({NAME: BURNING})
    start()
    content = git("rev-parse", f"HEAD:{NAME}").strip()
    path = Path(".git/objects", content[:2], content[2:])
    path.chmod(0o600)
    path.unlink()
    outcome = command("check", "--since", "HEAD")
    assert (outcome.status, len(outcome.err.splitlines())) == (2, 1)
    assert outcome.err == f"lampwright: --since HEAD: git has lost what {NAME} was in this revision\n"
