"""`lampwright fleet`: the whole club on one page, in each form; what stands in it, and what no name in it can do."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from importlib import import_module
from math import inf
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from syrupy.assertion import SnapshotAssertion

from command import BURNING, PLAN, REFERRING, SHEET, Command, lay
from lampwright.account.fleet_page import FleetPage, FleetSet, FleetVehicle, KeyCell, KeyColumn, fleet_page
from lampwright.analysis.electrical.facts import Range
from lampwright.analysis.needs import LedPart, Need, PlanNeeds
from lampwright.analysis.together import Together
from lampwright.diagnostics import Finding, Severity, merge_reports
from lampwright.engine import check, plan_of
from lampwright.harmless import visible
from lampwright.model.settings import Settings
from lampwright.model.values import Name
from lampwright.model.vehicle import Vehicle
from lampwright.text import Source
from test_hostile_texts import each_name

ROOT = Path(__file__).parent.parent
FORMS = ("text", "html", "markdown", "csv", "json")
CONVENTION = 'lampwright: 1\nkeys: {F0: Headlamps, F2: Horn, F7: "Cab"}\n'


def rendered(page: FleetPage, form: str) -> str:
    text: str = getattr(import_module(f"lampwright.render.fleet_as_{form}"), f"render_fleet_{form}")(page)
    return text


class Html(HTMLParser):
    """The elements of a page: which are open where, their attributes, and all cells of its tables as texts."""

    VOID = frozenset({"meta", "br"})

    def __init__(self, page: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.tables: list[list[list[str]]] = []
        self.text = ""
        self._open: list[str] = []
        self.feed(page)
        self.close()
        assert self._open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self._open.append(tag)
        if tag == "table":
            self.tables.append([])
        elif tag == "tr":
            self.tables[-1].append([])
        elif tag in {"th", "td"}:
            self.tables[-1][-1].append("")

    def handle_endtag(self, tag: str) -> None:
        assert self._open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" in self._open:
            return
        self.text += data
        if {"th", "td"} & {*self._open}:
            self.tables[-1][-1][-1] += data


def club(command: Command, *arguments: str, status: int = 0) -> Any:
    outcome = command("fleet", "--format", "json", *arguments)
    assert outcome.status == status, outcome.err
    return outcome.json


def vehicles(document: Any) -> dict[str, Any]:
    return {each["name"]: each for group in document["sets"] for each in group["vehicles"]}


# --- The example club -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("form", ["text", "markdown", "csv", "json"])
def test_the_example_club(
    form: str, command: Command, monkeypatch: pytest.MonkeyPatch, snapshot: SnapshotAssertion
) -> None:
    monkeypatch.chdir(ROOT)
    outcome = command("fleet", "examples/vehicles", "--format", form)
    assert (outcome.status, outcome.err) == (0, "")
    assert outcome.out == snapshot


def test_the_mistakes_are_counted_as_the_check_counts_them(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    document = club(command, "examples", status=2)
    found = command("check", "examples", "--format", "json").json["findings"]
    opened = [each for each in found if each["allowed"] is None]
    assert len(opened) > 40
    for level in ("error", "warning", "note"):
        assert document["findings"][f"{level}s"] == sum(each["level"] == level for each in opened)
    here = 0
    for vehicle in (each for group in document["sets"] for each in group["vehicles"]):
        mine = [each for each in opened if each["file"] == vehicle["plan"]]
        rules = {(each["level"], each["rule"]) for each in vehicle["findings"]["rules"]}
        assert rules == {(each["level"], each["rule"]) for each in mine}
        assert sum(each["count"] for each in vehicle["findings"]["rules"]) == len(mine)
        here += len(mine)
    assert here + len(document["elsewhere"]) == len(opened)


def test_html_is_whole_asks_for_nothing_and_has_headings_for_every_cell(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    page = command("fleet", "examples/vehicles", "--format", "html").out
    parsed = Html(page)
    assert not {"script", "img", "link", "a", "iframe", "form"} & {tag for tag, _ in parsed.elements}
    assert not re.search(r"(?:https?:|url\(|@import|src=|href=)", page)
    assert "size: A4 landscape" in page
    known, matrix = parsed.tables
    assert known[0] == ["Vehicle", "Address", "Findings", "Draws at most", "Needs"]
    assert matrix[0][:2] == ["Vehicle", "F0Headlamps"]
    rows = [row for row in known if len(row) == len(known[0])][1:]
    assert len(rows) == 14
    assert [row[0] for row in matrix if len(row) == len(matrix[0])][1:] == [
        row[0].partition("examples/")[0] for row in rows
    ]
    heads = [attributes.get("scope") for tag, attributes in parsed.elements if tag == "th"]
    assert set(heads) == {"col", "row", "rowgroup"}
    assert heads.count("row") == 28
    assert sum(tag == "caption" for tag, _ in parsed.elements) == 2


# --- What is said -----------------------------------------------------------------------------------------------------


def test_keys_off_the_convention_and_momentary_ones_are_marked_by_words(command: Command) -> None:
    keys = """\
  F0: {label: HEAD  lamps, momentary: true, turns-on: [{output: white, when: forward}]}
  F2: {label: Whistle, momentary: true}
  F5: {label: Crane}
  F7: {label: Cab}
"""
    lay(
        {
            "lampwright.yaml": CONVENTION,
            "a.lights.yaml": PLAN[: PLAN.index("  F0")] + keys.replace("HEAD  lamps", "HEADLAMPS"),
        }
    )
    said = vehicles(club(command))["Quarry switcher 7"]["keys"]
    assert {name: (key["momentary"], key["off-convention"]) for name, key in said.items()} == {
        "F0": (True, False),
        "F2": (True, True),
        "F5": (False, False),
        "F7": (False, False),
    }
    assert said["F2"]["convention"] == "Horn"
    assert said["F5"]["convention"] is None
    cells = Html(command("fleet", "--format", "html").out).tables[1]
    assert cells == [
        ["Vehicle", "F0Headlamps", "F2Horn", "F5", "F7Cab"],
        ["Quarry switcher 7", "HEADLAMPSmomentary", "Whistlemomentaryoff convention: Horn", "Crane", "Cab"],
    ]
    assert "F2 Whistle (momentary and off convention: Horn)" in command("fleet").out
    assert (
        "| `Whistle`<br>**momentary**<br>**off convention: `Horn`** |" in command("fleet", "--format", "markdown").out
    )
    row = next(csv.DictReader(io.StringIO(command("fleet", "--format", "csv").out)))
    assert (row["F2 Horn"], row["F5"]) == ("Whistle (momentary, off convention: Horn)", "Crane")
    text = command("fleet").out
    assert re.search(r"^keys +F0  F2  F5  F7\nQuarry switcher 7  =~  !~   \*   =$", text, re.MULTILINE)


def test_the_heading_has_the_convention_of_most_and_each_cell_its_own(command: Command) -> None:
    lay({"lampwright.yaml": CONVENTION, "a.lights.yaml": PLAN, "b.lights.yaml": PLAN.replace("7}", "8}")})
    lay(
        {
            "guests/lampwright.yaml": "lampwright: 1\nkeys: {F0: Marker lamps}\n",
            "guests/c.lights.yaml": PLAN.replace("7}", "9}"),
        }
    )
    document = club(command)
    assert document["keys"] == {"F0": {"convention": "Headlamps"}}
    off = {name: each["keys"]["F0"]["off-convention"] for name, each in vehicles(document).items()}
    assert off == {"Quarry switcher 7": False, "Quarry switcher 8": False, "Quarry switcher 9": True}


def test_many_keys_stand_in_parts_that_fit_across_the_paper(command: Command) -> None:
    keys = "".join(f"  F{number}: {{label: Lamp {number}}}\n" for number in range(26))
    lay({"a.lights.yaml": PLAN[: PLAN.index("  F0")] + keys, "b.lights.yaml": PLAN[: PLAN.index("keys:")]})
    heads = [table[0][1:] for table in Html(command("fleet", "--format", "html").out).tables[1:]]
    assert [len(head) for head in heads] == [9, 9, 8]
    assert [key for head in heads for key in head] == [f"F{number}" for number in range(26)]
    assert max(map(len, command("fleet").out.splitlines())) <= 100


def test_without_keys_there_is_no_table_of_them(command: Command) -> None:
    lay({"a.lights.yaml": PLAN[: PLAN.index("keys:")]})
    assert len(Html(command("fleet", "--format", "html").out).tables) == 1
    for form in ("text", "markdown"):
        assert "convention" not in command("fleet", "--format", form).out


@pytest.mark.parametrize(
    ("limits", "motor", "limit", "of_motor"),
    [
        ("", "", None, None),
        ("limits: {outputs-together: 200 mA}, ", "", 0.2, 0.0),
        ("limits: {whole-decoder: 1 A}, ", "motor: 300 mA", 1.0, 0.3),
        # The nearest of both.
        ("limits: {outputs-together: 20 mA, whole-decoder: 1 A}, ", "motor: 300 mA", 0.02, 0.0),
        ("limits: {outputs-together: 200 mA, whole-decoder: 1 A}, ", "motor: 300 mA", 1.0, 0.3),
    ],
)
def test_the_worst_current_is_that_of_the_figures_held_against_the_nearest_limit(
    command: Command, limits: str, motor: str, limit: float | None, of_motor: float | None
) -> None:
    plan = PLAN.replace("decoder: {", f"decoder: {{{limits}").replace("7}", f"7, {motor}}}" if motor else "7}")
    lay({"a.lights.yaml": plan})
    worst = vehicles(club(command))["Quarry switcher 7"]["worst-state"]
    figures = command("figures", "a.lights.yaml", "--format", "json").json["worst-state"]
    assert {name: worst[name] for name in figures} == figures
    assert (worst["limit"], worst["motor"]) == (limit, of_motor)
    if limit is not None and of_motor is not None:
        assert worst["share-of-limit"] == pytest.approx((worst["current"] + of_motor) / limit)


def test_too_much_is_said_and_far_too_much_without_a_figure(command: Command) -> None:
    limited = PLAN.replace("decoder: {", "decoder: {limits: {outputs-together: 5 mA}, ")
    bare = limited.replace("[1.5 kohm 1/4 W, front", "[front").replace("7}", "8}")
    lay({"a.lights.yaml": limited, "b.lights.yaml": bare})
    text = command("fleet").out
    assert re.search(r"draws at most: 7\.\d+ mA, 1[0-9]{2} % of 5 mA, above the limit; with F0 on, forward", text)
    assert re.search(r"draws at most: [0-9]{3} mA, far above the limit of 5 mA; with F0 on, forward", text)
    assert len(re.findall("<strong>[0-9.]+ mA, ", command("fleet", "--format", "html").out)) == 2


@pytest.mark.parametrize(
    "plan",
    [
        PLAN.replace("[{output: white, when: forward}]", "[]"),
        PLAN.replace("front headlamp]}", "{lamp: front headlamp, reversed: true}]}"),
    ],
    ids=["no key", "turned round"],
)
def test_what_draws_nothing(command: Command, plan: str) -> None:
    lay({"a.lights.yaml": plan})
    assert "draws at most: nothing, in any state that the keys can reach\n" in command("fleet").out
    assert command("fleet", "--format", "csv").out.splitlines()[1].split(",")[10:14] == ["", "", "", ""]


def test_what_is_not_known_is_said(command: Command) -> None:
    unknown = PLAN.replace("yellow", "").replace(
        "outputs:\n  white", "  lost lamp: {led: {}}\noutputs:\n  yellow: {circuit: [1 kohm, lost lamp]}\n  white"
    )
    lay({"a.lights.yaml": unknown})
    assert "; with F0 on, forward; without yellow, of which nothing is known\n" in command("fleet").out


def test_findings_come_the_worst_first_and_allowed_ones_are_counted_apart(command: Command) -> None:
    spare = "  step lamp: {bulb: {voltage: 12 V, current: 40 mA}}\noutputs:\n  white"
    allowed = "  # lampwright: allow unwired-lamp -- the spare, not fitted yet\n" + spare
    lay({
        "a.lights.yaml": BURNING.replace("outputs:\n  white", spare),
        "b.lights.yaml": PLAN.replace("outputs:\n  white", allowed).replace("7}", "8}"),
    })  # fmt: skip
    document = club(command)
    known = vehicles(document)
    assert [(each["level"], each["rule"]) for each in known["Quarry switcher 7"]["findings"]["rules"]] == [
        ("error", "unprotected-led"),
        ("warning", "unwired-lamp"),
    ]
    assert known["Quarry switcher 8"]["findings"]["allowed"] == 1
    assert known["Quarry switcher 8"]["findings"]["warnings"] == 0
    text = command("fleet").out
    assert "findings: 1 error, 1 warning; " in text
    assert "findings: none; 1 allowed" in text


def test_sets_come_by_name_and_vehicles_by_number(command: Command) -> None:
    names = {"a": "Van 10", "b": "Van 9", "c": "van 11", "d": "Railcar 2", "e": "Railcar 1"}
    more = {"d": ", set: railcars", "e": ", set: railcars"}
    lay(
        {
            f"{file}.lights.yaml": PLAN.replace("Quarry switcher 7", name + more.get(file, ""))
            for file, name in names.items()
        }
    )
    document = club(command)
    assert [(each["name"], [one["name"] for one in each["vehicles"]]) for each in document["sets"]] == [
        ("railcars", ["Railcar 1", "Railcar 2"]),
        (None, ["Van 9", "Van 10", "van 11"]),
    ]
    assert "Set railcars:" in command("fleet").out


def test_parts_and_addresses(command: Command) -> None:
    plan = PLAN.replace("7}", "7, address: {long: 112}, consist: {address: 42, reversed: true}}")
    lay({"a.lights.yaml": plan, "b.lights.yaml": PLAN.replace("7}", "8}").replace("1.5 kohm 1/4 W", "1.5 kohn")})
    text = command("fleet").out
    assert "Quarry switcher 7, a.lights.yaml, address 112 (long), in consist 42, reversed" in text
    assert "needs: 1 × 1.5 kohm 1/4 W 5 %; 1 × LED, 3 V at 10 mA, at most 20 mA" in text
    assert "Quarry switcher 8, b.lights.yaml, address none" in text
    assert "1 part of which nothing can be told" in text
    known = vehicles(club(command))
    assert [known[f"Quarry switcher {number}"]["parts-are-complete"] for number in (7, 8)] == [True, False]


def test_findings_in_sheets_and_catalogues_are_listed(command: Command) -> None:
    lay({"a.lights.yaml": REFERRING, "bench-six.decoder.yaml": SHEET.replace("highest: 28", "highst: 28")})
    document = club(command)
    assert [each["rule"] for each in document["elsewhere"]] == ["unknown-key"]
    for form in ("text", "html", "markdown"):
        assert "bench-six.decoder.yaml:4:8" in command("fleet", "--format", form).out


# --- What cannot be done ----------------------------------------------------------------------------------------------


def test_a_plan_that_cannot_be_read_has_its_place_and_costs_the_status(command: Command) -> None:
    lay({"a.lights.yaml": PLAN, "b.lights.yaml": "[\n", "c.lights.yaml": ""})
    for form in FORMS:
        outcome = command("fleet", "--format", form)
        assert outcome.status == 2
        assert "b.lights.yaml" in outcome.out
        assert "Quarry switcher 7" in outcome.out
        assert "b.lights.yaml: there is no plan in it that can be read" in outcome.err


def test_errors_in_plans_do_not_cost_the_status(command: Command) -> None:
    lay({"a.lights.yaml": BURNING})
    assert command("check").status == 1
    assert command("fleet").status == 0


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["missing.lights.yaml"], "there is no such file"),
        (["bench-six.decoder.yaml"], "there is no lighting plan in what was named"),
        (["-"], "standard input is one file, and no fleet"),
        (["--output", "a.lights.yaml"], "never takes the place of a file that is checked"),
        (["--output", "nowhere/page.html"], "cannot be written"),
    ],
)
def test_what_cannot_be_done_is_one_line(command: Command, arguments: list[str], words: str) -> None:
    lay({"a.lights.yaml": PLAN, "bench-six.decoder.yaml": SHEET})
    outcome = command("fleet", *arguments)
    assert (outcome.status, outcome.out) == (2, "")
    assert words in outcome.err
    assert outcome.err.count("\n") == 1
    assert Path("a.lights.yaml").read_text() == PLAN


def test_a_page_in_a_file_is_the_page(command: Command) -> None:
    lay({"a.lights.yaml": PLAN})
    for form in FORMS:
        printed = command("fleet", "--format", form).out
        outcome = command("fleet", "--format", form, "--output", "page")
        assert (outcome.status, outcome.out) == (0, "")
        assert outcome.err == "lampwright: The fleet: 1 vehicle, 0 errors, 0 warnings, 0 notes; the page is in page\n"
        assert Path("page").read_bytes().decode() == printed


def test_a_recalled_check_makes_the_same_page(command: Command) -> None:
    lay({"a.lights.yaml": BURNING, "b.lights.yaml": REFERRING, "bench-six.decoder.yaml": SHEET})
    first = command("fleet", "--format", "json").out
    assert command("fleet", "--format", "json").out == first
    assert command("fleet", "--format", "json", "--no-cache").out == first


# --- Whatever the order -----------------------------------------------------------------------------------------------

_NAMES = st.lists(
    st.tuples(
        st.sampled_from(["Van 1", "van 1", "Van 02", "Van 2", "Van 10", "Ω 3"]), st.sampled_from([None, "x", "Y"])
    ),
    min_size=1,
    max_size=7,
)


@given(_NAMES, st.randoms(use_true_random=False))
@settings(max_examples=60, deadline=None)
def test_each_vehicle_stands_there_once_whatever_the_order(names: list[tuple[str, str | None]], random: Any) -> None:
    def refuse(_: Source, __: str) -> Source:
        raise AssertionError

    sources = [
        Source(
            f"{number}.lights.yaml", PLAN.replace("Quarry switcher 7", f"{name}{f', set: {group}' if group else ''}")
        )
        for number, (name, group) in enumerate(names)
    ]
    pages = []
    for _ in range(2):
        random.shuffle(sources)
        report = merge_reports([check(source, Settings(), refuse) for source in sources])
        plans = {source.name: plan for source in sources if (plan := plan_of(source, Settings(), refuse))}
        page = fleet_page(report, plans)
        assert sorted(vehicle.file for vehicle in page.vehicles) == sorted(source.name for source in sources)
        assert all(vehicle.set == group.name for group in page.sets for vehicle in group.vehicles)
        pages.append({form: rendered(page, form) for form in FORMS})
    assert pages[0] == pages[1]


# --- Names ------------------------------------------------------------------------------------------------------------


def hostile_page(hostile: str) -> FleetPage:
    """A page on which everything that others write is `hostile`."""
    source = Source(f"{hostile}.lights.yaml", "x")
    span = source.span(0, 1)
    one = (1.0, 1.0, 1.0)
    part = LedPart(one, 1.0, one, (0.0, 0.0, 0.0), None, hostile, hostile)
    finding = Finding(span, hostile, rule="unprotected-led", level=Severity.ERROR)
    known = FleetVehicle(
        file=source.name,
        name=hostile,
        findings=(finding,),
        allowed=0,
        undecided=0,
        vehicle=Vehicle(name=Name(hostile, span), set=Name(hostile, span)),
        together=Together(None, ("white",), Range(0.1, 0.1, inf), inf, (), ()),
        needs=PlanNeeds((Need(part, 2, (span,)),)),
        keys={0: KeyCell("F0", hostile, is_momentary=True, meant=f"x{hostile}")},
    )
    lost = FleetVehicle(source.name, source.name, (finding,), 0, 0)
    vague = FleetVehicle("b.lights.yaml", hostile, (), 0, 0, Vehicle(), hostile, keys={})
    column = KeyColumn(0, "F0", hostile)
    return FleetPage((FleetSet(hostile, (known,)), FleetSet(None, (lost, vague))), (column,), (finding,))


@pytest.mark.parametrize("form", FORMS)
@each_name
def test_no_name_gives_a_command(form: str, hostile: str) -> None:
    text = rendered(hostile_page(hostile), form)
    assert text.endswith("\n")
    for line in text.split("\n"):
        shown = line.removesuffix("\r") if form == "csv" else line
        assert visible(shown) == shown


@each_name
def test_names_are_no_markup_in_html(hostile: str) -> None:
    plain, parsed = (Html(rendered(hostile_page(each), "html")) for each in ("x", hostile))
    assert parsed.elements == plain.elements
    assert [[len(row) for row in table] for table in parsed.tables] == [
        [len(row) for row in table] for table in plain.tables
    ]
    assert parsed.tables[1][0][1] == f"F0{visible(hostile)}"
    assert parsed.tables[1][2][1] == f"{visible(hostile)}momentaryoff convention: {visible(f'x{hostile}')}"


@each_name
def test_names_are_no_markup_in_markdown(hostile: str) -> None:
    def kinds(page: str) -> Iterator[str]:
        for token in MarkdownIt("commonmark", {"html": True}).enable("table").parse(page):
            yield token.type
            for child in token.children or ():
                yield f"{child.type} {child.content if child.type == 'html_inline' else ''}"

    plain, found = (list(kinds(rendered(hostile_page(each), "markdown"))) for each in ("x", hostile))
    assert found == plain
    assert "html_inline <br>" in found


@each_name
def test_names_are_no_formulas_in_csv(hostile: str) -> None:
    rows = list(csv.reader(io.StringIO(rendered(hostile_page(hostile), "csv"), newline="")))
    assert {len(row) for row in rows} == {len(rows[0])}
    assert len(rows) == 4
    assert not [cell for row in rows for cell in row if cell[:1] in set("=+-@\t\r")]
    assert rows[1][1].removeprefix("'") == visible(hostile).removeprefix("'")


@each_name
def test_json_has_names_as_they_are(hostile: str) -> None:
    document = json.loads(rendered(hostile_page(hostile), "json"))
    first = document["sets"][0]
    assert (first["name"], first["vehicles"][0]["name"]) == (hostile, hostile)
    assert first["vehicles"][0]["keys"]["F0"]["label"] == hostile
    assert first["vehicles"][0]["parts"][0]["name"] == hostile
    assert first["vehicles"][0]["worst-state"]["current"] is None
