"""What the status is, what standard input stands for, and what the command says of itself: the promises of the plan language's last chapter."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from command import BURNING, FAULTY_SHEET, PLAN, REFERRING, SPARE, Command, lay, started
from lampwright import __version__
from lampwright.cli.reporting import FORMATS
from lampwright.rule import Rule
from lampwright.rules import RULES

SUMMARY = {"right": "0 errors, 0 warnings, 0 notes in 1 file", "spare": "0 errors, 1 warning, 0 notes in 1 file"}


UPKEEP = ("fix", "allow", "baseline", "settings")


# --- The exit status --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("arguments", "status"),
    [
        (["right.lights.yaml"], 0),
        (["spare.lights.yaml"], 0),
        (["burning.lights.yaml"], 1),
        (["right.lights.yaml", "burning.lights.yaml"], 1),
        (["allowed.lights.yaml"], 0),
        (["nowhere.lights.yaml"], 2),
        (["burning.lights.yaml", "nowhere.lights.yaml"], 2),
        (["notes.txt"], 2),
        (["plain.yaml"], 2),
        ([""], 2),
        (["empty"], 2),
        (["."], 1),
        ([], 1),
    ],
)
def test_the_status_says_how_it_went(command: Command, arguments: list[str], status: int) -> None:
    allowed = BURNING.replace("front headlamp]}", "front headlamp]}  # lampwright: allow unprotected-led -- bench only")
    lay({"right.lights.yaml": PLAN, "spare.lights.yaml": SPARE, "burning.lights.yaml": BURNING})
    lay({"allowed.lights.yaml": allowed, "notes.txt": "a note", "plain.yaml": PLAN, "empty/notes.txt": ""})
    assert command("check", *arguments).status == status


@pytest.mark.parametrize(
    ("name", "complaint"),
    [
        ("nowhere.lights.yaml", "there is no such file"),
        ("nowhere", "there is no such file"),
        ("notes.txt", "its name must end in .lights.yaml, .decoder.yaml or .parts.yaml, or be lampwright.yaml"),
        ("notes.txt/below.lights.yaml", "there is no such file"),
        ("empty", "it holds no lighting plan, decoder sheet, parts catalogue or settings file"),
        ("/dev/null", "it is no regular file"),
        ("x" * 300 + ".lights.yaml", "file name too long"),
    ],
)
def test_a_path_that_cannot_be_used_is_one_line_and_the_rest_is_checked(
    command: Command, name: str, complaint: str
) -> None:
    lay({"notes.txt": "", "burning.lights.yaml": BURNING, "empty/notes.txt": ""})
    outcome = command.json(name, "burning.lights.yaml")
    shown = os.path.relpath(name) if name.startswith("/") else name
    assert outcome.err == f"lampwright: {shown}: {complaint}\n"
    assert outcome.status == 2
    assert outcome.burning == ["burning.lights.yaml"]
    assert outcome.json["failures"] == [{"rule": None, "file": shown, "text": complaint}]


def test_each_path_that_cannot_be_used_has_its_line_and_the_summary_counts_them(command: Command) -> None:
    outcome = command("check", "b.lights.yaml", "a.lights.yaml", "a.lights.yaml")
    assert outcome.err.splitlines() == [f"lampwright: {name}.lights.yaml: there is no such file" for name in "ab"]
    assert outcome.out == "0 errors, 0 warnings, 0 notes in 0 files; 2 failures\n"


@pytest.mark.parametrize(
    "arguments", [[], ["chekc"], ["check", "--format", "xml"], ["check", "--colour"], ["explain", "a", "b"]]
)
def test_a_wrong_usage_prints_no_report(command: Command, arguments: list[str]) -> None:
    outcome = command(*arguments)
    assert (outcome.status, outcome.out) == (2, "")
    assert outcome.err.startswith("usage: lampwright")


# --- Standard input ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("options", "text", "file", "rule"),
    [
        ([], BURNING, "standard-input.lights.yaml", "unprotected-led"),
        (["--stdin-name", "fleet/new.lights.yaml"], BURNING, "fleet/new.lights.yaml", "unprotected-led"),
        (["--stdin-name", "fleet/a.lights.yaml"], BURNING, "fleet/a.lights.yaml", "unprotected-led"),
        (["--stdin-name", "fleet/a.lights.yaml"], REFERRING, "fleet/bench-six.decoder.yaml", "misspelt-unit"),
        (["--stdin-name", "x.decoder.yaml"], FAULTY_SHEET, "x.decoder.yaml", "misspelt-unit"),
        (["--stdin-name", "lampwright.yaml"], "levels: 1\n", "lampwright.yaml", "wrong-shape"),
    ],
)
def test_standard_input_stands_for_a_file(
    command: Command, options: list[str], text: str, file: str, rule: str
) -> None:
    lay({"fleet/bench-six.decoder.yaml": FAULTY_SHEET, "fleet/a.lights.yaml": PLAN})
    outcome = command.json("-", *options, stdin=text.encode())
    assert [(finding["file"], finding["rule"]) for finding in outcome.json["findings"]] == [(file, rule)]
    assert outcome.status == 1


def test_standard_input_goes_before_the_file_that_it_stands_for_and_is_read_once(command: Command) -> None:
    lay({"a.lights.yaml": BURNING})
    outcome = command("check", "a.lights.yaml", "-", "-", "--stdin-name", "a.lights.yaml", stdin=PLAN.encode())
    assert (outcome.status, outcome.out) == (0, f"{SUMMARY['right']}\n")


def test_standard_input_needs_the_name_of_a_file_that_is_read(command: Command) -> None:
    outcome = command("check", "-", "--stdin-name", "draft.yaml", stdin=PLAN.encode())
    assert outcome.status == 2
    assert outcome.err.startswith("lampwright: draft.yaml: its name must end in .lights.yaml")


def test_standard_input_may_be_closed_or_unreadable(tmp_path: Path) -> None:
    closed = started("check", "-", cwd=tmp_path, preexec_fn=lambda: os.close(0))
    assert (closed.returncode, closed.stderr) == (
        2,
        b"lampwright: standard-input.lights.yaml: standard input is closed\n",
    )
    (tmp_path / "draft").touch()
    with (tmp_path / "draft").open("wb") as unreadable:
        outcome = started("check", "-", cwd=tmp_path, stdin=unreadable)
    line = b"lampwright: standard-input.lights.yaml: standard input cannot be read: bad file descriptor\n"
    assert (outcome.returncode, outcome.stderr) == (2, line)


# --- Rules, help, version ---------------------------------------------------------------------------------------------


def test_explain_lists_all_rules_a_line_each(command: Command) -> None:
    outcome = command("explain")
    assert outcome.status == 0
    assert [line.split()[:2] for line in outcome.out.splitlines()] == [[rule.name, rule.level.word] for rule in RULES]
    assert all(rule.summary in outcome.out for rule in RULES)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_explain_prints_the_page_of_a_rule(command: Command, rule: Rule) -> None:
    outcome = command("explain", rule.name)
    assert (outcome.status, outcome.out) == (0, f"{rule.name} ({rule.level.word})\n\n{rule.page.strip()}\n")


@pytest.mark.parametrize(
    ("name", "complaint"),
    [
        ("unprotcted-led", "there is no rule unprotcted-led; did you mean unprotected-led?"),
        ("Unwired_Lamp", "there is no rule Unwired_Lamp; did you mean unwired-lamp?"),
        ("twice", "there is no rule twice; did you mean twice-wired-lamp"),
        ("bogie", "there is no rule bogie; lampwright explain lists all"),
        ("a\x1b[31m\nb", "there is no rule a\\u001b[31m\\u000ab; "),
    ],
)
def test_explain_says_what_was_meant(command: Command, name: str, complaint: str) -> None:
    outcome = command("explain", name)
    assert (outcome.status, outcome.out, outcome.err.count("\n")) == (2, "", 1)
    assert outcome.err.startswith(f"lampwright: {complaint}")


@pytest.mark.parametrize("arguments", [["--version"], ["-V"]])
def test_the_version_is_printed(command: Command, arguments: list[str]) -> None:
    assert command(*arguments).out == f"lampwright {__version__}\n"


def test_help_names_all_that_there_is_and_fits_a_narrow_terminal(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    pages = {name: command(*name.split(), "--help") for name in ("", "check", "explain", *UPKEEP)}
    assert {outcome.status for outcome in pages.values()} == {0}
    for word in (
        "check",
        "explain",
        *UPKEEP,
        "*.lights.yaml",
        "*.decoder.yaml",
        "*.parts.yaml",
        "lampwright.yaml",
        "Exit status",
    ):
        assert word in pages[""].out
    for word in (
        "--format FORMAT",
        "--output FILE",
        *FORMATS,
        "--stdin-name FILE",
        "--baseline FILE",
        "--since REVISION",
        ".gitignore",
        "exclude:",
        "# lampwright: allow",
        "-- the spare",
    ):
        assert word in pages["check"].out
    assert max(len(line) for page in pages.values() for line in page.out.splitlines()) <= 82


def test_the_examples_of_the_help_do_what_it_says(command: Command) -> None:
    text = command("check", "--help").out
    excuse = next(line.strip() for line in text.splitlines() if "# lampwright: allow" in line)
    lay({"vehicles/loco.lights.yaml": SPARE.replace("  step lamp", f"  {excuse}\n  step lamp")})
    assert command("check", "vehicles/").out == f"{SUMMARY['right']}; 1 allowed\n"
    lay({"spare.lights.yaml": SPARE})
    assert command("check", "spare.lights.yaml").out.endswith(f"{SUMMARY['spare']}\n")


@pytest.mark.parametrize("name", UPKEEP)
def test_the_examples_of_the_upkeep_can_be_typed(command: Command, name: str) -> None:
    lay({"vehicles/loco.lights.yaml": SPARE})
    lines = command(name, "--help").out.splitlines()
    examples = [line.strip() for line in lines if line.startswith("  lampwright ")]
    assert examples
    for example in examples:
        typed = shlex.split(example.partition(" > ")[0])[1:]
        assert command(*typed).status == 0, example


def test_the_command_is_installed_under_its_name() -> None:
    installed = shutil.which("lampwright", path=str(Path(sys.executable).parent))
    if installed is None:
        pytest.skip("the package is not installed into this Python")
    printed = subprocess.run([installed, "--version"], capture_output=True, check=True).stdout
    assert printed == f"lampwright {__version__}\n".encode()
