"""`lampwright cvs`: what it prints, its status, values that were read out in all forms, and lines that are none."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from command import PLAN, Command, lay
from lampwright.engine.read_back import read_back
from lampwright.text import Source

UNSAYABLE = PLAN.replace("when: forward", "when: moving")
UNREADABLE = "vehicle: {name: [\n"
LOCO = "loco.lights.yaml"


@pytest.mark.parametrize(("text", "status"), [(PLAN, 0), (UNSAYABLE, 1), (UNREADABLE, 2)])
def test_the_status_says_whether_all_can_be_programmed(command: Command, text: str, status: int) -> None:
    lay({LOCO: text})
    assert command("cvs", LOCO).status == status
    assert command("cvs", LOCO, "--format", "json").status == status


@pytest.mark.parametrize(("path", "complaint"), [
    ("nowhere.lights.yaml", "nowhere.lights.yaml: there is no such file"),
    ("", "an empty path names no file"),
    (".", ".: it is a folder"),
    ("mast.decoder.yaml", "mast.decoder.yaml: this is no lighting plan, whose name would end in .lights.yaml"),
    ("bad.lights.yaml", "bad.lights.yaml: there is no plan in it that can be read; `lampwright check` says why"),
])  # fmt: skip
def test_a_path_that_is_no_plan_is_one_line(command: Command, path: str, complaint: str) -> None:
    lay({"mast.decoder.yaml": "decoder-sheet: 1\n", "bad.lights.yaml": "- 1\n"})
    outcome = command("cvs", path)
    assert (outcome.status, outcome.out, outcome.err) == (2, "", f"lampwright: {complaint}\n")


def test_what_cannot_be_programmed_is_listed_with_its_place(command: Command) -> None:
    lay({LOCO: UNSAYABLE})
    outcome = command("cvs", LOCO)
    assert 'loco.lights.yaml:9:59: this decoder cannot turn on "white" by F0 when "moving"' in outcome.out
    (found,) = command("cvs", LOCO, "--format", "json").json["not-expressible"]
    assert (found["rule"], found["line"], found["column"]) == ("inexpressible-condition", 9, 59)


def test_other_errors_are_told_in_a_line_and_the_list_is_printed(command: Command) -> None:
    lay({LOCO: PLAN.replace("[1.5 kohm 1/4 W, front headlamp]", "[front headlamp]")})
    outcome = command("cvs", LOCO)
    assert outcome.status == 0
    assert outcome.err.startswith("lampwright: loco.lights.yaml: 1 error in it besides;")
    assert "F0 forward turns on white" in outcome.out


def test_each_cv_stands_there_with_its_default_and_its_value_in_three_ways(command: Command) -> None:
    lay({LOCO: PLAN.replace("registers: []", 'registers: [{cv: {white: 150}, holds: [{what: brightness, bits: 0 to 5, full: 63}], default: 40}]')
        .replace("{name: Quarry switcher 7}", "{name: Quarry switcher 7, address: 2107}")})  # fmt: skip
    lines = command("cvs", LOCO).out.splitlines()
    assert "    CV     default  value  hex  bits       meaning" in lines
    assert "    34           2      0  00   0000 0000  F0 reverse turns on nothing" in lines
    assert "   150          40     63  3F   0011 1111  white: 100 %" in lines
    assert "    17     unknown    200  C8   1100 1000  high byte of the long address 2107" in lines
    assert any(line.startswith("    29  read first     34  22   0010 0010  set bit 0") for line in lines)


def test_a_reset_comes_first_and_says_what_it_costs(command: Command) -> None:
    lay({LOCO: PLAN})
    outcome = command("cvs", LOCO, "--reset-first")
    said = " ".join(outcome.out.split())
    assert (outcome.status, outcome.err) == (0, "")
    assert (
        "only if the decoder's manual says so, and on the programming track only. From then on the address is 3" in said
    )
    rows = [line.split() for line in outcome.out.partition("meaning\n")[2].splitlines()]
    assert rows[0][:5] == ["8", "8", "08", "0000", "1000"]
    # No sheet and no standard says what the rest of CV29 holds, before a reset or after it.
    assert any(row[:3] == ["29", "read", "first"] for row in rows)
    assert "reset" not in command("cvs", LOCO).out


@pytest.mark.parametrize("cv", [7, 8, 0, 1025])
def test_a_sheet_cannot_have_such_a_cv_written(command: Command, cv: int) -> None:
    # 8 as a code in CV8 would be a reset.
    register = f"registers: [{{cv: {{white: {cv}}}, holds: [{{what: effect, digit: ones}}], default: 0}}], effects: {{steady: {{code: 8}}}}"
    lay({LOCO: PLAN.replace("registers: []", register)})
    for form in ("json", "packets"):
        assert command("cvs", LOCO, "--format", form).status == 1
    document = command("cvs", LOCO, "--format", "json", "--reset-first").json
    assert [each["cv"] for each in document["cvs"]] == [8, *range(33, 47), 29]
    assert [each["rule"] for each in document["not-expressible"]] == [
        "read-only-cv" if cv in (7, 8) else "cv-out-of-range"
    ]


def test_a_set_is_to_be_programmed_alone(command: Command) -> None:
    lay({LOCO: PLAN.replace("{name: Quarry switcher 7}", "{name: Quarry switcher 7, set: quarry railcar}")})
    assert "Put this vehicle on the programming track alone" in command("cvs", LOCO).out


def test_names_cannot_move_the_cursor(command: Command) -> None:
    lay({LOCO: PLAN.replace("{name: Quarry switcher 7}", '{name: Quarry switcher 7, set: "a\\e[31mb"}')})
    assert "\x1b" not in command("cvs", LOCO).out


# --- Values that were read out ----------------------------------------------------------------------------------------

FORMS = [
    "CV33 = 1", "33 = 1", "cv33:1", "CV 33: 1", "33,1", "33;1", "33 1", "33\t1", "- 33: 1", "  CV33=0x01  ", "33 = 1  # as is",
    "CV31 = 0\nCV32 = 0\nCV33 = 1",
]  # fmt: skip


@pytest.mark.parametrize("text", FORMS)
def test_forms_of_a_value(text: str) -> None:
    found = read_back(Source("read.txt", f"CV,Value\n# read on Monday\n\n{text}\n"))
    assert (found.values, found.strays) == ({(None, 33): 1}, ())


STRAYS = [
    ("CV33", "no-cv"), ("CV33 =", "no-cv"), ("33 = one", "no-cv"), ("33 = 1.5", "no-cv"), ("33 = -1", "no-cv"), ("33 = 1 2", "no-cv"),
    ("1025 = 1", "cv"), ("0 = 1", "cv"), ("33 = 256", "value"), ("33 = 0x100", "value"), ("CV301 (page 300/0) = 1", "page"),
    ("33 = 1\n33 = 2", "again"), ("١٢ = 1", "no-cv"), ("33 = ١", "no-cv"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "why"), STRAYS)
def test_what_is_no_value_is_told_and_nothing_is_guessed(text: str, why: str) -> None:
    found = read_back(Source("read.txt", text))
    assert [stray.why for stray in found.strays] == [why]


def test_pages_are_those_that_were_chosen_before() -> None:
    text = "CV257 = 1\nCV31 = 16\nCV32 = 0\nCV257 = 2\nCV32 = 1\nCV257 = 3\nCV300 (page 0/40) = 4\nCV513 = 5\n"
    expected = {(None, 257): 1, ((16, 0), 257): 2, ((16, 1), 257): 3, ((0, 40), 300): 4, (None, 513): 5}
    assert read_back(Source("read.txt", text)).values == expected


def test_differences_are_told_in_words(command: Command) -> None:
    lay({LOCO: PLAN, "read.txt": "CV33 = 3\nCV34 = 0\nCV29 = 14\nCV40 = 0\nCV3 = 20\n"})
    outcome = command("cvs", LOCO, "--read-back", "read.txt")
    assert outcome.status == 1
    # Of CV29 the plan decides bits 0 and 1 only.
    assert outcome.out.startswith("loco.lights.yaml: 3 CVs as in the list, 1 different, 11 not read\n")
    assert "CV33 = 3: F0 forward turns on white and output 2; the plan says 1: F0 forward turns on white" in outcome.out
    assert "CV3 = 20: nothing that the sheet or S-9.2.2 names" in outcome.out
    document = command("cvs", LOCO, "--read-back", "read.txt", "--format", "json").json
    (different,) = document["different"]
    assert (different["cv"], different["value"], different["wanted"], different["mask"]) == (33, 3, 1, 255)


def test_a_headlamp_that_would_flicker_is_told(command: Command) -> None:
    lay({LOCO: PLAN, "read.txt": "CV29 = 4\n"})
    outcome = command("cvs", LOCO, "--read-back", "read.txt")
    said = " ".join(outcome.out.split())
    assert outcome.status == 1
    assert "F0 does not travel in the function group but in the speed step, so the headlamp flickers" in said
    assert "F0 does not travel" not in command("cvs", LOCO).out


def test_equal_values_are_status_0(command: Command) -> None:
    lay({LOCO: PLAN, "read.txt": "33 = 1\n"})
    assert command("cvs", LOCO, "--read-back", "read.txt").status == 0


def test_lines_that_are_no_values_are_told_each_and_the_rest_is_compared(command: Command) -> None:
    lay({LOCO: PLAN, "read.txt": "33 = 1\nhello\nCV2000 = 1\n"})
    outcome = command("cvs", LOCO, "--read-back", "read.txt")
    assert (outcome.status, outcome.err.count("\n")) == (2, 2)
    assert outcome.err.startswith('lampwright: read.txt:2: "hello" is no CV with a value, such as CV35 = 12\n')
    assert "1 CV as in the list" in outcome.out


def test_a_flood_of_such_lines_is_cut(command: Command) -> None:
    lay({LOCO: PLAN, "read.txt": "x\n" * 5000})
    assert command("cvs", LOCO, "--read-back", "read.txt").err.count("\n") == 11


@pytest.mark.parametrize("data", [b"\xff\xfe3\x003\x00", b"33 = \xff\n", b"3" * 2_000_001])
def test_a_file_that_is_no_text_is_one_line(command: Command, data: bytes) -> None:
    lay({LOCO: PLAN, "read.txt": data})
    outcome = command("cvs", LOCO, "--read-back", "read.txt")
    assert (outcome.status, outcome.err.count("\n")) == (2, 1)


def test_values_become_keys(command: Command) -> None:
    lay({LOCO: PLAN, "read.txt": "".join(f"{cv} = 0\n" for cv in range(34, 47)) + "33 = 1\n"})
    outcome = command("cvs", LOCO, "--read-back", "read.txt", "--as-keys")
    assert outcome.status == 0
    assert outcome.out.endswith("keys:\n  F0:\n    turns-on:\n      - {output: white, when: forward}\n")
    assert command("cvs", LOCO, "--as-keys").status == 2


def test_a_plan_is_never_changed(command: Command, tmp_path: Path) -> None:
    lay({LOCO: PLAN, "read.txt": "33 = 3\n"})
    command("cvs", LOCO, "--read-back", "read.txt")
    assert (tmp_path / LOCO).read_text("utf-8") == PLAN
    assert json.loads(command("cvs", LOCO, "--format", "json").out)["format"] == 1
