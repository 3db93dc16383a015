"""What real shells put in when the Tab key is pressed, what they leave alone, and what it costs those who press none."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from command import SECONDS, Command, environment, lay
from lampwright.cli.completing import ENDS, PLAN, _paths
from lampwright.cli.reporting import FORMATS
from lampwright.plan.kinds import Kind
from lampwright.rules import RULES
from shells import SHELLS, offered_by_fish, typed

FILES = {
    "vehicles/railcar 51.lights.yaml": "",
    "vehicles/crane.lights.yaml": "",
    "vehicles/cranky.md": "",
    "sheets/grit-six.decoder.yaml": "",
    "club.parts.yaml": "",
    "notes.txt": "",
    "house.lights.yaml": "",
    ".attic/old.lights.yaml": "",
}

each_shell = pytest.mark.parametrize("shell", SHELLS)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    lay(FILES, tmp_path)
    return tmp_path


# --- In real shells ---------------------------------------------------------------------------------------------------


@each_shell
@pytest.mark.parametrize(
    ("keys", "called"),
    [
        ("expl\t", ["explain"]),
        ("explain overdr\t", ["explain", "overdriven-led"]),
        ("allow unwired\t", ["allow", "unwired-lamp"]),
        ("allow unwired-lamp hou\t", ["allow", "unwired-lamp", "house.lights.yaml:"]),
        ("check --form\t", ["check", "--format"]),
        ("check --format sar\t", ["check", "--format", "sarif"]),
        ("fleet --format ht\t", ["fleet", "--format", "html"]),
        ("fleet vehicles/crane\t", ["fleet", "vehicles/crane.lights.yaml"]),
        ("cvs --format pack\t", ["cvs", "--format", "packets"]),
        ("check vehicles/crane\t", ["check", "vehicles/crane.lights.yaml"]),
        ("check clu\t", ["check", "club.parts.yaml"]),
        ("check --output not\t", ["check", "--output", "notes.txt"]),
        ("completion fi\t", ["completion", "fish"]),
    ],
)
def test_what_is_begun_is_completed(shell: str, keys: str, called: list[str], folder: Path) -> None:
    assert typed(shell, keys, folder) == called


@each_shell
@pytest.mark.parametrize(
    "keys",
    [
        # What we do not read, what is no plan, what leads to several, what nothing is called.
        "check not\t",
        "states clu\t",
        "explain over\t",
        "explain brightest\t",
        "check --format xm\t",
        "allow unwired-lamp house.lights.yaml:1 --reason cl\t",
    ],
)
def test_what_fits_nothing_stays_as_it_is(shell: str, keys: str, folder: Path) -> None:
    assert typed(shell, keys, folder) == keys.rstrip("\t").split(" ")


@pytest.mark.parametrize("shell", ["bash", "zsh"])
def test_a_name_with_a_blank_arrives_as_one_argument(shell: str, folder: Path) -> None:
    assert typed(shell, "check vehicles/rai\t", folder) == ["check", "vehicles/railcar 51.lights.yaml"]


def test_the_words_of_a_rule_stand_beside_its_name(folder: Path) -> None:
    offered = offered_by_fish("explain ", folder)
    assert set(offered) == {rule.name for rule in RULES}
    assert offered["dim-led"] == next(rule.summary for rule in RULES if rule.name == "dim-led")


def test_all_that_fits_is_offered(folder: Path) -> None:
    assert {"check", "fix", "explain", "completion"} <= set(offered_by_fish("", folder))
    assert set(offered_by_fish("check --format ", folder)) == set(FORMATS)
    assert set(offered_by_fish("check ", folder)) == {"vehicles/", "sheets/", "club.parts.yaml", "house.lights.yaml"}
    assert set(offered_by_fish("states vehicles/", folder)) == {
        f"vehicles/{name}.lights.yaml" for name in ("crane", "railcar 51")
    }
    assert set(offered_by_fish("check --s", folder)) == {"--since", "--stdin-name"}


# --- What is printed and imported -------------------------------------------------------------------------------------


@each_shell
def test_the_lines_for_a_shell_are_all_that_is_printed(command: Command, shell: str) -> None:
    outcome = command("completion", shell)
    assert (outcome.status, outcome.err) == (0, "")
    assert "lampwright" in outcome.out
    # In a folder of fpath zsh takes its first line for what it is.
    assert shell != "zsh" or outcome.out.startswith("#compdef lampwright\n")


def test_another_shell_is_refused(command: Command) -> None:
    outcome = command("completion", "elvish")
    assert (outcome.status, outcome.out) == (2, "")
    assert "'bash', 'zsh', 'fish'" in outcome.err


def test_the_ends_of_names_are_those_of_the_kinds() -> None:
    assert set(ENDS) == {kind.value for kind in Kind}
    assert Kind.LIGHTING_PLAN.value == PLAN


def imported(*arguments: str, **variables: str) -> set[str]:
    """What stands in `sys.modules` when the command has ended."""
    code = (
        "import sys, os; from lampwright.cli import main\n"
        "def end(*_): print(*sys.modules, file=sys.stderr); sys.stderr.flush(); os.kill(os.getpid(), 9)\n"
        "os._exit = end\n"
        "main(sys.argv[1:]); end()"
    )
    command = [sys.executable, "-c", f"exec({code!r})", *arguments]
    shell = ["/bin/sh", "-c", '"$@" 8>&2 9>/dev/null', "sh", *command]
    told = subprocess.run(
        shell, capture_output=True, env=environment(**variables), check=False, timeout=SECONDS, text=True
    )
    return set(told.stderr.split())


def test_who_presses_no_tab_pays_nothing() -> None:
    found = imported("completion", "bash")
    assert {"argcomplete", "lampwright.cli.completing"} <= found
    assert not {each for each in imported("explain") if "complet" in each}
    names = ("complet", "beginning", "watching", "creating", "account.pages", "terminals")
    found = imported("check", "nowhere.lights.yaml")
    assert "lampwright.cli.checking" in found
    assert not {each for each in found if any(name in each for name in names)}


def test_files_are_completed_without_what_a_check_needs() -> None:
    line = "lampwright check "
    found = imported(_ARGCOMPLETE="1", COMP_LINE=line, COMP_POINT=str(len(line)), _ARGCOMPLETE_SHELL="fish")
    assert "lampwright.cli.completing" in found
    assert not {"lampwright.engine", "lampwright.rules", "lampwright.syntax", "lampwright.plan"} & found


# --- Paths ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("prefix", ["nowhere/", "notes.txt/", "\0", "~nobody-of-that-name/", "no\ufffd"])
def test_what_cannot_be_looked_at_has_nothing_in_it(folder: Path, monkeypatch: pytest.MonkeyPatch, prefix: str) -> None:
    monkeypatch.chdir(folder)
    assert _paths(prefix, ("",)) == []


def test_hidden_names_are_for_who_types_the_dot(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(folder)
    assert [name for name in _paths("", ("",)) if name.startswith(".")] == []
    assert _paths(".a", ("",)) == [".attic/"]


def test_the_home_folder_keeps_its_short_name(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", os.fspath(folder))
    assert _paths("~/clu", ("",)) == ["~/club.parts.yaml"]
