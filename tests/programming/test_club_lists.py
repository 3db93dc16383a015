"""The lists of the example club and of the language's own example: as they are printed, and as a decoder obeys them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from syrupy.assertion import SnapshotAssertion

from lampwright.cli import main
from programming.conditions import State, function_numbers, holds
from programming.decoder_interpreter import Decoder, read_sheet
from programming.random_plans import states

ROOT = Path(__file__).parent.parent.parent
PLANS = sorted(path.relative_to(ROOT).as_posix() for path in (ROOT / "examples" / "vehicles").glob("*.lights.yaml"))
LANGUAGE = "tests/language/quarry-switcher-7.lights.yaml"
# One for each decoder: the function matrix with decimal digits, by function with hex digits, by output with bits and pages.
PRINTED = [
    f"examples/vehicles/{name}.lights.yaml"
    for name in ("quarry-switcher-3", "inspection-trolley-41", "ore-hauler-12", "railcar-51")
]


@pytest.fixture(autouse=True)
def _at_root(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)


@pytest.mark.parametrize("plan", PRINTED)
def test_the_list_reads_as_before(plan: str, capsys: pytest.CaptureFixture[str], snapshot: SnapshotAssertion) -> None:
    assert main(["cvs", plan]) == 0
    assert capsys.readouterr().out == snapshot


def test_the_list_with_a_reset_reads_as_before(capsys: pytest.CaptureFixture[str], snapshot: SnapshotAssertion) -> None:
    assert main(["cvs", PRINTED[0], "--reset-first"]) == 0
    assert capsys.readouterr().out == snapshot


def printed(plan: str, capsys: pytest.CaptureFixture[str], *options: str) -> dict[str, Any]:
    assert main(["cvs", plan, "--format", "json", *options]) == 0
    document: dict[str, Any] = json.loads(capsys.readouterr().out)
    return document


@pytest.mark.parametrize("plan", [*PLANS, LANGUAGE])
def test_the_decoder_does_what_the_plan_says(plan: str, capsys: pytest.CaptureFixture[str]) -> None:
    text = read_sheet((ROOT / plan).read_text("utf-8"))
    decoder = Decoder.from_sheet(read_sheet(((ROOT / plan).parent / text["decoder"]).read_text("utf-8")))
    document = printed(plan, capsys)
    assert document["not-expressible"] == []
    assert decoder.write(document["cvs"]) == []
    assert_obeys(decoder, text)


@pytest.mark.parametrize("plan", PLANS)
def test_after_a_reset_it_does_so_whatever_was_in_the_decoder(plan: str, capsys: pytest.CaptureFixture[str]) -> None:
    text = read_sheet((ROOT / plan).read_text("utf-8"))
    decoder = Decoder.from_sheet(read_sheet(((ROOT / plan).parent / text["decoder"]).read_text("utf-8")))
    without = printed(plan, capsys)["cvs"]
    assert decoder.write({**each, "value": each["value"] ^ 0x55, "mask": 255, "page": None} for each in without) == []
    document = printed(plan, capsys, "--reset-first")
    # The rule read-only-cv is about registers of a sheet.
    assert document["not-expressible"] == []
    reset, *others = document["cvs"]
    assert ({key: reset[key] for key in ("cv", "value", "mask", "page", "default")}, others) == (
        {"cv": 8, "value": 8, "mask": 255, "page": None, "default": None},
        without,
    )
    assert decoder.write([reset]) == []
    assert decoder.address() == (3, False)
    assert decoder.write(others) == []
    assert_obeys(decoder, text)


def assert_obeys(decoder: Decoder, text: dict[str, Any]) -> None:
    """That it lights what the plan says in every state, at the plan's address."""
    for keys, forward, moving in states(tuple(text["keys"])):
        state = State(function_numbers(keys), forward, moving)
        for output in text["outputs"]:
            assert_same(text, output, state, decoder.output(output, keys, forward, moving))
    address = text["vehicle"]["address"]
    number, is_long = (int(address["long"]), True) if isinstance(address, dict) else (int(address), int(address) > 127)
    assert decoder.address() == (number, is_long)


def assert_same(text: dict[str, Any], output: str, state: State, look: Any) -> None:
    holding = [
        entry
        for key, data in text["keys"].items()
        for entry in data.get("turns-on", [])
        if output in ([entry["output"]] if isinstance(entry["output"], str) else entry["output"])
        and holds([key, entry.get("when", [])], state)
    ]
    assert (look is not None) == bool(holding)
    if look is not None:
        wanted = {"effect": "steady", "brightness": "100 %", **text["outputs"][output]}
        for entry in holding:
            wanted |= {what: entry[what] for what in ("effect", "brightness", "rate") if what in entry}
        assert look.effect == wanted["effect"]
        assert look.brightness == pytest.approx(float(wanted["brightness"].removesuffix(" %")) / 100, abs=0.5 / 20)
        assert "rate" not in wanted or f"{look.rate:g} per minute" == wanted["rate"]


def test_the_list_of_the_language_in_the_form_that_its_page_promises(capsys: pytest.CaptureFixture[str]) -> None:
    document = printed(LANGUAGE, capsys)
    assert set(document) == {"format", "plan", "cvs", "not-expressible"}
    assert (document["format"], document["plan"]) == (1, LANGUAGE)
    assert all(list(each) == ["cv", "value", "mask", "page", "default", "meaning"] for each in document["cvs"])
    assert {key: document["cvs"][0][key] for key in ("cv", "value", "mask", "page")} == {
        "cv": 33,
        "value": 1,
        "mask": 255,
        "page": None,
    }
    values = {each["cv"]: (each["value"], each["mask"]) for each in document["cvs"]}
    defaults = {each["cv"]: each["default"] for each in document["cvs"]}
    # By S-9.2.2, read, by the sheet, and by neither.
    assert (defaults[33], defaults[37], defaults[149], defaults[145], defaults[17]) == (1, 16, 63, None, None)
    # 8 tens and 7 ones: the first of the pair, forward with F0; 40 % of 63 is 25; bits that are not decided are left.
    assert (values[141], values[142], values[145], values[149]) == ((87, 255), (97, 255), (60, 127), (25, 63))
    assert (values[37], values[41], values[17], values[18], values[29]) == (
        (12, 255),
        (2, 255),
        (200, 255),
        (59, 255),
        (34, 35),
    )


@pytest.mark.parametrize("plan", PLANS)
def test_what_was_written_is_read_back_as_it_is_in_the_list(
    plan: str, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    file = tmp_path / "read.txt"
    file.write_text("".join(f"CV{each['cv']} = {each['value']}\n" for each in printed(plan, capsys)["cvs"]), "utf-8")
    assert main(["cvs", plan, "--read-back", str(file)]) == 0
    assert ", 0 different\n" in capsys.readouterr().out
