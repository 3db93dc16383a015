"""`lampwright fix`: what it changes, what it leaves alone, what it says, and its status."""

from __future__ import annotations

import difflib
import io
import resource
import shutil
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from command import BURNING, FAULTY_SHEET, PLAN, REFERRING, SHEET, Command, lay, started
from lampwright.cli import main
from lampwright.engine import Refusal
from lampwright.files import writing

TYPED = PLAN.replace("14.5 V", "14,5 V").replace("surge: 400 mA", "surge: 400 ma")
"""A plan with two slips of the finger; PLAN is what was meant."""

NAME = "a.lights.yaml"


def read(name: str = NAME) -> bytes:
    return Path(name).read_bytes()


# --- What is said, and the status -------------------------------------------------------------------------------------


def test_what_is_sure_is_fixed_and_told(command: Command) -> None:
    lay({NAME: TYPED})
    outcome = command("fix", NAME)
    assert read() == PLAN.encode()
    assert (outcome.status, outcome.err) == (0, "")
    assert outcome.out == (
        "a.lights.yaml:2:17: fixed: Write 14.5 V [decimal-comma]\n"
        "a.lights.yaml:3:85: fixed: Write 400 mA [misspelt-unit]\n"
        "fixed 2 in 1 file; left: 0 errors, 0 warnings, 0 notes\n"
    )


def test_what_is_not_sure_is_left_and_told_unless_asked_for(command: Command) -> None:
    lay({NAME: BURNING})
    outcome = command("fix")
    assert (outcome.status, read()) == (1, BURNING.encode())
    assert outcome.out == (
        'a.lights.yaml:7:21: error: nothing limits the current of the LED "front headlamp" [unprotected-led]\n'
        "fixed 0 in 0 files; left: 1 error, 0 warnings, 0 notes; --unsure has a fix for 1 of them\n"
    )
    outcome = command("fix", "--unsure")
    assert (outcome.status, outcome.out.count("fixed: Put in ")) == (0, 1)
    assert command("check").status == 0
    assert command("fix", "--unsure").out == "fixed 0 in 0 files; left: 0 errors, 0 warnings, 0 notes\n"


@pytest.mark.parametrize(
    ("arguments", "status"),
    [
        (["right.lights.yaml"], 0),
        (["typed.lights.yaml"], 0),
        (["burning.lights.yaml"], 1),
        (["nowhere.lights.yaml"], 2),
        (["typed.lights.yaml", "nowhere.lights.yaml"], 2),
        (["notes.txt"], 2),
        ([""], 2),
        (["--show", "right.lights.yaml"], 0),
        (["--show", "typed.lights.yaml"], 1),
        (["--show", "burning.lights.yaml"], 1),
    ],
)
def test_the_status_says_how_it_went(command: Command, arguments: list[str], status: int) -> None:
    lay({"right.lights.yaml": PLAN, "typed.lights.yaml": TYPED, "burning.lights.yaml": BURNING, "notes.txt": ""})
    assert command("fix", *arguments).status == status


def test_a_path_that_cannot_be_used_is_one_line_and_the_rest_is_fixed(command: Command) -> None:
    lay({NAME: TYPED})
    outcome = command("fix", "nowhere.lights.yaml", NAME)
    assert outcome.err == "lampwright: nowhere.lights.yaml: there is no such file\n"
    assert (outcome.status, read()) == (2, PLAN.encode())


def test_what_is_known_does_not_count_as_left(command: Command) -> None:
    lay({NAME: BURNING})
    command("baseline", "known.jsonl")
    lay({NAME: BURNING.replace("14.5 V", "14,5 V")})
    outcome = command("fix", "--baseline", "known.jsonl")
    assert (outcome.status, read()) == (0, BURNING.encode())
    assert outcome.out.endswith("\nfixed 1 in 1 file; left: 0 errors, 0 warnings, 0 notes; 1 known\n")
    lay({NAME: TYPED, "known.jsonl": "{"})
    outcome = command("fix", "--baseline", "known.jsonl")
    assert (outcome.status, outcome.out, len(outcome.err.splitlines()), read()) == (2, "", 1, TYPED.encode())


# --- Which files ------------------------------------------------------------------------------------------------------


def test_only_what_is_named_is_changed(command: Command) -> None:
    lay({NAME: REFERRING, "bench-six.decoder.yaml": FAULTY_SHEET, "old/b.lights.yaml": TYPED, ".gitignore": "old/\n"})
    outcome = command("fix", NAME)
    assert "bench-six.decoder.yaml:3:" in outcome.out
    assert (outcome.status, read("bench-six.decoder.yaml")) == (1, FAULTY_SHEET.encode())
    assert command("fix").status == 0
    assert read("bench-six.decoder.yaml") == SHEET.encode()
    assert read("old/b.lights.yaml") == TYPED.encode()


def test_plans_are_judged_by_what_has_become_of_their_sheets_and_settings(command: Command) -> None:
    # Only with the sheet that was fixed does the output carry too much; only with the settings is that an error.
    lay(
        {
            NAME: REFERRING.replace("1.5 kohm 1/4 W", "1.5 kohm"),
            "bench-six.decoder.yaml": FAULTY_SHEET.replace("100 ma", "5 ma"),
        }
    )
    lay({"lampwright.yaml": "level: {overloaded-output: note}\n"})
    outcome = command("fix")
    assert read("bench-six.decoder.yaml") == SHEET.replace("100 mA", "5 mA").encode()
    assert "note: the output" in outcome.out
    assert outcome.status == 0


def test_a_file_with_two_names_is_fixed_once(command: Command) -> None:
    lay({NAME: TYPED})
    Path("link.lights.yaml").symlink_to(NAME)
    outcome = command("fix", "link.lights.yaml", NAME)
    assert outcome.out.endswith("fixed 2 in 1 file; left: 0 errors, 0 warnings, 0 notes\n")
    assert Path("link.lights.yaml").is_symlink()
    assert read() == PLAN.encode()


# --- What stays as it is ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_line_ends_and_the_mark_at_the_start_stay(command: Command, line_end: str, mark: bytes) -> None:
    lay({NAME: mark + TYPED.replace("\n", line_end).encode()})
    assert command("fix").status == 0
    assert read() == mark + PLAN.replace("\n", line_end).encode()


@pytest.mark.parametrize("end", ["", "\n", "\n\n  \n", "  # the end"])
def test_the_end_of_the_file_stays(command: Command, end: str) -> None:
    lay({NAME: TYPED.rstrip("\n") + end})
    assert command("fix").status == 0
    assert read() == (PLAN.rstrip("\n") + end).encode()


def test_the_mode_stays(command: Command) -> None:
    lay({NAME: TYPED})
    Path(NAME).chmod(0o640)
    assert command("fix").status == 0
    assert stat.S_IMODE(Path(NAME).stat().st_mode) == 0o640


def test_a_file_with_nothing_to_fix_is_not_touched(command: Command) -> None:
    lay({NAME: PLAN, "b.lights.yaml": BURNING})
    before = {name: Path(name).stat().st_mtime_ns for name in (NAME, "b.lights.yaml")}
    inodes = {name: Path(name).stat().st_ino for name in before}
    command("fix")
    assert {name: Path(name).stat().st_mtime_ns for name in before} == before
    assert {name: Path(name).stat().st_ino for name in before} == inodes


# --- What cannot be written -------------------------------------------------------------------------------------------


def test_what_is_write_protected_is_one_line_and_the_rest_is_fixed(command: Command) -> None:
    lay({NAME: TYPED, "b.lights.yaml": TYPED})
    Path(NAME).chmod(0o444)
    outcome = command("fix")
    assert outcome.err == "lampwright: a.lights.yaml: it is write-protected, and is left as it is\n"
    assert (outcome.status, read(), read("b.lights.yaml")) == (2, TYPED.encode(), PLAN.encode())
    # What is left is what is found in the file as it still is.
    assert outcome.out.endswith("fixed 2 in 1 file; left: 2 errors, 0 warnings, 0 notes\n")


def test_a_file_with_other_names_is_left_alone(command: Command) -> None:
    lay({NAME: TYPED})
    Path("kept").hardlink_to(NAME)
    outcome = command("fix")
    assert (outcome.status, len(outcome.err.splitlines())) == (2, 1)
    assert "hard links" in outcome.err
    assert read() == read("kept") == TYPED.encode()


def test_what_changed_meanwhile_is_left_alone(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    lay({NAME: TYPED})
    real = writing.write_instead

    def write(path: Path, before: bytes | None, after: bytes) -> Refusal | None:
        lay({NAME: "theirs"})
        return real(path, before, after)

    monkeypatch.setattr(writing, "write_instead", write)
    outcome = command("fix")
    assert outcome.err == "lampwright: a.lights.yaml: it was changed meanwhile by somebody else, and is left as it is\n"
    assert (outcome.status, read()) == (2, b"theirs")


def test_a_full_disk_is_one_line_and_the_file_is_the_old_one(tmp_path: Path) -> None:
    lay({NAME: TYPED + "# " + "x" * 5000}, tmp_path)
    before = (tmp_path / NAME).read_bytes()
    full = lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))  # noqa: E731
    outcome = started("fix", cwd=tmp_path, preexec_fn=full)
    assert (outcome.returncode, outcome.stderr) == (2, b"lampwright: a.lights.yaml: file too large\n")
    assert (tmp_path / NAME).read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == [NAME]


def test_output_that_cannot_be_written_is_one_line(tmp_path: Path) -> None:
    lay({NAME: TYPED}, tmp_path)
    with Path("/dev/full").open("wb") as full:
        outcome = started("fix", cwd=tmp_path, stdout=full)
    assert outcome.returncode == 2
    assert outcome.stderr.decode().splitlines() == ["lampwright: the report cannot be written: No space left on device"]


# --- Showing ----------------------------------------------------------------------------------------------------------


def test_show_prints_a_diff_and_touches_nothing(command: Command) -> None:
    lay({NAME: TYPED})
    inode = Path(NAME).stat().st_ino
    outcome = command("fix", "--show")
    expected = difflib.unified_diff(
        TYPED.splitlines(keepends=True), PLAN.splitlines(keepends=True), f"a/{NAME}", f"b/{NAME}"
    )
    assert outcome.out == "".join(expected)
    assert outcome.err.splitlines()[0] == "a.lights.yaml:2:17: would fix: Write 14.5 V [decimal-comma]"
    assert (read(), Path(NAME).stat().st_ino) == (TYPED.encode(), inode)


ODD = {
    "plain": (NAME, TYPED),
    "windows": (NAME, TYPED.replace("\n", "\r\n")),
    "old mac": (NAME, TYPED.replace("\n", "\r")),
    "no end": (NAME, TYPED.rstrip("\n")),
    "mark": (NAME, "\ufeff" + TYPED),
    "other line breaks": (NAME, TYPED.replace("headlamp", "head\u2028\u0085lamp") + "# \f\v\x1c\n"),
    "spaces": ("our fleet/loco 7.lights.yaml", TYPED),
    "quotes": ('"a"\\b.lights.yaml', TYPED),
    "umlauts": ("Loks/Grün.lights.yaml", TYPED),
    "line break": ("a\nb\t.lights.yaml", TYPED),
}


@pytest.mark.parametrize("odd", ODD)
@pytest.mark.parametrize("tool", [["git", "apply", "--whitespace=nowarn"], ["patch", "-p1", "--binary", "-s"]])
def test_the_diff_can_be_applied_by_others(tmp_path: Path, odd: str, tool: list[str]) -> None:
    if shutil.which(tool[0]) is None:
        pytest.skip(f"{tool[0]} is not installed")
    name, text = ODD[odd]
    for folder in ("shown", "fixed"):
        lay({name: text}, tmp_path / folder)
    shown = started("fix", "--show", cwd=tmp_path / "shown")
    fixed = started("fix", cwd=tmp_path / "fixed")
    assert fixed.returncode in (0, 1)
    done = subprocess.run(tool, input=shown.stdout, cwd=tmp_path / "shown", capture_output=True, check=False)
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "shown" / name).read_bytes() == (tmp_path / "fixed" / name).read_bytes() != text.encode()


# --- Standard input ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_standard_input_is_printed_as_it_should_be(tmp_path: Path, line_end: str, mark: str) -> None:
    typed, meant = ((mark + text.replace("\n", line_end)).encode() for text in (TYPED, PLAN))
    outcome = started("fix", "-", cwd=tmp_path, input=typed)
    assert (outcome.returncode, outcome.stdout) == (0, meant)
    assert outcome.stderr.decode().splitlines()[-1] == "fixed 2 in 1 file; left: 0 errors, 0 warnings, 0 notes"
    assert started("fix", "-", cwd=tmp_path, input=meant).stdout == meant


def test_standard_input_stands_for_a_file_that_is_not_touched(command: Command) -> None:
    lay({NAME: BURNING})
    outcome = command("fix", "-", NAME, "--stdin-name", NAME, stdin=TYPED.encode())
    assert (outcome.status, outcome.out, read()) == (0, PLAN, BURNING.encode())


def test_standard_input_can_be_shown(command: Command) -> None:
    outcome = command("fix", "--show", "-", "--stdin-name", "fleet/a.lights.yaml", stdin=TYPED.encode())
    assert (outcome.status, outcome.out.splitlines()[:2]) == (
        1,
        ["--- a/fleet/a.lights.yaml", "+++ b/fleet/a.lights.yaml"],
    )


@pytest.mark.parametrize("data", [PLAN.encode("utf-16"), b"\xff\xfe", b"name: \xe9\n", b"x" * 2_000_001])
def test_what_cannot_be_read_is_not_printed(command: Command, data: bytes) -> None:
    outcome = command("fix", "-", stdin=data)
    assert (outcome.status, outcome.out) == (1, "")


def test_a_terminal_is_not_obeyed(command: Command) -> None:
    lay({NAME: TYPED.replace("Quarry switcher 7", '"x\\e[31m"').replace("front headlamp", "front \x1b[31mheadlamp")})
    outcome = command("fix", NAME)
    assert "\x1b" not in outcome.out + outcome.err


class Terminal(io.StringIO):
    """A terminal that keeps what it was told."""

    def isatty(self) -> bool:
        return True


def test_a_terminal_does_not_obey_a_diff_either(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    lay({NAME: TYPED.replace("supply: {track: 14,5 V}", "supply: {track: 14,5 V}  # \x1b[31m\u202e\there")})
    terminal = Terminal()
    monkeypatch.setattr(sys, "stdout", terminal)
    assert main(["fix", "--show"]) == 1
    assert "+supply: {track: 14.5 V}  # \\u001b[31m\\u202e\there\n" in terminal.getvalue()
    assert "\x1b" not in terminal.getvalue()


def test_a_failure_of_ours_costs_one_file(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    from lampwright.cli import fixing

    real = fixing.mend

    def fail(source, judge, **options):  # type: ignore[no-untyped-def]
        if source.name == NAME:
            raise RuntimeError("burnt")
        return real(source, judge, **options)

    monkeypatch.setattr(fixing, "mend", fail)
    lay({NAME: TYPED, "b.lights.yaml": TYPED})
    outcome = command("fix")
    assert (
        outcome.err
        == "lampwright: a.lights.yaml: this file could not be fixed, which is our fault: RuntimeError: burnt\n"
    )
    assert (outcome.status, read(), read("b.lights.yaml")) == (2, TYPED.encode(), PLAN.encode())
