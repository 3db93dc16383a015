"""That a wrong constant of the analysis would be seen: each published one is spoiled a little, and the oracle disagrees."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import replace
from importlib import import_module
from typing import Any

import pytest
from run import count

from lampwright.analysis import electrical
from lampwright.analysis.electrical import inrush, law, light
from lampwright.analysis.programming import matrix, sheet
from lampwright.analysis.resistors import preferred
from lampwright.model.interfaces import INTERFACES
from lampwright.model.wires import WIRES, Wire
from lampwright.rules import RULES

AT_ONCE, TIMES = 8, 25
"""Mutations until one of them meets what is wrong."""

ROWS = tuple(replace(row, first_output=3) if row.first_output == 4 else row for row in matrix.ROWS)

# In the package of rules a name is that of the rule, not of its file.
ADDRESS, FLASH, ELSEWHERE, REVERSE = (
    import_module(f"lampwright.rules.{name}")
    for name in ("address_out_of_range", "flash_rate_off_practice", "hot_on_other_layouts", "reverse_voltage")
)

WRONG_FIGURES = [
    ("dim-bulb", law, "CURRENT_EXPONENT", 0.6),
    ("dim-bulb", light, "LIGHT_EXPONENT", 3.3),
    ("surging-output", inrush, "HOT_OVER_COLD", 15.0),
    ("hot-on-other-layouts", ELSEWHERE, "HIGHEST_TRACK", 21.0),
    ("reverse-voltage", REVERSE, "BORNE", 5.5),
    ("flash-rate-off-practice", FLASH, "FASTEST", 190 / 60),
    ("unreachable-output", matrix, "ROWS", ROWS),
    ("address-out-of-range", ADDRESS, "HIGHEST_LONG", 10240),
    ("cv-out-of-range", sheet, "HIGHEST_CV", 1023),
    ("read-only-cv", sheet, "READ_ONLY", (8,)),
]

WRONG_ROWS = [
    ("no-preferred-value", preferred.SERIES, "E12", (10, 12, 15, 18, 22, 27, 34, 39, 47, 56, 68, 82)),
    ("overloaded-contact", INTERFACES, "NEM 651", replace(INTERFACES["NEM 651"], contact=0.52)),
    ("overloaded-contact", INTERFACES, "Next18", replace(INTERFACES["Next18"], common_contact=0.5)),
    ("missing-wire", INTERFACES, "NEM 651", replace(INTERFACES["NEM 651"], has_common=True)),
    ("missing-wire", INTERFACES, "NEM 652", replace(INTERFACES["NEM 652"], outputs=frozenset({"white", "yellow"}))),
    ("off-code-wire", WIRES, "white", Wire.REAR_LIGHT),
]


@pytest.fixture(autouse=True)
def _nothing_is_kept() -> Iterator[None]:
    """What was computed with a wrong figure may be told to nobody else, nor may what is known hide that figure."""
    _forget()
    yield
    _forget()


def _forget() -> None:
    electrical._KNOWN.clear()
    for name, module in list(sys.modules.items()):
        for each in vars(module).values() if name.startswith("lampwright.") else ():
            if callable(forget := getattr(each, "cache_clear", None)):
                forget()


@pytest.mark.parametrize(("rule", "module", "name", "value"), WRONG_FIGURES)
def test_a_wrong_figure_is_seen(
    rule: str, module: Any, name: str, value: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, name, value)
    assert_seen(rule)


@pytest.mark.parametrize(("rule", "table", "row", "value"), WRONG_ROWS)
def test_a_wrong_row_of_a_table_is_seen(
    rule: str, table: Any, row: str, value: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(table, row, value)
    assert_seen(rule)


def assert_seen(rule: str) -> None:
    assert rule in {each.name for each in RULES}
    assert any(_disagree(rule, seed) for seed in range(TIMES))


def _disagree(rule: str, seed: int) -> bool:
    counted = count(rule, AT_ONCE, seed)
    return counted.detected < AT_ONCE or counted.false_alarms > 0
