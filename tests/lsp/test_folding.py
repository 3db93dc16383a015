from __future__ import annotations

from lsprotocol import types

from lampwright_lsp.features.folding import folding_ranges
from lsp_seam import FOLDER, snapshot

PLAN = """\
# The quarry's own.
# Checked twice.
vehicle: {name: Quarry switcher 7}
lamps:
  cab lamp:
    bulb: {voltage: 12 V,
           current: 40 mA}
  step lamp: {bulb: {
    voltage: 12 V
  }}
outputs:
  white: {circuit: [cab lamp]}
"""


def folds(text: str) -> list[tuple[int, int]]:
    params = types.FoldingRangeParams(types.TextDocumentIdentifier(FOLDER + "plan.lights.yaml"))
    return [(fold.start_line, fold.end_line) for fold in folding_ranges(snapshot(text), params)]


def test_entries_and_comments_fold_and_closing_brackets_stay_in_sight() -> None:
    assert folds(PLAN) == [(0, 1), (3, 9), (4, 6), (7, 8), (10, 11)]


def test_what_stands_on_one_line_does_not_fold() -> None:
    assert folds("vehicle: {name: Quarry switcher 7}\nlamps: {}\n") == []
    assert folds("") == []


def test_what_was_read_above_a_syntax_error_folds() -> None:
    assert folds(PLAN.replace("outputs:", "{outputs:")) == [(0, 1), (3, 9), (4, 6), (7, 8)]
