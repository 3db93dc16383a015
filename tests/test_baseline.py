"""Known findings: what a baseline hides, what is gone from it, and how its file grows, shrinks, merges and breaks."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import pytest

from command import BURNING, FAULTY_SHEET, PLAN, REFERRING, SPARE, Command, lay, started
from lampwright.engine.baseline import Corrupt, Entry, read_baseline, written
from repository import commit, git, start

FILE = "known.jsonl"
NAME = "a.lights.yaml"
TWO = SPARE.replace("[1.5 kohm 1/4 W, front headlamp]", "[front headlamp]")
"""A plan with two findings, an error and a warning."""

BULBS = PLAN.replace("outputs:\n  white", "  {}outputs:\n  white")


def entries() -> list[dict[str, Any]]:
    return [json.loads(line) for line in Path(FILE).read_text("utf-8").splitlines()][1:]


def rules(command: Command, *arguments: str) -> list[tuple[str, str]]:
    """What is found besides what is known."""
    outcome = command("check", "--baseline", FILE, "--format", "json", *arguments)
    return [(finding["file"], finding["rule"]) for finding in outcome.json["findings"]]


# --- The file ---------------------------------------------------------------------------------------------------------


def test_a_baseline_has_an_entry_a_line_in_order(command: Command) -> None:
    lay({"b.lights.yaml": BURNING, NAME: TWO})
    outcome = command("baseline", FILE)
    assert (outcome.status, outcome.err) == (0, "")
    assert outcome.out == "known.jsonl: 3 known findings, 3 put in, 0 taken out\n"
    assert Path(FILE).read_text("utf-8") == (
        '{"lampwright-baseline": 1}\n'
        '{"file": "a.lights.yaml", "rule": "unprotected-led", "path": ["outputs", "white", "circuit"], "culprit": "front headlamp"}\n'
        '{"file": "a.lights.yaml", "rule": "unwired-lamp", "path": ["lamps", "step lamp"], "culprit": "step lamp"}\n'
        '{"file": "b.lights.yaml", "rule": "unprotected-led", "path": ["outputs", "white", "circuit"], "culprit": "front headlamp"}\n'
    )


def test_a_baseline_is_the_same_wherever_it_is_written_from(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    lay({"club/fleet/a.lights.yaml": TWO, "club/lampwright.yaml": ""})
    command("baseline", "club/known.jsonl", "club")
    first = Path("club/known.jsonl").read_bytes()
    monkeypatch.chdir("club/fleet")
    assert command("check", "--baseline", "../known.jsonl").status == 0
    Path("../known.jsonl").unlink()
    command("baseline", "../known.jsonl", "..")
    assert Path("../known.jsonl").read_bytes() == first
    assert b'"fleet/a.lights.yaml"' in first


def test_what_does_not_print_is_written_as_a_code() -> None:
    entry = Entry("a\nb\u202e.lights.yaml", "unwired-lamp", ("lamps", "Grün\u2028"), 'Ω"\x1b[31m')
    text = written({entry: 3})
    assert text.splitlines()[1] == (
        '{"file": "a\\nb\\u202e.lights.yaml", "rule": "unwired-lamp", "path": ["lamps", "Grün\\u2028"], '
        '"culprit": "Ω\\"\\u001b[31m", "count": 3}'
    )
    assert read_baseline(text) == {entry: 3}


def test_a_long_culprit_is_cut_and_still_told_apart(command: Command) -> None:
    texts = [
        PLAN.replace("when: forward", f"when: [{', '.join(['forward', 'reverse'] * 20)}, {last}]")
        for last in ("F1", "F2")
    ]
    lay({NAME: texts[0]})
    command("baseline", FILE)
    assert len(entries()[0]["culprit"]) < 130
    assert rules(command) == []
    lay({NAME: texts[1]})
    assert [rule for _, rule in rules(command)] == ["impossible-condition"]


# --- What it hides ----------------------------------------------------------------------------------------------------


def test_exactly_what_is_known_is_left_out_and_counted(command: Command) -> None:
    lay({NAME: TWO, "b.lights.yaml": PLAN})
    command("baseline", FILE)
    outcome = command("check", "--baseline", FILE)
    assert (outcome.status, outcome.err) == (0, "")
    assert outcome.out.endswith("0 errors, 0 warnings, 0 notes in 2 files; 2 known; 11 not decided\n")
    assert command("check", "--baseline", FILE, "--format", "json").json["summary"]["known"] == 2
    assert "known" not in command("check", "--format", "json").json["summary"]
    # The same mistake in another file, or in another lamp, is new.
    lay({"b.lights.yaml": BURNING})
    assert rules(command) == [("b.lights.yaml", "unprotected-led")]
    lay({NAME: TWO.replace("step lamp", "mast lamp"), "b.lights.yaml": PLAN})
    assert rules(command) == [(NAME, "unwired-lamp")]


def test_lines_layout_and_figures_do_not_matter(command: Command) -> None:
    lay({NAME: TWO})
    command("baseline", FILE)
    moved = TWO.replace("14.5 V", "15 V").replace("lamps:\n", "# a word\n\nlamps:\n")
    moved = moved.replace("{circuit: [front headlamp]}", "\n    circuit: [ front headlamp ]")
    lay({NAME: moved.replace("\n", "\r\n")})
    assert rules(command) == []


@pytest.mark.parametrize(("number", "new"), [(1, 0), (2, 0), (3, 1), (5, 3)])
def test_of_equal_findings_as_many_as_were_counted_are_left_out(command: Command, number: int, new: int) -> None:
    def plan(count: int) -> str:
        return PLAN.replace("[{output: white, when: forward}]", f"[{', '.join(['{output: violet}'] * count)}]")

    lay({NAME: plan(2)})
    command("baseline", FILE)
    assert [entry.get("count") for entry in entries()] == [2]
    lay({NAME: plan(number)})
    assert rules(command) == [(NAME, "unknown-name")] * new


def test_what_is_allowed_is_neither_written_nor_counted(command: Command) -> None:
    lay({NAME: BURNING.replace("front headlamp]}", "front headlamp]}  # lampwright: allow unprotected-led -- bench")})
    command("baseline", FILE)
    assert entries() == []
    assert "1 allowed" in command("check", "--baseline", FILE).out


def test_what_is_excused_later_is_excused_and_gone(command: Command) -> None:
    lay({NAME: TWO})
    command("baseline", FILE)
    lay({NAME: TWO.replace("  step lamp:", "  # lampwright: allow unwired-lamp -- a spare\n  step lamp:")})
    outcome = command("check", "--baseline", FILE)
    assert "1 allowed; 1 known" in outcome.out
    assert len(outcome.err.splitlines()) == 2


# --- What is gone -----------------------------------------------------------------------------------------------------

GONE = 'lampwright: known.jsonl: does not occur any more: a.lights.yaml: unwired-lamp, "step lamp" in lamps / step lamp'
HOW = "lampwright: known.jsonl: `lampwright baseline known.jsonl` takes out what does not occur any more"


def test_what_does_not_occur_any_more_is_told_and_is_no_error(command: Command) -> None:
    lay({NAME: TWO})
    command("baseline", FILE)
    lay({NAME: BURNING})
    outcome = command("check", "--baseline", FILE)
    assert (outcome.status, outcome.err.splitlines()) == (0, [GONE, HOW])


def test_what_was_not_checked_is_not_gone(command: Command) -> None:
    lay({NAME: TWO, "b.lights.yaml": TWO})
    command("baseline", FILE)
    assert command("check", "--baseline", FILE, "b.lights.yaml").err == ""
    lay({NAME: BURNING})
    assert command("check", "--baseline", FILE, "b.lights.yaml").err == ""
    Path(NAME).unlink()
    assert len(command("check", "--baseline", FILE, "b.lights.yaml").err.splitlines()) == 3


@pytest.mark.parametrize(
    "text",
    [
        # Text that breaks off, a part that cannot be read, a rule that cannot tell.
        TWO.replace("keys:", "keys: ["),
        TWO.replace("outputs:\n", "outputs:\n  green: {circuit: [nobody]}\n"),
        TWO.replace("decoder: {", "decoder: {nonsense: 1, "),
        "\t" + TWO,
    ],
)
def test_what_cannot_be_told_is_not_gone(command: Command, text: str) -> None:
    lay({NAME: TWO})
    command("baseline", FILE)
    lay({NAME: text})
    outcome = command("check", "--baseline", FILE)
    assert (outcome.status, outcome.err) == (1, "")
    command("baseline", FILE)
    lay({NAME: TWO})
    assert command("check", "--baseline", FILE).status == 0


SHEET_MISTAKE = TWO.replace("limit: 100 mA", "limit: 100 ma")
TWO_LOOKS = PLAN.replace(
    "[{output: white, when: forward}]", "[{output: white, brightness: 40 %}, {output: white, brightness: 60 %}]"
)


@pytest.mark.parametrize(
    ("before", "now"),
    [
        # A mistake of writing behind the place where the text breaks off.
        (SHEET_MISTAKE, SHEET_MISTAKE.replace("supply: {", "supply: {{")),
        # A rule that has less to look at than it had.
        (TWO_LOOKS, TWO_LOOKS.replace("40 %", "40")),
    ],
)
def test_what_is_behind_a_new_mistake_is_not_gone(command: Command, before: str, now: str) -> None:
    lay({NAME: before})
    command("baseline", FILE)
    known = entries()
    assert known
    lay({NAME: now})
    assert command("check", "--baseline", FILE).err == ""
    command("baseline", FILE)
    assert entries() == known


def test_a_known_mistake_of_writing_hides_no_more_than_it_did(command: Command) -> None:
    lay({NAME: SHEET_MISTAKE})
    command("baseline", FILE)
    lay({NAME: SHEET_MISTAKE.replace("  step lamp: {bulb: {voltage: 12 V, current: 40 mA}}\n", "")})
    assert command("check", "--baseline", FILE).err.splitlines() == [GONE, HOW]


def test_a_rule_that_is_ignored_now_says_nothing_of_what_it_found(command: Command) -> None:
    lay({NAME: TWO})
    command("baseline", FILE)
    lay({"lampwright.yaml": "levels: {unwired-lamp: ignore}\n"})
    assert command("check", "--baseline", FILE).err == ""


# --- Shrinking and growing --------------------------------------------------------------------------------------------


def test_a_baseline_shrinks_and_does_not_grow_unless_asked(command: Command) -> None:
    lay({NAME: TWO, "b.lights.yaml": PLAN})
    command("baseline", FILE)
    lay({NAME: BURNING, "b.lights.yaml": BURNING})
    outcome = command("baseline", FILE)
    assert outcome.out == ("known.jsonl: 1 known finding, 0 put in, 1 taken out; 1 new ones stay out without --grow\n")
    assert outcome.status == 0
    assert rules(command) == [("b.lights.yaml", "unprotected-led")]
    assert command("baseline", FILE, "--grow").out == "known.jsonl: 2 known findings, 1 put in, 0 taken out\n"
    assert rules(command) == []


def test_counts_shrink_too(command: Command) -> None:
    def plan(count: int) -> str:
        return PLAN.replace("[{output: white, when: forward}]", f"[{', '.join(['{output: violet}'] * count)}]")

    for number, grow, then in [(3, [], 3), (2, [], 2), (3, [], 2), (4, ["--grow"], 4), (1, [], 1)]:
        lay({NAME: plan(number)})
        command("baseline", FILE, *grow)
        assert [entry.get("count", 1) for entry in entries()] == [then]


def test_what_was_not_checked_stays_in_it(command: Command) -> None:
    lay({NAME: TWO, "b.lights.yaml": TWO})
    command("baseline", FILE)
    lay({NAME: PLAN, "b.lights.yaml": PLAN})
    command("baseline", FILE, NAME)
    assert {entry["file"] for entry in entries()} == {"b.lights.yaml"}


def test_a_baseline_that_stays_the_same_is_not_touched(command: Command) -> None:
    lay({NAME: TWO})
    command("baseline", FILE)
    before = Path(FILE).stat()
    assert command("baseline", FILE).out == "known.jsonl: 2 known findings, 0 put in, 0 taken out\n"
    assert (Path(FILE).stat().st_mtime_ns, Path(FILE).stat().st_ino) == (before.st_mtime_ns, before.st_ino)


def test_what_could_not_be_checked_is_status_2_and_stays(command: Command) -> None:
    lay({NAME: TWO})
    command("baseline", FILE)
    outcome = command("baseline", FILE, "nowhere.lights.yaml", NAME)
    assert (outcome.status, outcome.err) == (2, "lampwright: nowhere.lights.yaml: there is no such file\n")
    assert len(entries()) == 2


# --- Files that are none ----------------------------------------------------------------------------------------------

HEADER = '{"lampwright-baseline": 1}\n'
ENTRY = '{"file": "a", "rule": "r", "path": ["b"], "culprit": "c"}'
CORRUPT = {
    "": "it is no baseline: line 1 does not say so",
    "\n\n": "it is no baseline: line 1 does not say so",
    "[]\n": "it is no baseline: line 1 does not say so",
    "{}\n": "it is no baseline: line 1 does not say so",
    f"{ENTRY}\n": "it is no baseline: line 1 does not say so",
    "lighting-plan: 1\n": "line 1 is no JSON",
    '{"lampwright-baseline": 2}\n': "line 1 tells of a version that this program does not know",
    '{"lampwright-baseline": 1, "more": 1}\n': "line 1 tells of a version that this program does not know",
    f"{HEADER}{ENTRY[:-9]}\n": "line 2 is no JSON",
    f"{HEADER}{ENTRY}{ENTRY}\n": "line 2 is no JSON",
    f"{HEADER}{'[' * 100000}\n": "line 2 is no JSON",
    f"{HEADER}\n[1]\n": "line 3 is no entry of a baseline",
    f"{HEADER}{ENTRY[:-1]}, \"count\": 0}}\n": "line 2 is no entry of a baseline",
    f"{HEADER}{ENTRY[:-1]}, \"count\": true}}\n": "line 2 is no entry of a baseline",
    f"{HEADER}{ENTRY[:-1]}, \"count\": 1.5}}\n": "line 2 is no entry of a baseline",
    f"{HEADER}{ENTRY[:-1]}, \"more\": 1}}\n": "line 2 is no entry of a baseline",
    HEADER + ENTRY.replace('["b"]', "[1]"): "line 2 is no entry of a baseline",
    HEADER + ENTRY.replace('["b"]', '"b"'): "line 2 is no entry of a baseline",
    f"{HEADER}<<<<<<< HEAD\n{ENTRY}\n=======\n>>>>>>> x\n": "a merge has left a conflict on line 2",
}  # fmt: skip


@pytest.mark.parametrize("text", CORRUPT, ids=range(len(CORRUPT)))
def test_a_corrupt_baseline_is_one_line_and_is_left_alone(command: Command, text: str) -> None:
    lay({NAME: TWO, FILE: text})
    line = f"lampwright: known.jsonl: this baseline cannot be used: {CORRUPT[text]}\n"
    checked = command("check", "--baseline", FILE)
    assert (checked.status, checked.err) == (2, line)
    assert checked.out == "0 errors, 0 warnings, 0 notes in 0 files; 1 failure\n"
    assert command("check", "--baseline", FILE, "--format", "json").json["failures"] != []
    made = command("baseline", FILE)
    assert (made.status, made.out, made.err) == (2, "", line)
    assert Path(FILE).read_text("utf-8") == text


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: None, "there is no such baseline"),
        (lambda: Path(FILE).mkdir(), "it cannot be read: it is no regular file"),
        (lambda: os.mkfifo(FILE), "it cannot be read: it is no regular file"),
        (lambda: lay({FILE: b"\xff"}), "it cannot be read: it is no UTF-8"),
    ],
)
def test_a_baseline_that_cannot_be_read_is_one_line(command: Command, make, words: str) -> None:  # type: ignore[no-untyped-def]
    lay({NAME: TWO})
    make()
    outcome = command("check", "--baseline", FILE)
    assert (outcome.status, outcome.err) == (2, f"lampwright: known.jsonl: {words}\n")


def test_a_baseline_that_cannot_be_written_is_one_line(command: Command) -> None:
    lay({NAME: TWO, FILE: HEADER})
    Path(FILE).chmod(0o444)
    outcome = command("baseline", FILE, "--grow")
    assert (outcome.status, outcome.out, len(outcome.err.splitlines())) == (2, "", 1)
    assert "write-protected" in outcome.err
    outcome = command("baseline", "nowhere/known.jsonl")
    assert (outcome.status, outcome.out, len(outcome.err.splitlines())) == (2, "", 1)


# --- Merging ----------------------------------------------------------------------------------------------------------


def test_git_merges_two_branches_that_shrink_it(command: Command) -> None:
    names = [f"{letter}.lights.yaml" for letter in "abcdefgh"]
    lay(dict.fromkeys(names, TWO))
    command("baseline", FILE)
    start()
    for branch, name in (("one", names[1]), ("two", names[5])):
        git("checkout", "-q", "-b", branch, "main")
        lay({name: PLAN})
        command("baseline", FILE)
        commit(branch)
    git("merge", "--quiet", "one")
    outcome = command("check", "--baseline", FILE)
    assert (outcome.status, outcome.err) == (0, "")
    assert len(entries()) == 12


def test_what_a_merge_leaves_twice_counts_once() -> None:
    more = f'{ENTRY[:-1]}, "count": 3}}'
    entry = Entry("a", "r", ("b",), "c")
    assert read_baseline(f"{HEADER}{ENTRY}\n{more}\n{ENTRY}\n") == {entry: 3}
    assert isinstance(read_baseline(f"{HEADER}{ENTRY}\n{HEADER}"), Corrupt)


def test_findings_of_sheets_are_known_whoever_refers_to_them(command: Command) -> None:
    lay({NAME: REFERRING, "bench-six.decoder.yaml": FAULTY_SHEET})
    command("baseline", FILE)
    assert [entry["file"] for entry in entries()] == ["bench-six.decoder.yaml"]
    assert rules(command, NAME) == rules(command, "bench-six.decoder.yaml") == []


def test_standard_input_has_the_known_findings_of_its_file(tmp_path: Path) -> None:
    lay({NAME: TWO}, tmp_path)
    assert started("baseline", FILE, cwd=tmp_path).returncode == 0
    arguments = ("check", "--baseline", FILE, "-", "--stdin-name", NAME)
    assert started(*arguments, cwd=tmp_path, input=TWO.encode()).returncode == 0
