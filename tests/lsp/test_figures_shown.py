"""What stands beside circuits and in hovers is what `lampwright figures` says of the same place, the common lead included."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from lsprotocol import types

from command import Command, lay
from lampwright.kinds import kind_of
from lampwright.syntax import Mapping, Node, Sequence
from lampwright.units import Dimension, say
from lampwright_lsp.client import Preferences
from lampwright_lsp.documents import Snapshot
from lampwright_lsp.features.hover import hover
from lampwright_lsp.features.inlay_hints import inlay_hints
from lsp_seam import FOLDER, documents

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
CLUB = {
    path.relative_to(EXAMPLES).as_posix(): path.read_text("utf-8")
    for path in sorted(EXAMPLES.rglob("*.yaml"))
    if kind_of(path.name) and "mistakes" not in path.parts
}
PLANS = [name for name in CLUB if name.startswith("vehicles/")]
# 14.5 V less 1.4 V leave 13.1 V; less 3.1 V at 10 mA are 10 V on two times 500 ohm.
LEAD = """\
vehicle: {name: Tipper 9}
supply: {track: 14.5 V}
decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}, yellow: {number: 2, limit: 100 mA}}}
common: {circuit: [{resistor: 500 ohm, rating: 1/2 W, tolerance: 0 %}, gauge lamp]}
lamps:
  gauge lamp: {led: {forward-voltage: 3.1 V, at: 10 mA, current: 10 mA, maximum-current: 20 mA}}
  spare lamp: {bulb: {voltage: 16 V, current: 50 mA}}
outputs:
  white: {circuit: [{resistor: 500 ohm, rating: 1/2 W, tolerance: 0 %}]}
  yellow: {circuit: [spare lamp]}
keys:
  F0: {turns-on: [{output: white}]}
"""


def shot_of(files: dict[str, str], name: str, **wanted: bool) -> Snapshot:
    shot = documents(files, preferences=Preferences(**wanted)).snapshot(FOLDER + name)
    assert shot is not None
    return shot


def hints(shot: Snapshot) -> list[tuple[int, str, str]]:
    """Where each hint stands, what it says, and what it says if asked."""
    everywhere = types.Range(types.Position(0, 0), types.Position(10_000, 0))
    found = inlay_hints(shot, types.InlayHintParams(types.TextDocumentIdentifier(shot.uri), everywhere)) or []
    return [(shot.positions.offset(shot.source, hint.position), str(hint.label), str(hint.tooltip)) for hint in found]


def said(shot: Snapshot, offset: int) -> str:
    position = shot.positions.position(shot.source, offset)
    found = hover(shot, types.HoverParams(types.TextDocumentIdentifier(shot.uri), position))
    assert found is not None
    assert isinstance(found.contents, types.MarkupContent)
    return found.contents.value


def node_at(shot: Snapshot, *path: str) -> Node:
    node = shot.tree.root
    for step in path:
        node = (
            node.value(step) if isinstance(node, Mapping) else node[int(step)] if isinstance(node, Sequence) else None
        )
    assert node is not None
    return node


def circuits(figures: dict[str, Any]) -> list[tuple[tuple[str, ...], str, dict[str, Any]]]:
    """The way to each circuit in the text, what a hover calls its place, and what the command says of it."""
    of_outputs = [(("outputs", name), f"at output {name}", each) for name, each in figures["outputs"].items()]
    lead = [(("common",), "in the common lead, in the worst state", figures["common"])] if "common" in figures else []
    return [*of_outputs, *lead]


def compare(shot: Snapshot, figures: dict[str, Any]) -> int:
    """Hold all hints and hovers against what the command says; how many elements there were."""
    expected, count = [], 0
    for way, place, each in circuits(figures):
        if each["elements"] and each["current"]["usual"] is not None:
            end = node_at(shot, *way, "circuit").span.end
            expected.append((end, say(each["current"]["usual"], Dimension.CURRENT)))
        for element in each["elements"]:
            count += 1
            steps = element["path"].removeprefix(f"{'.'.join(way)}.").split(".")
            span = node_at(shot, *way, *steps).span
            current, power = element["current"]["usual"], element["power"]["usual"]
            if element["kind"] == "resistor" and power is not None:
                expected.append((span.end, say(power, Dimension.POWER)))
                text = said(shot, span.start)
                assert f"\nheat {say(power, Dimension.POWER)}" in text
                assert current is None or f"\ncurrent {say(current, Dimension.CURRENT)}" in text
            if element["name"] is not None and current is not None:
                start = shot.source.text.index(element["name"], span.start)
                assert start < span.end
                assert f"\n{place}: {say(current, Dimension.CURRENT)}" in said(shot, start)
    assert sorted(hint[:2] for hint in hints(shot)) == sorted(expected)
    return count


@pytest.mark.parametrize("name", PLANS)
def test_the_figures_of_the_club_are_those_of_the_command(name: str, command: Command) -> None:
    outcome = command("figures", str(EXAMPLES / name), "--format", "json")
    assert outcome.status == 0, outcome.err
    assert compare(shot_of(CLUB, name, inlay_hints_cvs=False), outcome.json)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("", ""),
        ("{circuit: [{resistor: 500 ohm, rating: 1/2 W, tolerance: 0 %}]}", "{circuit: [{resistor: 0 ohm}]}"),
        ("gauge lamp]", "{parallel: [[1 kohm 1/4 W, gauge lamp], [2.2 kohm 1/4 W]]}]"),
        ("{output: white}", "{output: [white, yellow]}"),
    ],
)
def test_the_common_lead_has_the_figures_of_the_command(old: str, new: str, command: Command) -> None:
    text = LEAD.replace(old, new) if old else LEAD
    assert not old or text != LEAD
    lay({"tipper.lights.yaml": text})
    outcome = command("figures", "tipper.lights.yaml", "--format", "json")
    assert outcome.json["common"]["elements"]
    assert compare(shot_of({"plan.lights.yaml": text}, "plan.lights.yaml", inlay_hints_cvs=False), outcome.json)


def test_a_lamp_and_a_resistor_in_the_common_lead() -> None:
    shot = shot_of({"plan.lights.yaml": LEAD}, "plan.lights.yaml", inlay_hints_cvs=False)
    lead = LEAD.index("common: {circuit")
    assert "\nin the common lead, in the worst state: 10 mA; 3.1 V" in said(shot, LEAD.index("gauge lamp"))
    assert "\nin the common lead, in the worst state: 10 mA; 3.1 V" in said(shot, LEAD.index("gauge lamp:"))
    assert "\nin the common lead, in the worst state:\ncurrent 10 mA\nvoltage 5 V\n" in said(
        shot, LEAD.index("resistor: 500", lead)
    )
    assert "common lead" not in said(shot, LEAD.index("resistor: 500", LEAD.index("outputs:\n")))
    beside = {(label, more.partition(":")[0]) for offset, label, more in hints(shot) if offset < LEAD.index("lamps:")}
    assert beside == {("10 mA", "in the worst state"), ("50 mW", "heat, in the worst state")}


def test_of_a_common_lead_that_cannot_be_told_nothing_is_said() -> None:
    shot = shot_of({"plan.lights.yaml": LEAD.replace("gauge lamp]", "no such lamp]")}, "plan.lights.yaml")
    assert not any(offset < LEAD.index("lamps:") for offset, _, _ in hints(shot))
    assert "common lead" not in said(shot, shot.source.text.index("gauge lamp:"))


def test_without_a_common_lead_nothing_is_said_of_one() -> None:
    text = "".join(line for line in LEAD.splitlines(keepends=True) if not line.startswith("common:"))
    shot = shot_of({"plan.lights.yaml": text}, "plan.lights.yaml")
    assert "common lead" not in said(shot, text.index("spare lamp"))
    assert not any("worst state" in more for _, _, more in hints(shot))


@pytest.mark.parametrize(
    ("circuit", "labels"),
    [
        ("[0 ohm]", ["0 W"]),
        # 13.1 V make 13.1 kA and 172 kW of it: more than 10 kA is told as unlimited, and what comes of it.
        ("[0.001 ohm]", []),
        ("[1.31 ohm]", ["10 A", "131 W"]),
    ],
)
def test_what_is_unlimited_is_not_hinted_at(circuit: str, labels: list[str], command: Command) -> None:
    text = "".join(line for line in LEAD.splitlines(keepends=True) if "common: {circuit" not in line)
    text = text.replace("[{resistor: 500 ohm, rating: 1/2 W, tolerance: 0 %}]", circuit)
    lay({"tipper.lights.yaml": text})
    outcome = command("figures", "tipper.lights.yaml", "--format", "json")
    shot = shot_of({"plan.lights.yaml": text}, "plan.lights.yaml", inlay_hints_cvs=False)
    assert compare(shot, outcome.json) == 2
    line = range(text.index("white: {circuit"), text.index("yellow: {circuit"))
    assert sorted(label for offset, label, _ in hints(shot) if offset in line) == sorted(labels)
