"""`lampwright bench`: what the sheet says in each form, for whom, and with which exit status."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from html.parser import HTMLParser
from math import isclose
from pathlib import Path
from typing import Any

import pytest
from markdown_it import MarkdownIt

from command import BURNING, PLAN, SPARE, Command, lay
from lampwright.account.bench import LEAST_MARGIN, MARGIN, BenchSheet, bench_sheet
from lampwright.analysis.logic.questions import VARIABLES, State
from lampwright.analysis.programming import programming_facts
from lampwright.diagnostics import Report
from lampwright.engine import plan_of
from lampwright.harmless import visible
from lampwright.model.circuit import Chain, PlacedLamp
from lampwright.model.lighting import LightingPlan
from lampwright.model.settings import Settings
from lampwright.render.bench_as_html import render_bench_html
from lampwright.render.bench_as_json import render_bench_json
from lampwright.render.bench_as_markdown import render_bench_markdown
from lampwright.text import Source
from test_hostile_texts import HOSTILE

EXAMPLES = Path(__file__).parent.parent / "examples"
VEHICLES = sorted((EXAMPLES / "vehicles").glob("*.lights.yaml"))
MISTAKES = sorted((EXAMPLES / "mistakes").glob("*.lights.yaml"))
NAME = "loco.lights.yaml"
TWO = """\
vehicle: {name: Steam crane 9}
supply: {common: 13.1 V}
decoder:
  limits: {outputs-together: 500 mA}
  outputs: {white: {number: 1, limit: 100 mA}, yellow: {number: 2, limit: 100 mA}, green: {number: 3, limit: 100 mA}}
  effects: {steady: {code: 0}, beacon: {code: 4, rate: 30 to 90 per minute}}
lamps:
  front headlamp: {led: {forward-voltage: 3.0 V, at: 10.1 mA, maximum-current: 20 mA}}
  rear headlamp: {led: {forward-voltage: 3.0 V, at: 10.1 mA, maximum-current: 20 mA}}
  roof beacon: {led: {forward-voltage: 2.0 V, maximum-current: 20 mA}}
outputs:
  white: {circuit: [{resistor: 1 kohm, rating: 1/2 W, tolerance: 0 %}, front headlamp]}
  yellow: {circuit: [{resistor: 1 kohm, rating: 1/2 W, tolerance: 0 %}, rear headlamp]}
  green: {circuit: [1.5 kohm 1/2 W, roof beacon], effect: beacon}
keys:
  F0: {label: Headlamps, turns-on: [{output: white, when: forward}, {output: yellow, when: reverse}]}
  F2: {label: Horn, momentary: true}
  F5: {label: Beacon, turns-on: [{output: green}]}
"""
LEAD = TWO.replace("lamps:\n", "common: {circuit: [100 ohm 1/2 W]}\nlamps:\n", 1).replace(
    "when: reverse", "when: moving"
)


def sheet(command: Command, plan: str) -> dict[str, Any]:
    lay({NAME: plan})
    outcome = command("bench", NAME, "--format", "json")
    assert outcome.status in (0, 1), outcome.err
    return outcome.json


def readings(found: dict[str, Any], output: str) -> dict[str, Any]:
    return next(table for table in found["readings"] if output in [each["output"] for each in table["outputs"]])


# --- Readings ---------------------------------------------------------------------------------------------------------


def test_readings_are_the_figures(command: Command) -> None:
    """At its test current an LED has its stated voltage: 13.1 V - 3.0 V over 1 kohm are 10.1 mA."""
    table = readings(sheet(command, TWO), "white")
    assert isclose(table["current"]["usual"], 0.0101, rel_tol=1e-9)
    assert [each["name"] for each in table["elements"]] == ["1 kohm", "lamp"]
    assert isclose(table["elements"][0]["voltage"]["usual"], 10.1, rel_tol=1e-9)
    assert isclose(table["elements"][1]["voltage"]["usual"], 3.0, rel_tol=1e-9)


@pytest.mark.parametrize("vehicle", VEHICLES, ids=lambda path: path.name.removesuffix(".lights.yaml"))
def test_of_the_club_they_are_the_figures_as_well(command: Command, vehicle: Path) -> None:
    found = command("bench", str(vehicle), "--format", "json").json
    figures = command("figures", str(vehicle), "--format", "json").json["outputs"]
    told = {output["output"]: table for table in found["readings"] for output in table["outputs"]}
    assert set(told) == {name for name, each in figures.items() if each["elements"]}
    for name, table in told.items():
        # A common lead is read before the output's own elements.
        own = table["elements"][len(table["elements"]) - len(figures[name]["elements"]) :]
        for mine, theirs in zip(own, figures[name]["elements"], strict=True):
            for what in ("voltage", "current"):
                for end in ("lowest", "usual", "highest"):
                    # Of outputs that are wired alike the first one's figures are given; they agree to all printed digits.
                    assert isclose(mine[what][end], theirs[what][end], rel_tol=1e-9, abs_tol=1e-12)


def test_outputs_that_are_wired_alike_share_a_table(command: Command) -> None:
    found = sheet(command, TWO)
    assert [[each["output"] for each in table["outputs"]] for table in found["readings"]] == [
        ["white", "yellow"],
        ["green"],
    ]
    assert readings(found, "green")["elements"][1]["name"] == "roof beacon"


def test_a_state_is_named_in_which_the_output_burns(command: Command) -> None:
    outputs = readings(sheet(command, TWO), "yellow")["outputs"]
    assert [each["when"] for each in outputs] == ["with F0 on, forward", "with F0 on, reverse"]
    assert outputs[1]["state"] == {"keys": ["F0"], "direction": "reverse", "moving": False}
    assert outputs[1]["steady-and-full"] is True


def test_what_flashes_is_set_steady_before_it_is_measured(command: Command) -> None:
    (green,) = readings(sheet(command, TWO), "green")["outputs"]
    assert green["steady-and-full"] is False
    assert green["when"] == "with F5 on, forward; set it to 100 %, steady, then measure"


def test_behind_a_common_lead_outputs_are_measured_alone(command: Command) -> None:
    found = sheet(command, LEAD)
    white, yellow = (readings(found, name)["outputs"] for name in ("white", "yellow"))
    assert (white[0]["when"], white[0]["beside"]) == ("with F0 on, forward", [])
    assert [each["when"] for each in yellow if each["output"] == "yellow"] == ["with F0 on, reverse, moving"]


def test_what_cannot_be_had_alone_names_what_is_pulled_off(command: Command) -> None:
    both = LEAD.replace("when: moving", "when: forward")
    outputs = readings(sheet(command, both), "white")["outputs"]
    assert outputs[0]["when"].endswith("pull yellow off first: it shares the lead")


def test_what_no_key_turns_on_says_so(command: Command) -> None:
    outputs = readings(
        sheet(command, TWO.replace("F5: {label: Beacon, turns-on: [{output: green}]}", "F5: {}")), "green"
    )
    assert outputs["outputs"][0]["state"] is None
    assert "no key turns it on" in outputs["outputs"][0]["when"]


def test_what_cannot_be_told_says_what_it_lacks(command: Command) -> None:
    found = sheet(command, TWO.replace("roof beacon]", "roof becon]"))
    assert found["unreadable"] == {"green": "a lamp of this name"}


def test_faults_are_told_with_their_readings_and_what_burns(command: Command) -> None:
    faults = {each["what"]: each for each in readings(sheet(command, TWO), "green")["faults"]}
    assert list(faults) == [
        "1.5 kohm open",
        "1.5 kohm bridged",
        "1.5 kohm ten times too large",
        "1.5 kohm ten times too small",
        "the roof beacon open or the wrong way round",
        "the roof beacon bridged",
    ]
    assert [each["too-much"] for each in faults.values()] == [False, True, False, True, False, False]
    assert faults["the roof beacon bridged"]["voltages"] == pytest.approx([13.1, 0.0])


def test_what_was_measured_counts_and_faults_are_those_of_the_circuit(command: Command) -> None:
    """With the lamp bridged all of the supply is across the resistor, whatever flowed when it was measured."""
    measured = TWO.replace("front headlamp]}", "front headlamp], measured: {current: 9.0 mA}}")
    found = sheet(command, measured)
    white, yellow = readings(found, "white"), readings(found, "yellow")
    assert (white["measured"], yellow["measured"]) == (True, False)
    assert isclose(white["current"]["usual"], 0.009, rel_tol=1e-3)
    assert isclose(yellow["current"]["usual"], 0.0101, rel_tol=1e-9)
    bridged = {each["what"]: each for each in white["faults"]}["the front headlamp bridged"]
    assert bridged["voltages"] == pytest.approx([13.1, 0.0])
    assert "as measured" in command("bench", NAME).out


def test_what_reads_alike_but_carries_something_else_is_told_apart(command: Command) -> None:
    """An open resistor and a bridged bulb leave the same volts: 0 A tell the one, 13.1 mA the other."""
    bulb = TWO.replace(
        "{led: {forward-voltage: 2.0 V, maximum-current: 20 mA}}", "{bulb: {voltage: 1.5 V, current: 15 mA}}"
    )
    lay({NAME: bulb.replace("1.5 kohm 1/2 W, roof beacon", "1 kohm 1/2 W, roof beacon")})
    page = command("bench", NAME, "--format", "markdown").out
    assert "| `1 kohm open` | 13.1 V | 13.1 V | 0 V | 0 A |" in page
    assert "| `the roof beacon bridged` | 13.1 V | 13.1 V | 0 V | 13 mA |" in page


@pytest.mark.parametrize(
    ("circuit", "said"),
    [
        ("[150 ohm 1/2 W, {bulb}]", "switch off at once: `150 ohm would turn 1.14 W into heat`"),
        ("[1.5 kohm 1/2 W, {led}]", "switch off at once: `the roof beacon would carry 69.4 mA or 1.1 A`"),
        ("[{bulb}]", "switch off at once: `the output would carry a current that nothing limits`"),
    ],
    ids=["heat", "current", "short"],
)
def test_what_burns_is_switched_off_instead_of_measured(command: Command, circuit: str, said: str) -> None:
    """By hand: 13.1 V squared over 150 ohm; and 13.1 V less 1.9 V and 52 mV ln(I / 10 mA), over 160 ohm and over 10."""
    bulb = "roof beacon: {bulb: {voltage: 12 V, current: 30 mA}}"
    led = "roof beacon: {led: {forward-voltage: 2.0 V, maximum-current: 20 mA}}"
    plan = TWO.replace(led, bulb) if "bulb" in circuit else TWO
    written = circuit.replace("{bulb}", "roof beacon").replace("{led}", "roof beacon")
    lay({NAME: plan.replace("[1.5 kohm 1/2 W, roof beacon]", written)})
    assert said in command("bench", NAME, "--format", "markdown").out


# --- First power ------------------------------------------------------------------------------------------------------


def test_the_first_limit_is_the_worst_state_and_a_margin(command: Command) -> None:
    power = sheet(command, TWO)["first-power"]
    assert power["state"] == {"keys": ["F0", "F5"], "direction": "forward", "moving": False}
    wanted = max(power["worst"] * MARGIN, power["worst"] + LEAST_MARGIN)
    assert wanted <= power["limit"] < wanted + 0.005
    assert isclose(power["limit"] / 0.005, round(power["limit"] / 0.005))


def test_it_is_never_above_what_the_decoder_stands(command: Command) -> None:
    power = sheet(command, TWO.replace("outputs-together: 500 mA", "outputs-together: 20 mA"))["first-power"]
    assert power["limit"] == 0.020


@pytest.mark.parametrize(
    ("plan", "word"),
    [
        (
            TWO.replace(
                "{resistor: 1 kohm, rating: 1/2 W, tolerance: 0 %}, front", "{resistor: 0 ohm}, {diode: 0.0 V}, front"
            ),
            None,
        ),
        (TWO.replace("supply: {common: 13.1 V}", "supply: {common: 13.1 v}"), "supply"),
    ],
    ids=["unlimited or hot", "no supply"],
)
def test_a_limit_that_cannot_be_told_is_none(command: Command, plan: str, word: str | None) -> None:
    power = sheet(command, plan)["first-power"]
    if word is None:
        assert power["limit"] is None or power["limit"] <= 0.5
    else:
        assert (power["limit"], power["state"]) == (None, None)
        assert word in power["lacks"]


# --- Status, files, errors --------------------------------------------------------------------------------------------


def test_a_right_plan_has_no_banner_and_status_0(command: Command) -> None:
    lay({NAME: PLAN})
    outcome = command("bench", NAME)
    assert (outcome.status, outcome.err) == (0, "")
    assert outcome.out.startswith("<!DOCTYPE html>\n")
    assert "Do not build this yet" not in outcome.out


@pytest.mark.parametrize("form", ["html", "markdown"])
def test_a_wrong_plan_has_its_errors_at_the_top_and_status_1(command: Command, form: str) -> None:
    lay({NAME: BURNING})
    outcome = command("bench", NAME, "--format", form)
    assert outcome.status == 1
    top = outcome.out.index("Do not build this yet: the plan has 1 error")
    assert top < outcome.out.index("unprotected-led") < outcome.out.index("Order of work")
    assert "Mend the plan" in outcome.out
    assert outcome.err == f"lampwright: {NAME}: 1 error in it, named at the top of the sheet\n"


def test_warnings_are_counted_and_no_reason_for_a_banner(command: Command) -> None:
    lay({NAME: SPARE})
    outcome = command("bench", NAME)
    assert (outcome.status, outcome.err) == (0, "")
    assert "1 finding below the level of an error" in outcome.out


def test_json_has_the_errors_and_the_status_says_so(command: Command) -> None:
    lay({NAME: BURNING})
    outcome = command("bench", NAME, "--format", "json")
    assert outcome.status == 1
    assert [each["rule"] for each in outcome.json["errors"]] == ["unprotected-led"]


def test_a_file_is_written_whole_and_named(command: Command) -> None:
    lay({NAME: PLAN})
    outcome = command("bench", NAME, "--output", "loco.html")
    assert (outcome.status, outcome.out) == (0, "")
    assert outcome.err == f"lampwright: the bench sheet of {NAME} is in loco.html\n"
    assert Path("loco.html").read_text("utf-8") == command("bench", NAME).out


def test_what_cannot_be_written_or_read_is_status_2(command: Command) -> None:
    lay({NAME: PLAN, "torn.lights.yaml": "outputs: [", "club.parts.yaml": "lamps: {}\n"})
    for arguments in ((NAME, "--output", "no/such/folder.html"), ("missing.lights.yaml",), ("club.parts.yaml",)):
        outcome = command("bench", *arguments)
        assert (outcome.status, outcome.out) == (2, "")
        assert outcome.err.count("\n") == 1


@pytest.mark.parametrize("form", ["html", "markdown", "json"])
def test_every_mistake_of_the_club_has_a_sheet_in_every_form(command: Command, form: str) -> None:
    made = 0
    for path in MISTAKES:
        outcome = command("bench", str(path), "--format", form)
        checked = command("check", "--format", "json", "--no-cache", str(path))
        wrong = [each for each in checked.json["findings"] if each["level"] == "error" and each["allowed"] is None]
        assert "our fault" not in outcome.err
        if outcome.status == 2:
            assert outcome.out == ""
            continue
        made += 1
        assert outcome.status == (1 if wrong else 0), path
    assert made > 40


# --- What each form promises ------------------------------------------------------------------------------------------


def test_help_names_every_key_of_the_json(command: Command) -> None:
    found = sheet(command, TWO)
    said = command("bench", "--help").out
    assert all(re.search(rf"^  {re.escape(key)}\b|\"{key}\"", said, re.MULTILINE) for key in found)


def test_cvs_and_states_are_those_of_the_other_commands(command: Command) -> None:
    found = sheet(command, PLAN)
    assert found["cvs"] == command("cvs", NAME, "--format", "json").json["cvs"]
    assert found["conditions"] == command("states", NAME, "--format", "json").json["outputs"]


def test_single_states_are_what_the_conditions_say(command: Command) -> None:
    """No key, each key alone and all keys; each way, standing and moving."""
    found = sheet(command, PLAN)
    figures = command("figures", NAME, "--format", "json").json["outputs"]
    keys = [each["key"] for each in found["keys"]]
    pressed = {(), *((key,) for key in keys), tuple(keys)}
    assert len(found["states"]) == 4 * len(pressed)
    for state in found["states"]:
        values = {"forward": state["direction"] == "forward", "moving": state["moving"]}
        lit: dict[str, dict[str, object]] = {}
        for output, account in found["conditions"].items():
            for look in account["lit"]:
                if any(
                    all(
                        values.get(part["variable"], part["variable"] in state["keys"]) == part["is"]
                        for part in product
                    )
                    for product in look["when"]
                ):
                    for lamp in account["lamps"]:
                        (element,) = [each for each in figures[output]["elements"] if each["name"] == lamp]
                        looks = {what: look[what] for what in ("effect", "brightness", "rate")}
                        lit[lamp] = {**looks, "current": element["current"], "voltage": element["voltage"]}
        assert state["lit"] == lit
    assert any(state["lit"] for state in found["states"])


def test_the_parts_are_those_of_the_order(command: Command) -> None:
    found = sheet(command, PLAN)
    order = command("order", NAME, "--format", "json", "--spares", "0", "--despite-errors").json
    assert {each["part"]: each["quantity"] for each in found["parts"]} == {
        each["part"]: each["needed"] for each in order["lines"]
    }


def test_each_cv_has_a_box_and_one_for_its_reading(command: Command) -> None:
    cvs = sheet(command, PLAN)["cvs"]
    page = command("bench", NAME).out
    written = re.findall(r'aria-label="CV(\d+) written"', page)
    assert [int(number) for number in written] == [each["cv"] for each in cvs]
    assert page.count(' read back"') >= 1
    assert command("bench", NAME, "--format", "markdown").out.count("- [ ] CV") == page.count(' read back"')


def test_runs_of_writes_are_one_line_and_lose_none(command: Command) -> None:
    outcome = command("bench", str(next(path for path in VEHICLES if "ore-hauler" in path.name)))
    assert "CV259–264 = 255" in outcome.out
    written = [int(number) for number in re.findall(r'aria-label="CV(\d+) written"', outcome.out)]
    cvs = command("cvs", str(next(path for path in VEHICLES if "ore-hauler" in path.name)), "--format", "json").json[
        "cvs"
    ]
    assert written == [each["cv"] for each in cvs]


def test_the_script_has_the_conditions_of_the_state_table(command: Command) -> None:
    found = sheet(command, TWO)
    page = Parsed(command("bench", NAME).out)
    (data,) = [json.loads(text) for kind, text in page.scripts if kind == "application/json"]
    assert [each["name"] for each in data["outputs"]] == list(found["conditions"])
    for each in data["outputs"]:
        told = [
            [[[part["variable"], part["is"]] for part in product] for product in lit["when"]]
            for lit in found["conditions"][each["name"]]["lit"]
        ]
        assert [lit["when"] for lit in each["lit"]] == told
        assert all(part[0] in VARIABLES for lit in each["lit"] for product in lit["when"] for part in product)


class Parsed(HTMLParser):
    """The elements of a page with their attributes, its scripts, and the texts outside of them."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, frozenset[str]]] = []
        self.scripts: list[tuple[str | None, str]] = []
        self.words = ""
        self._script: str | None = ""
        self._within: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, frozenset(name for name, _ in attrs)))
        self._within.append(tag)
        if tag == "script":
            self._script = dict(attrs).get("type")

    def handle_endtag(self, tag: str) -> None:
        while self._within and self._within.pop() != tag:
            pass

    def handle_data(self, data: str) -> None:
        if self._within[-1:] == ["script"]:
            self.scripts.append((self._script, data))
        else:
            self.words += data


def named(hostile: str) -> BenchSheet:
    """A sheet in which the vehicle, an output, a lamp and a key are called so, as no plan could."""
    source = Source(NAME, TWO)
    plan = plan_of(source, Settings(), lambda *_: pytest.fail("nothing else is read"))
    assert isinstance(plan, LightingPlan)
    white = plan.outputs["white"]
    assert white.circuit is not None
    first, lamp = white.circuit.elements
    assert isinstance(lamp, PlacedLamp)
    circuit = Chain(white.circuit.span, (first, replace(lamp, name=hostile)))
    key = plan.keys[0]
    assert key.label is not None
    assert plan.vehicle.name is not None
    plan = replace(
        plan,
        vehicle=replace(plan.vehicle, name=replace(plan.vehicle.name, text=hostile)),
        outputs={**plan.outputs, hostile: replace(white, name=hostile, circuit=circuit)},
        keys={**plan.keys, 0: replace(key, label=replace(key.label, text=hostile))},
    )
    return bench_sheet(f"{hostile}.lights.yaml", plan, programming_facts(plan), Report())


@pytest.mark.parametrize("hostile", HOSTILE.values(), ids=HOSTILE)
def test_no_name_makes_an_element_or_ends_the_script(hostile: str) -> None:
    page, plain = Parsed(render_bench_html(named(hostile), {})), Parsed(render_bench_html(named("plain name"), {}))
    assert page.elements == plain.elements
    assert [kind for kind, _ in page.scripts] == [kind for kind, _ in plain.scripts]
    assert visible(hostile) in page.words
    (data,) = [json.loads(text) for kind, text in page.scripts if kind == "application/json"]
    assert hostile in [each["name"] for each in data["outputs"]]
    assert all(visible(line) == line for line in render_bench_html(named(hostile), {}).split("\n") if "  " not in line)


@pytest.mark.parametrize("hostile", HOSTILE.values(), ids=HOSTILE)
def test_no_name_makes_markup_in_markdown(hostile: str) -> None:
    parser = MarkdownIt("commonmark", {"html": True}).enable("table")
    tokens = parser.parse(render_bench_markdown(named(hostile)))
    inside = [child for token in tokens for child in token.children or []]
    assert "html_block" not in {token.type for token in tokens}
    assert {child.type for child in inside} <= {"text", "code_inline", "strong_open", "strong_close", "softbreak"}
    tables = [token.type for token in tokens if token.type in {"tr_open", "th_open", "td_open"}]
    plain = parser.parse(render_bench_markdown(named("plain name")))
    assert tables == [token.type for token in plain if token.type in {"tr_open", "th_open", "td_open"}]


@pytest.mark.parametrize("hostile", HOSTILE.values(), ids=HOSTILE)
def test_json_gives_names_back(hostile: str) -> None:
    found = json.loads(render_bench_json(named(hostile)))
    assert found["vehicle"] == hostile
    assert hostile in found["conditions"]
    assert found["keys"][0]["label"] == hostile


def test_the_worst_state_is_one(command: Command) -> None:
    state = sheet(command, TWO)["first-power"]["state"]
    assert State(tuple(state["keys"]), state["direction"] == "forward", state["moving"]).keys == ("F0", "F5")
