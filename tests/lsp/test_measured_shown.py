"""What was measured, in the editor: beside what the plan comes to, and under the name that a lamp has now."""

from __future__ import annotations

from lsprotocol import types

from lampwright.text import Edit, apply
from lampwright_lsp.features import inlay_hints, rename
from lampwright_lsp.features.hover import hover
from lsp_seam import FOLDER, documents, snapshot

SHEET = """\
decoder-sheet: 1
name: Bench six
common: {drop: 1.4 V}
outputs: {white: {number: 1, limit: 100 mA}, yellow: {number: 2, limit: 100 mA}}
"""
# 14.5 V less 1.4 V leave 13.1 V; less 3.1 V at 10 mA are 10 V on 1 kohm: 10 mA.
PLAN = """\
vehicle: {name: Tipper 9}
supply: {track: 14.5 V}
decoder: bench.decoder.yaml
lamps:
  cab lamp: {led: {forward-voltage: 3.1 V, at: 10 mA, maximum-current: 20 mA}}
  step lamp: {led: {forward-voltage: 3.1 V, at: 10 mA, maximum-current: 20 mA}}
outputs:
  white: {circuit: [1 kohm 1/2 W, cab lamp], measured: {current: 9.75 mA, across: {cab lamp: 3.08 V, 1k: 9.8 V}}}
  yellow: {circuit: [1 kohm 1/2 W, step lamp]}
keys: {}
"""
FILES = {"bench.decoder.yaml": SHEET}


# Over 100 and half of 1000 ohms 10 V drive 16.7 mA.
OF_LEAD = PLAN.replace("measured: {current: 9.75 mA, across: {cab lamp: 3.08 V, 1k: 9.8 V}}", "").replace(
    "outputs:\n",
    "common: {circuit: [100 ohm 1 W], measured: {current: 16.6 mA, across: {100 ohm: 1.66 V}}}\noutputs:\n",
)


def said(words: str, plan: str = PLAN) -> str:
    shot = snapshot(plan, "plan.lights.yaml", FILES)
    position = shot.positions.position(shot.source, plan.index(words) + 1)
    found = hover(shot, types.HoverParams(types.TextDocumentIdentifier(shot.uri), position))
    assert found is not None
    assert isinstance(found.contents, types.MarkupContent)
    return found.contents.value


def test_a_lamp_a_resistor_and_an_output_tell_what_was_measured_there() -> None:
    assert "across cab lamp measured 3.08 V, by the plan 3.1 V" in said("cab lamp]")
    assert "across 1k measured 9.8 V, by the plan 10 V" in said("1 kohm")
    assert "measured 9.75 mA, by the plan 10 mA (9.53 to 10.5 mA)" in said("white:")


def test_nobody_measured_the_others() -> None:
    for words in ("step lamp]", "yellow:"):
        assert "measured" not in said(words)


def hinted(plan: str, when: str) -> dict[str, str]:
    shot = snapshot(plan, "plan.lights.yaml", FILES)
    whole = shot.positions.range(shot.source.span(0, len(plan)))
    hints = inlay_hints.inlay_hints(shot, types.InlayHintParams(types.TextDocumentIdentifier(shot.uri), whole))
    return {str(hint.label): str(hint.tooltip) for hint in hints or () if when in str(hint.tooltip)}


def test_what_stands_in_the_common_lead_tells_it_too() -> None:
    keys = OF_LEAD.replace("keys: {}", "keys: {F0: {turns-on: [{output: [white, yellow]}]}}")
    whole = said("100 ohm 1 W", keys)
    assert "current 16.6 mA (16.2 to 17 mA)" in whole
    assert "with white and yellow on across 100 ohm measured 1.66 V, by the plan 1.67 V (1.54 to 1.81 V)" in whole
    assert hinted(keys, "worst state")["16.6 mA"].startswith("in the worst state, as measured: 16.6 mA (16.2 to 17 mA)")


def test_the_hint_is_what_was_measured() -> None:
    told = hinted(PLAN, "alone")
    assert told["9.75 mA"].startswith("fully on and alone, as measured: 9.75 mA (")
    assert told["10 mA"].startswith("fully on and alone: 10 mA (")


def test_a_lamp_is_renamed_where_it_was_measured() -> None:
    made = documents({"plan.lights.yaml": PLAN, **FILES})
    shot = made.snapshot(f"{FOLDER}plan.lights.yaml")
    assert shot is not None
    position = shot.positions.position(shot.source, PLAN.index("cab lamp]"))
    edit = rename.rename(made, types.RenameParams(types.TextDocumentIdentifier(shot.uri), position, "desk lamp"))
    assert edit is not None
    assert edit.changes is not None
    (edits,) = edit.changes.values()
    own = [Edit(shot.positions.span(shot.source, each.range), each.new_text) for each in edits]
    assert apply(shot.source, own) == PLAN.replace("cab lamp", "desk lamp")
