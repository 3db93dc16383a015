"""Files of values that were read out of a decoder, in every form; what is none in them, told with its line."""

from __future__ import annotations

from pathlib import Path

import pytest

from command import PLAN, Command, lay
from lampwright.cli import main
from lampwright.engine.read_back import read_back
from lampwright.text import Source

LOCO = "loco.lights.yaml"
ROOT = Path(__file__).parent.parent.parent
PLANS = sorted(path.relative_to(ROOT).as_posix() for path in (ROOT / "examples" / "vehicles").glob("*.lights.yaml"))

FORMS = [
    # Tables, with a heading and without.
    "cv,value\n35,12\n36,4\n", "CV;Value\n35;12\n36;4\n", "cv\tvalue\n35\t12\n36\t4\n", "35,12\n36,4", "35;12\n36;4", "35\t12\n36\t4",
    '"cv","value"\n"35","12"\n"36","4"\n', '"35";"12"\n"36";"4"\n', "value,cv\n12,35\n4,36\n", "35,12,,\n36,4,,\n,,,\n",
    "name,cv,meaning,value\nwhite,35,\"1, 2\",12\nyellow,CV36,,0x04\n", "cv;value;note\n# read on Monday\n\n35;12;\n36;4\n;;\n",
    "\tCV\tvalue\r\n\t35\t12\r\n\t36\t4\r\n",
    # YAML mappings.
    "35: 12\n36: 4\n", "---\n# read on Monday\nCV35: 12\nCV36: 4\n", "'35': '12'\n\"CV36\": 4\n", "{35: 12, CV36: 4}", "- 35: 12\n- CV36: 4\n",
    "cvs:\n  35: 12\n  CV36: 4\n", "cvs:\n- {cv: 35, value: 12}\n- cv: 36\n  value: 4\n", "- {cv: 35, value: 12}\n- {cv: 36, value: 0x04}\n",
    "- cv: 35\n  value: 12\n- cv: 36\n  value: 4\n",
    # JSON.
    '{"35": 12, "CV36": 4}', '[{"cv": 35, "value": 12}, {"cv": 36, "value": 4}]', '{"cvs": [{"cv": 35, "value": 12}, {"cv": 36, "value": 4}]}',
    '{\n"format": 1, "plan": "x", "cvs": [{"cv": 35, "value": 12, "mask": 3, "page": null, "meaning": "7"}, {"cv": "36", "value": "4"}], "not-expressible": [{"rule": "x"}]}',
    '{"cvs": {"35": 12}, "36": 4, "note": "read on Monday"}', '{"35": 12, "35": 12, "36": 4}',
]  # fmt: skip


@pytest.mark.parametrize("text", FORMS)
def test_forms_of_a_file(text: str) -> None:
    found = read_back(Source("read.txt", text))
    assert (found.values, found.strays) == ({(None, 35): 12, (None, 36): 4}, ())


STRAYS = [
    ("cv,value\n35,12\nhello\n", [(3, "no-cv")]),
    ("cv,value,note\n35,12\n36\n256,256\n2000,1\nx,1,\n", [(3, "no-cv"), (4, "value"), (5, "cv"), (6, "no-cv")]),
    ("cv,value,cv31,cv32\n300,1,0,40\n301,1,0,\n302,1,256,0\n303,1,,\n", [(3, "page"), (4, "page")]),
    ("35: 12\nplan: x\n36: twelve\n", [(2, "no-cv"), (3, "no-cv")]),
    ("{\n35: 12,\nCV2000: 1,\n36: 300,\n37: {}\n}\n", [(3, "cv"), (4, "value"), (5, "no-cv")]),
    ('[\n{"cv": 35, "value": 12},\n{"cv": 36},\n{"cv": 37, "value": 1.5},\n"hello",\n[[1]]\n]', [(3, "no-cv"), (4, "no-cv"), (5, "no-cv"), (6, "no-cv")]),
    ('[\n{"cv": 300, "value": 1, "page": [0]},\n{"cv": 300, "value": 1, "page": [0, 256]},\n{"cv": 35, "value": 12, "page": "x"}]',
     [(2, "page"), (3, "page"), (4, "page")]),
    ('{"35": 12,\n"35": 13}', [(2, "again")]),
    ('{"35": 12,\n"CV35": 13}', [(2, "again")]),
    ('{"35": true, "36": null, "37": -1}', [(1, "no-cv"), (1, "no-cv"), (1, "no-cv")]),
    ('{\n"cvs": [{"cv": 35, "value": 12}', [(2, "syntax")]),
    ("{35: *other}", [(1, "syntax")]),
    ("{35:12}", [(1, "syntax")]),
    ("cvs: nothing\n", [(1, "no-cv")]),
]  # fmt: skip


@pytest.mark.parametrize(("text", "strays"), STRAYS)
def test_what_is_no_value_is_told_with_its_line(text: str, strays: list[tuple[int, str]]) -> None:
    found = read_back(Source("read.txt", text))
    assert [(stray.line, stray.why) for stray in found.strays] == strays
    # What is read all the same is right.
    assert found.values.items() <= {(None, 35): 12, (None, 303): 1, ((0, 40), 300): 1}.items()


@pytest.mark.parametrize("text", [
    "cv,value,cv31,cv32\n31,16,,\n32,0,,\n257,1,,\n258,2,16,0\n259,3,0,40\n",
    '[{"cv": 31, "value": 16}, {"cv": 32, "value": 0}, {"cv": 257, "value": 1, "page": null}, {"cv": 258, "value": 2}, {"cv": 259, "value": 3, "page": [0, 40]}]',
    "{CV31: 16, CV257 (page 16/0): 9, 257: 1, CV32: 0, 258: 2, CV259 (page 0/40): 3}",
])  # fmt: skip
def test_a_page_that_is_named_counts_before_one_that_was_chosen(text: str) -> None:
    values = dict(read_back(Source("read.txt", text)).values)
    values.pop(((16, 0), 257), None)
    assert values == {(None, 257): 1, ((16, 0), 258): 2, ((0, 40), 259): 3}


@pytest.mark.parametrize("text", [
    "{" * 300, "[" * 5000, '{"cvs": ' * 90 + "1" + "}" * 90, "cv,value,x\n" + "1" * 200_000 + ",1\n", "cv,value,x\n\"" + "\n35,12" * 50, "{\x00: 1}", "cvs:",
])  # fmt: skip
def test_hostile_files_are_told_and_no_more(text: str) -> None:
    found = read_back(Source("read.txt", text))
    assert found.strays
    assert len(found.values) <= 1


@pytest.mark.parametrize("form", ["json", "csv"])
@pytest.mark.parametrize("plan", PLANS)
def test_what_the_list_prints_is_read_back_as_it_is(
    plan: str, form: str, capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    assert main(["cvs", plan, "--format", form]) == 0
    file = tmp_path / f"read.{form}"
    file.write_text(capsys.readouterr().out, "utf-8")
    assert main(["cvs", plan, "--read-back", str(file)]) == 0
    said = capsys.readouterr()
    assert ", 0 different\n" in said.out
    assert said.err == ""


def test_a_file_with_a_byte_order_mark_and_one_junk_line(command: Command) -> None:
    lay({LOCO: PLAN, "read.csv": b"\xef\xbb\xbfcv;value\r\n33;1\r\nend\r\n", "read.json": '{"33": 1,\n"CV99999": 1}'})
    outcome = command("cvs", LOCO, "--read-back", "read.csv")
    assert (outcome.status, outcome.err) == (
        2,
        'lampwright: read.csv:3: "end" is no CV with a value, such as CV35 = 12\n',
    )
    assert "1 CV as in the list" in outcome.out
    outcome = command("cvs", LOCO, "--read-back", "read.json")
    assert outcome.status == 2
    assert outcome.err.startswith('lampwright: read.json:2: ""CV99999": 1" names a CV that there is none of')
    lay({"read.json": '{"33": 1'})
    assert (
        command("cvs", LOCO, "--read-back", "read.json").err
        == 'lampwright: read.json:1: "{" cannot be read as YAML or JSON\n'
    )


# --- Differences ------------------------------------------------------------------------------------------------------


def test_a_difference_is_decoded_and_bits_that_the_plan_leaves_open_stay(command: Command) -> None:
    lay({LOCO: PLAN.replace("{output: white, when: forward}", "{output: white}"), "read.json": '{"33": 12, "29": 60}'})
    outcome = command("cvs", LOCO, "--read-back", "read.json")
    said = " ".join(outcome.out.split())
    assert outcome.status == 1
    assert "CV33 = 12: F0 forward turns on outputs 3 and 4; the plan says 1: F0 forward turns on white" in said
    # Of CV29 the plan decides bits 0 and 1 only: 60 is 0011 1100, and 62 the same with bit 1 set.
    assert "CV29 = 60: direction as built; F0 does not travel in the function group" in said
    assert "the plan says 62: direction as built; F0 travels in the function group" in said
    document = command("cvs", LOCO, "--read-back", "read.json", "--format", "json").json
    assert [(each["cv"], each["value"], each["wanted"]) for each in document["different"]] == [
        (33, 12, 1),
        (29, 60, 62),
    ]


@pytest.mark.parametrize(
    ("value", "wanted"), [(0, 2), (7, 2), (110, 112), (255, 252), (193, 192), (2, None), (212, None)]
)
def test_digits_that_the_plan_leaves_open_stay(command: Command, value: int, wanted: int | None) -> None:
    # The ones hold the effect, the tens a condition that the plan leaves open, the hundreds nothing that is known.
    registers = "registers: [{cv: {white: 150}, holds: [{what: effect, digit: ones}]}], effects: {steady: {code: 2}}"
    lay({LOCO: PLAN.replace("registers: []", registers), "read.txt": f"150 {value}\n"})
    outcome = command("cvs", LOCO, "--read-back", "read.txt", "--format", "json")
    assert outcome.status == (0 if wanted is None else 1)
    assert [each["wanted"] for each in outcome.json["different"]] == ([] if wanted is None else [wanted])
