"""Our hooks in the real pre-commit, in the repository of a club: what they stop, mend, find, and leave alone."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from command import BURNING, FAULTY_SHEET, PLAN, REFERRING, SHEET, lay
from lampwright import __version__
from released import ROOT, SECONDS, outside
from repository import git

TYPED = PLAN.replace("14.5 V", "14,5 V").replace("\n", "\r\n")
SMALL_SHEET = SHEET.replace("limit: 100 mA", "limit: 5 mA")
"""A sheet without a fault of its own, but too small for REFERRING."""
FIX, CHECK, CLUB = "fix lighting plans", "check lighting plans", "check the whole club"


class Club:
    """A repository in the working directory, with our hooks installed; git and pre-commit run as a member runs them."""

    def __init__(self, home: Path) -> None:
        self._environment = outside(PRE_COMMIT_HOME=str(home))

    def configure(self, *hooks: str, more: str = "") -> None:
        """The file that pre-commit reads, with these hooks, and `more` lines on top of it."""
        listed = "".join(f"      - {hook if ':' in hook else f'id: {hook}'}\n" for hook in hooks)
        lay(
            {
                ".pre-commit-config.yaml": f"{more}repos:\n  - repo: ../lampwright\n    rev: v{__version__}\n    hooks:\n{listed}"
            }
        )

    def pre_commit(self, *words: str) -> subprocess.CompletedProcess[str]:
        return self._run(sys.executable, "-m", "pre_commit", *words)

    def commit(self, *, may_fail: bool = True) -> subprocess.CompletedProcess[str]:
        """A real commit of all that stands here."""
        git("add", "-A")
        done = self.git("commit", "--message", "A change")
        assert may_fail or done.returncode == 0, done.stdout + done.stderr
        return done

    def git(self, *words: str) -> subprocess.CompletedProcess[str]:
        return self._run("git", *words)

    def _run(self, *line: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(line, capture_output=True, text=True, check=False, timeout=SECONDS, env=self._environment)


@pytest.fixture
def club(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, released: Path, hook_home: Path) -> Club:
    (tmp_path / "lampwright").symlink_to(released)
    (tmp_path / "club").mkdir()
    monkeypatch.chdir(tmp_path / "club")
    git("init")
    club = Club(hook_home)
    club.configure("lampwright-fix", "lampwright-check", "lampwright-club")
    assert club.pre_commit("install").returncode == 0
    return club


def results(printed: str) -> dict[str, str]:
    """What pre-commit says of each hook: Passed, Failed or Skipped."""
    lines = [line for line in printed.splitlines() if line.startswith((FIX, CHECK, CLUB))]
    return {line[: line.index("..")]: line.rpartition(".")[2].rpartition(")")[2] for line in lines}


def commits() -> int:
    return int(git("rev-list", "--all", "--count"))


# --- What is stopped, and what is not ---------------------------------------------------------------------------------


def test_a_finding_stops_the_commit(club: Club) -> None:
    lay({"a.lights.yaml": BURNING})
    done = club.commit()
    assert (done.returncode, commits()) == (1, 0)
    assert results(done.stderr) == {FIX: "Failed", CHECK: "Failed", CLUB: "Failed"}
    assert "a.lights.yaml:7:21: error: nothing limits the current" in done.stderr
    lay({"a.lights.yaml": PLAN})
    done = club.commit()
    assert (done.returncode, commits(), set(results(done.stderr).values())) == (0, 1, {"Passed"})


def test_what_is_mended_is_looked_at_and_committed_then(club: Club) -> None:
    lay({"a.lights.yaml": TYPED})
    done = club.commit()
    assert (done.returncode, commits()) == (1, 0)
    assert results(done.stderr) == {FIX: "Failed", CHECK: "Passed", CLUB: "Passed"}
    assert "fixed: Write 14.5 V" in done.stderr
    assert "files were modified by this hook" in done.stderr
    assert Path("a.lights.yaml").read_bytes() == PLAN.replace("\n", "\r\n").encode()
    assert club.commit().returncode == 0
    assert git("show", "HEAD:a.lights.yaml") == PLAN


def test_only_the_whole_club_tells_what_a_sheet_does_to_plans(club: Club) -> None:
    lay({"a.lights.yaml": REFERRING, "bench-six.decoder.yaml": SHEET})
    club.commit(may_fail=False)
    lay({"bench-six.decoder.yaml": SMALL_SHEET})
    done = club.commit()
    assert (done.returncode, commits()) == (1, 1)
    assert results(done.stderr) == {FIX: "Passed", CHECK: "Passed", CLUB: "Failed"}
    assert "overloaded-output" in done.stderr


@pytest.mark.parametrize("always", [False, True])
def test_a_commit_that_only_deletes_is_looked_at_if_that_is_asked_for(club: Club, always: bool) -> None:
    club.configure("{id: lampwright-club, always_run: true}" if always else "lampwright-club")
    lay({"a.lights.yaml": REFERRING, "bench-six.decoder.yaml": SHEET})
    club.commit(may_fail=False)
    Path("bench-six.decoder.yaml").unlink()
    done = club.commit()
    assert (done.returncode, results(done.stderr)) == ((1, {CLUB: "Failed"}) if always else (0, {CLUB: "Skipped"}))


def test_a_merge_of_two_right_branches_is_stopped_if_it_is_wrong(club: Club) -> None:
    club.configure("lampwright-club", more="default_install_hook_types: [pre-commit, pre-merge-commit]\n")
    assert club.pre_commit("install").returncode == 0
    lay({"a.lights.yaml": PLAN, "bench-six.decoder.yaml": SHEET})
    club.commit(may_fail=False)
    git("checkout", "-q", "-b", "branch")
    lay({"bench-six.decoder.yaml": SMALL_SHEET})
    club.commit(may_fail=False)
    git("checkout", "-q", "-")
    lay({"a.lights.yaml": REFERRING})
    club.commit(may_fail=False)
    done = club.git("merge", "--no-edit", "branch")
    assert (done.returncode, commits()) == (1, 3)
    assert "overloaded-output" in done.stdout + done.stderr


def test_a_link_that_leads_elsewhere_now_is_looked_at(club: Club) -> None:
    lay({"a.lights.yaml": REFERRING, "sheets/large.decoder.yaml": SHEET, "sheets/small.decoder.yaml": SMALL_SHEET})
    link = Path("bench-six.decoder.yaml")
    link.symlink_to("sheets/large.decoder.yaml")
    club.commit(may_fail=False)
    link.unlink()
    link.symlink_to("sheets/small.decoder.yaml")
    done = club.commit()
    assert (done.returncode, results(done.stderr)) == (1, {FIX: "Skipped", CHECK: "Skipped", CLUB: "Failed"})


def test_the_whole_club_is_all_that_stands_in_its_folder(club: Club) -> None:
    lay({"a.lights.yaml": PLAN, "draft.lights.yaml": BURNING})
    git("add", "a.lights.yaml")
    done = club.git("commit", "--message", "Without the draft")
    assert (done.returncode, results(done.stderr)) == (1, {FIX: "Passed", CHECK: "Passed", CLUB: "Failed"})
    lay({".gitignore": "draft.*\n"})
    assert club.git("commit", "--message", "Without the draft").returncode == 0


# --- What is left alone -----------------------------------------------------------------------------------------------


def test_other_yaml_starts_nothing(club: Club) -> None:
    lay(
        {
            "compose.yaml": "a: 14,5 V\n",
            ".lights.yaml": BURNING,
            "a.lights.yml": BURNING,
            "old/a.lights.yaml.orig": BURNING,
        }
    )
    done = club.commit()
    assert (done.returncode, results(done.stderr)) == (0, {FIX: "Skipped", CHECK: "Skipped", CLUB: "Skipped"})


def test_what_the_settings_exclude_is_left_alone(club: Club) -> None:
    left = {"attic/burning.lights.yaml": BURNING, "attic/typed.lights.yaml": TYPED}
    lay({"lampwright.yaml": "exclude: [attic/]\n", "a.lights.yaml": PLAN, **left})
    done = club.commit()
    assert (done.returncode, set(results(done.stderr).values())) == (0, {"Passed"})
    assert {name: Path(name).read_bytes() for name in left} == {name: text.encode() for name, text in left.items()}
    # Alone in a commit they are named, and still left alone.
    lay({"attic/new.lights.yaml": TYPED})
    assert club.commit().returncode == 0


def test_what_is_not_committed_yet_is_put_aside(club: Club) -> None:
    lay({"a.lights.yaml": PLAN, "b.lights.yaml": PLAN})
    club.commit(may_fail=False)
    lay({"a.lights.yaml": PLAN + "# A note.\n", "b.lights.yaml": TYPED})
    git("add", "a.lights.yaml")
    done = club.git("commit", "--message", "A note")
    assert (done.returncode, set(results(done.stderr).values())) == (0, {"Passed"})
    assert Path("b.lights.yaml").read_bytes() == TYPED.encode()


# --- How they are started ---------------------------------------------------------------------------------------------


def test_a_sheet_that_many_plans_name_is_reported_once(club: Club) -> None:
    lay({f"fleet/{number}.lights.yaml": REFERRING.replace("bench-six", "../bench-six") for number in range(40)})
    lay({"bench-six.decoder.yaml": FAULTY_SHEET})
    git("add", "-A")
    for hook in ("lampwright-check", "lampwright-club"):
        done = club.pre_commit("run", hook, "--all-files")
        assert (done.returncode, done.stdout.count("[misspelt-unit]")) == (1, 1), done.stdout


@pytest.mark.parametrize(
    ("stage", "started"),
    [
        ("pre-commit", {FIX, CHECK, CLUB}),
        ("pre-merge-commit", {FIX, CHECK, CLUB}),
        ("manual", {FIX, CHECK, CLUB}),
        ("pre-push", {CHECK, CLUB}),
        ("post-merge", set()),
    ],
)
def test_each_stage_starts_what_makes_sense_there(club: Club, stage: str, started: set[str]) -> None:
    lay({"a.lights.yaml": PLAN})
    git("add", "-A")
    done = club.pre_commit("run", "--all-files", "--hook-stage", stage)
    assert (done.returncode, set(results(done.stdout))) == (0, started), done.stdout + done.stderr


def test_what_is_known_stops_nobody(club: Club) -> None:
    known = "args: [--baseline, known-findings.jsonl]"
    club.configure(*(f"{{id: lampwright-{name}, {known}}}" for name in ("fix", "check", "club")))
    lay({"a.lights.yaml": BURNING})
    done = subprocess.run([sys.executable, "-m", "lampwright", "baseline", "known-findings.jsonl"], check=False)
    assert done.returncode == 0
    assert club.commit().returncode == 0
    lay({"b.lights.yaml": BURNING})
    done = club.commit()
    assert (done.returncode, done.stderr.count("b.lights.yaml:7:21: error")) == (1, 3)
    assert "a.lights.yaml:7:21: error" not in done.stderr


def test_pre_commit_finds_our_list_of_hooks_right() -> None:
    line = [sys.executable, "-m", "pre_commit", "validate-manifest", str(ROOT / ".pre-commit-hooks.yaml")]
    done = subprocess.run(line, capture_output=True, text=True, check=False, timeout=SECONDS, env=outside())
    assert (done.returncode, done.stdout + done.stderr) == (0, "")
