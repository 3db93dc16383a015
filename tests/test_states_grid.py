"""The grid of keys and lamps: each cell is held against the conditions that the same command prints for programs."""

from __future__ import annotations

import re
from itertools import product
from pathlib import Path
from typing import Any

import pytest

from command import Command, lay

VEHICLES = sorted((Path(__file__).parents[1] / "examples" / "vehicles").glob("*.lights.yaml"))
PLAN = """vehicle: {name: Quarry switcher 7}
supply: {track: 14.5 V}
decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}, brown: {number: 5, limit: 100 mA}}}
lamps:
  front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
  cab lamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
outputs:
  white: {circuit: [1.5 kohm 1/4 W, front headlamp]}
  brown: {circuit: [1.5 kohm 1/4 W, cab lamp]}
keys:
  F0: {label: Headlamps, turns-on: [{output: white, when: forward}]}
  F7: {label: Cab, turns-on: [{output: brown, when: [reverse, stopped], brightness: 40 %}]}
"""


def grid(text: str) -> tuple[list[str], dict[str, list[str]]]:
    """The heads, and the cells of each lamp, of grids that may stand below each other."""
    blocks = [block.splitlines() for block in text.split("\n\n")[1:-1]]
    heads: list[str] = []
    rows: dict[str, list[str]] = {}
    for block in blocks:
        columns = [found.start() for found in re.finditer(r"\S+", block[0])]
        heads += block[0].split()
        for line in block[1:]:
            rows.setdefault(line[: columns[0]].strip(), []).extend(line[columns[0] :].split())
    return heads, rows


def expected(lamp: str, keys: tuple[str, ...], outputs: dict[str, Any]) -> str:
    """What the conditions say of a lamp, state by state."""
    lit: dict[tuple[bool, bool], dict[str, Any]] = {}
    for forward, moving in product((True, False), repeat=2):
        values = {"forward": forward, "moving": moving}
        for account in outputs.values():
            for look in account["lit"]:
                holds = any(
                    all(values.get(part["variable"], part["variable"] in keys) == part["is"] for part in condition)
                    for condition in look["when"]
                )
                if lamp in (account["lamps"] or ()) and holds:
                    lit[forward, moving] = look
    if not lit:
        return "·"
    signs = {
        frozenset(product((True, False), repeat=2)): "●",
        frozenset(product((True,), (True, False))): "→",
        frozenset(product((False,), (True, False))): "←",
        frozenset(product((True, False), (True,))): "●m",
        frozenset(product((True, False), (False,))): "●s",
        frozenset({(True, True)}): "→m",
        frozenset({(True, False)}): "→s",
        frozenset({(False, True)}): "←m",
        frozenset({(False, False)}): "←s",
    }
    unsteady = "~" if any(look["effect"] != "steady" for look in lit.values()) else ""
    dimmed = "%" if any(look["brightness"] < 1 for look in lit.values()) else ""
    return signs.get(frozenset(lit), "?") + unsteady + dimmed


@pytest.mark.parametrize("path", VEHICLES, ids=lambda path: path.name.partition(".")[0])
def test_each_cell_is_what_the_conditions_say(path: Path, command: Command) -> None:
    outputs = command("states", str(path), "--format", "json").json["outputs"]
    printed = command("states", str(path), "--format", "grid")
    assert (printed.status, printed.err) == (0, "")
    heads, rows = grid(printed.out)
    keys = [head for head in heads if head not in ("none", "all")]
    assert set(rows) == {lamp for account in outputs.values() for lamp in account["lamps"] or ()}
    for lamp, cells in rows.items():
        for head, cell in zip(heads, cells, strict=True):
            pressed = {"none": (), "all": tuple(keys)}.get(head, (head,))
            assert cell == expected(lamp, pressed, outputs), (lamp, head)


def test_a_plan_in_full(command: Command) -> None:
    lay({"loco.lights.yaml": PLAN})
    assert command("states", "loco.lights.yaml", "--format", "grid").out == (
        "Quarry switcher 7, loco.lights.yaml: what burns with each key alone\n"
        "\n"
        "                none  F0  F7   all\n"
        "front headlamp  ·     →   ·    →\n"
        "cab lamp        ·     ·   ←s%  ←s%\n"
        "\n"
        "→ forward only; ← reverse only; s only stopped; % not fully; · dark; none: no key pressed; all:\n"
        "  every key of the plan\n"
    )


def test_many_keys_stand_in_grids_below_each_other(command: Command) -> None:
    keys = "".join(f"  F{number}: {{turns-on: [{{output: white}}]}}\n" for number in range(1, 29) if number != 7)
    lay({"loco.lights.yaml": PLAN + keys})
    out = command("states", "loco.lights.yaml", "--format", "grid").out
    assert max(map(len, out.splitlines())) <= 100
    heads, rows = grid(out)
    assert heads == ["none", *(f"F{number}" for number in range(29)), "all"]
    assert rows["front headlamp"] == ["·", "→", *["●"] * 6, "·", *["●"] * 22]


def test_a_plan_without_lamps(command: Command) -> None:
    lay({"loco.lights.yaml": "decoder: {outputs: {}}\nlamps: {}\noutputs: {}\nkeys: {}\n"})
    assert "no lamp hangs on any output" in command("states", "loco.lights.yaml", "--format", "grid").out
