"""What an editor shows of words, quantities, CVs and parts; and that its figures are those that the command prints."""

from __future__ import annotations

import json
import time
from pathlib import Path

import pytest
from lsprotocol import types

from command import REFERRING
from command import SHEET as BENCH
from command import lay as write
from conversation import conversation
from lampwright.account.figures import plan_figures
from lampwright.kinds import kind_of
from lampwright.render.figures_as_json import render_figures_json
from lampwright.rules import RULES
from lampwright.units import Dimension, say
from lampwright_lsp.documents import Documents
from lampwright_lsp.features import hover as hovers
from lampwright_lsp.features.hover import hover
from lsp_seam import FOLDER, documents, lay, place, snapshot

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
SHEET = """\
decoder-sheet: 1
name: 5 V
outputs:
  white: {number: 1, limit: 100 mA, surge: 0.4 A}
  aux3: {number: 2, limit: 100 mA}
keys: {highest: 28, mapping: function-matrix}
effects:
  steady: {code: 0}
  slow fade: {code: 3, rate: 30 to 120 per minute}
registers:
  - cv: {white: 315, aux3: 316}
    page: {CV31: 16, CV32: 0}
    holds:
      - {what: effect, digit: tens}
      - {what: condition, digit: ones, codes: [{code: 0, when: []}, {code: 4, when: not forward}]}
    default: 0
  - {cv: {white: 120}, holds: [{what: brightness, bits: 0 to 4, full: 20}, {what: rate, bits: 5 to 7, per-step: 20 per minute}]}
  - {cv: 140, holds: [{what: rate, bits: 0 to 3, codes: [{code: 1, rate: 60 per minute}]}]}
"""
PARTS = """\
parts-catalogue: 1
lamps:
  white chip: {led: {forward-voltage: 3 V, at: 10 mA, maximum-current: 20 mA, colour: warm white}}
resistors:
  - {value: 1.5 kohm, rating: 1/4 W, tolerance: 1 %}
  - {value: 2.7 kohm}
"""
PLAN = """\
vehicle: {name: 12 V, scale: HO}
supply: {track: 14 V to 15 V}
decoder: bench.decoder.yaml
parts: [club.parts.yaml]
lamps:
  cab lamp: {part: white chip}
outputs:
  white: {circuit: [1.5 kohm, cab lamp], effect: slow fade, rate: 40 per minute}   # 10 mA
keys:
  F0: {label: 20 mA, turns-on: [{output: white, when: [forward, {any: [not stopped, not F3]}]}]}
"""
SETTINGS = """\
lampwright: 1
keys: {F0: 20 mA}
levels: {hot-lamp: ignore, dim-led: note}
inside: 40 °C
"""
FILES = {
    "plan.lights.yaml": PLAN,
    "bench.decoder.yaml": SHEET,
    "club.parts.yaml": PARTS,
    "lampwright.yaml": SETTINGS,
}


def club() -> Documents:
    """The club's files, judged as they are in an editor."""
    made = documents(FILES)
    for name in FILES:
        made.judged(FOLDER + name)
    return made


def asked(made: Documents, name: str, offset: int) -> types.Hover | None:
    shot = made.snapshot(FOLDER + name)
    assert shot is not None
    position = shot.positions.position(shot.source, offset)
    answer = hovers.FEATURE.answer(made, types.HoverParams(types.TextDocumentIdentifier(shot.uri), position))
    assert answer is None or isinstance(answer, types.Hover)
    return answer


def said(name: str, words: str, into: int = 1) -> list[str]:
    """What is said of what stands `into` characters behind the start of `words`; nothing where nothing is."""
    found = asked(club(), name, FILES[name].index(words) + into)
    if found is None:
        return []
    assert isinstance(found.contents, types.MarkupContent)
    return found.contents.value.splitlines()


# --- Quantities -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "words", "lines"),
    [
        ("bench.decoder.yaml", "100 mA", ["100 mA", "also written 0.1 A"]),
        ("bench.decoder.yaml", "0.4 A", ["0.4 A", "also written 400 mA"]),
        ("bench.decoder.yaml", "per-step: 20", ["20 per minute", "once in 3 s"]),
        ("bench.decoder.yaml", "30 to 120", ["30 to 120 per minute", "once in 2 s to once in 0.5 s"]),
        ("club.parts.yaml", "10 mA", ["10 mA", "also written 0.01 A"]),
        ("club.parts.yaml", "1/4 W", ["1/4 W", "also written 250 mW or 0.25 W"]),
        # IEC 60062: three digits and one nought for 1 %, brown being that tolerance.
        (
            "club.parts.yaml",
            "1.5 kohm",
            ["1.5 kohm", "also written 1k5 or 1500 ohm", "bands: brown, green, black, brown, brown"],
        ),
        ("club.parts.yaml", "2.7 kohm", ["2.7 kohm", "also written 2k7 or 2700 ohm"]),
        ("plan.lights.yaml", "14 V to 15 V", ["14 V to 15 V", "usually 14.5 V, the middle"]),
        ("plan.lights.yaml", "40 per", ["40 per minute", "once in 1.5 s"]),
    ],
)
def test_a_quantity_as_it_might_be_written(name: str, words: str, lines: list[str]) -> None:
    assert said(name, words, len(words) - 1) == lines


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("bench.decoder.yaml", "5 V"),
        ("plan.lights.yaml", "12 V"),
        ("plan.lights.yaml", "20 mA"),
        ("plan.lights.yaml", "10 mA"),
        ("plan.lights.yaml", "HO}"),
        ("lampwright.yaml", "20 mA"),
        ("lampwright.yaml", "40 °C"),
        ("lampwright.yaml", "ignore"),
        ("club.parts.yaml", "3 V"),
        ("club.parts.yaml", "1 %"),
        ("club.parts.yaml", "value"),
    ],
)
def test_names_comments_and_what_has_one_spelling_are_silent(name: str, words: str) -> None:
    assert said(name, words) == []


@pytest.mark.parametrize("text", ["", " ", "5 V", "- 5 V", "a: [", "a: 5 volt\n", "vehicle: {name: 1 V}\n", "\ufeff"])
def test_texts_that_are_hardly_plans(text: str) -> None:
    for name in FILES:
        shot = snapshot(text, name)
        for offset in range(len(shot.source.text) + 1):
            position = shot.positions.position(shot.source, offset)
            hover(shot, types.HoverParams(types.TextDocumentIdentifier(shot.uri), position))


# --- Words ------------------------------------------------------------------------------------------------------------


def test_a_condition() -> None:
    assert said("plan.lights.yaml", "forward") == [
        "forward",
        "while the direction is forward, also at a standstill",
        "the same as not reverse",
    ]
    assert said("plan.lights.yaml", "not stopped") == ["not stopped", "while the vehicle moves", "the same as moving"]
    assert said("bench.decoder.yaml", "not forward")[-1] == "the same as reverse"
    # A key tells what burns by it.
    assert said("plan.lights.yaml", "not F3", 5)[0] == "F3"


def test_a_rule_says_why_and_what_the_settings_make_of_it() -> None:
    first, *others = said("lampwright.yaml", "hot-lamp")
    assert first == "hot-lamp (warning at most)"
    assert others[0] == "A bulb of much power in a shell of plastic or resin."
    assert others[1].startswith("Nearly all that a bulb takes becomes heat, right behind the plastic.")
    assert others[2:] == ["by the settings it is ignored"]
    assert said("lampwright.yaml", "dim-led")[-1] == "by the settings it is of level note"


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_every_rule_says_its_page_up_to_the_examples(rule: object) -> None:
    name = str(getattr(rule, "name", ""))
    text, position = place(f"# lampwright: allow |{name} -- so that it is named\nvehicle: {{name: Tipper 9}}\n")
    shot = snapshot(text)
    found = hover(shot, types.HoverParams(types.TextDocumentIdentifier(shot.uri), position))
    assert found is not None
    assert isinstance(found.contents, types.MarkupContent)
    assert not any(
        line.startswith(("Bad", "Good", "Settings", "Source", " ")) for line in found.contents.value.split("\n")
    )


# --- CVs and parts ----------------------------------------------------------------------------------------------------


def test_the_cv_of_a_register_and_what_the_plan_writes_there() -> None:
    assert said("bench.decoder.yaml", "315") == [
        "CV315 of output white",
        "behind CV31 = 16, CV32 = 0",
        "the tens digit: the effect, 0 steady, 3 slow fade",
        "the last decimal digit: the condition, 0 none, 4 reverse",
        "on delivery 0: white: steady, no condition",
        # The fade is code 3; the key asks for no condition that the register has.
        "12 V: CV315 = 30: white: slow fade, no condition (page 16/0)",
    ]
    assert said("bench.decoder.yaml", "316")[-1] == "12 V: leaves it as it is"
    assert said("bench.decoder.yaml", "120}")[1:3] == [
        "bits 0 to 4: the brightness, 20 for all of it",
        "bits 5 to 7: the rate, 20 per minute a step",
    ]
    assert said("bench.decoder.yaml", "140")[:2] == [
        "CV140 of the whole decoder",
        "bits 0 to 3: the rate, 1 60 per minute",
    ]


def test_a_sheet_that_no_plan_names_says_what_it_holds() -> None:
    made = documents({"bench.decoder.yaml": SHEET})
    found = asked(made, "bench.decoder.yaml", SHEET.index("315"))
    assert found is not None
    assert "12 V" not in str(found.contents)


def test_a_sheet_inside_a_plan() -> None:
    inner = (
        "{outputs: {white: {number: 1}}, effects: {fade: {code: 3}}, keys: {mapping: function-matrix},"
        " registers: [{cv: {white: 115}, holds: [{what: effect, bits: 0 to 7}]}]}"
    )
    text = PLAN.replace("bench.decoder.yaml", inner).replace("slow fade, rate: 40 per minute", "fade")
    text, position = place(text.replace("115", "1|15"))
    shot = snapshot(text, files={"club.parts.yaml": PARTS})
    found = hover(shot, types.HoverParams(types.TextDocumentIdentifier(shot.uri), position))
    assert found is not None
    assert isinstance(found.contents, types.MarkupContent)
    assert found.contents.value.splitlines()[-1] == "12 V: CV115 = 3: white: fade"


def test_a_part_of_the_catalogue() -> None:
    assert said("club.parts.yaml", "white chip") == ["white chip", "warm white LED, 3 V at 10 mA, at most 20 mA"]
    assert said("plan.lights.yaml", "white chip") == said("club.parts.yaml", "white chip")


def test_no_other_file_is_answered() -> None:
    made = club()
    lay(made, "notes.yaml", PLAN)
    position = types.Position(0, 12)
    assert (
        hovers.FEATURE.answer(made, types.HoverParams(types.TextDocumentIdentifier(FOLDER + "notes.yaml"), position))
        is None
    )


def test_the_server_knows_what_a_plan_that_is_not_open_writes(tmp_path: Path) -> None:
    registers = "registers: [{cv: {white: 115}, holds: [{what: effect, bits: 0 to 7}]}]"
    sheet = BENCH.replace("registers: []", f"effects: {{steady: {{code: 0}}, fade: {{code: 3}}}}\n{registers}")
    write({"loco.lights.yaml": REFERRING, "bench-six.decoder.yaml": sheet}, tmp_path)
    line = sheet[: sheet.index("115")].count("\n")
    with conversation(tmp_path) as talk:
        talk.initialize()
        talk.ask("workspace/diagnostic", {"previousResultIds": []})
        uri = talk.open("bench-six.decoder.yaml", sheet)
        place_of_cv = {"line": line, "character": registers.index("115") + 1}
        found = talk.about("textDocument/hover", uri, position=place_of_cv)
        first, holds, plan = found["contents"]["value"].splitlines()
        assert (first, holds) == ("CV115 of output white", "bits 0 to 7: the effect, 0 steady, 3 fade")
        assert plan.endswith(": CV115 = 0: white: steady")
        assert found["range"]["start"]["character"] == registers.index("115")
        assert talk.about("textDocument/hover", uri, position={"line": line, "character": 0}) is None
        assert talk.end() == 0


# --- Figures ----------------------------------------------------------------------------------------------------------


def example_club() -> dict[str, str]:
    """The texts of all example files, by name."""
    found = (path for path in sorted(EXAMPLES.rglob("*.yaml")) if kind_of(path.name))
    return {path.relative_to(EXAMPLES).as_posix(): path.read_text("utf-8", "replace") for path in found}


@pytest.mark.parametrize("path", sorted(EXAMPLES.rglob("*.lights.yaml")), ids=lambda path: path.name)
def test_every_element_says_the_figures_of_the_command(path: Path) -> None:
    shot = documents(example_club()).snapshot(FOLDER + path.relative_to(EXAMPLES).as_posix())
    assert shot is not None
    if shot.plan is None:
        return
    figures = plan_figures(shot.plan)
    printed = json.loads(render_figures_json(path.name, figures))["outputs"]
    for output, each in figures.outputs.items():
        for element, object_ in zip(each.elements, printed[output]["elements"], strict=True):
            if element.kind not in {"resistor", "led", "bulb"}:
                continue
            position = shot.positions.position(shot.source, element.facts.span.start + 1)
            found = hover(shot, types.HoverParams(types.TextDocumentIdentifier(shot.uri), position))
            assert found is not None, (output, element.facts.span.text)
            text = str(getattr(found.contents, "value", ""))
            for quantity, dimension in (("current", Dimension.CURRENT), ("voltage", Dimension.VOLTAGE)):
                value = object_[quantity]["usual"]
                assert (say(value, dimension) if value is not None else "unlimited") in text


def test_a_pointer_after_an_edit_costs_no_more_than_a_check() -> None:
    path = EXAMPLES / "vehicles" / "ore-hauler-12.lights.yaml"
    text = path.read_text()
    made = documents(example_club())
    checks, answers = [], []
    for number in range(7):
        lay(made, "vehicles/ore-hauler-12.lights.yaml", f"{text}# {number}\n", version=2 * number)
        start = time.perf_counter()
        shot = made.snapshot(FOLDER + "vehicles/ore-hauler-12.lights.yaml")
        assert shot is not None
        assert not shot.report.failures
        checks.append(time.perf_counter() - start)
        lay(made, "vehicles/ore-hauler-12.lights.yaml", f"{text}# {number} again\n", version=2 * number + 1)
        start = time.perf_counter()
        found = asked(made, "vehicles/ore-hauler-12.lights.yaml", text.index("front headlamp]"))
        answers.append(time.perf_counter() - start)
        assert found is not None
        assert "at output white: " in str(found.contents)
    # The quickest of each: what else the machine does in between is no matter.
    assert min(answers) <= min(checks), (answers, checks)
