"""No plan makes programming slow: past a bound the answer is that it is not decided."""

from __future__ import annotations

import random
import time
from typing import Any

import pytest

from programming.random_plans import METHODS, case_of

SECONDS = 5.0
"""Of processor time, reading included; a plan of a club takes some hundredths."""


def hopeless(method: str, outputs: int, keys: int, entries: int, codes: int) -> dict[str, Any]:
    """Hundreds of entries with conditions nested in each other, on outputs with hundreds of condition codes."""
    random.seed(f"{method} {outputs}")
    names = [f"F{number}" for number in range(keys)]
    wires = [f"a{number}" for number in range(1, outputs + 1)]

    def condition(depth: int) -> Any:
        chance = random.random()
        if depth == 0 or chance < 0.4:
            return random.choice(["", "not "]) + random.choice([*names, "forward", "moving"])
        parts = [condition(depth - 1) for _ in range(random.randint(2, 4))]
        return parts if chance < 0.7 else {"any": parts}

    def entry() -> dict[str, Any]:
        return {"output": random.choice(wires), "when": condition(random.randint(0, 3))}

    register = {
        "cv": {wire: str(600 + index) for index, wire in enumerate(wires)},
        "holds": [{"what": "condition", "bits": "0 to 7", "codes": [{"code": str(code), "when": condition(2)} for code in range(codes)]}],
    }  # fmt: skip
    return {
        "vehicle": {"name": "Tipper 9"},
        "decoder": {
            "outputs": {wire: {"number": str(index + 1)} for index, wire in enumerate(wires)},
            "keys": {"mapping": method, "highest": "68"},
            "effects": {"steady": {"code": "0"}},
            "registers": [register],
        },
        "lamps": {},
        "outputs": {wire: {"circuit": []} for wire in wires},
        "keys": {name: {"turns-on": [entry() for _ in range(entries)]} for name in names},
    }


@pytest.mark.parametrize("method", [method for method in METHODS if method != "fixed"])
@pytest.mark.parametrize("size", [(14, 13, 8, 8), (24, 32, 20, 200), (4, 69, 8, 100)])
def test_a_hopeless_plan_ends_and_says_so(method: str, size: tuple[int, int, int, int]) -> None:
    started = time.process_time()
    found = case_of(hopeless(method, *size)).programming
    assert time.process_time() - started < SECONDS
    assert found.faults or found.unjudged
    again = case_of(hopeless(method, *size)).programming
    assert [len(found.faults), len(found.unjudged), len(found.settings)] == [
        len(again.faults),
        len(again.unjudged),
        len(again.settings),
    ]


def test_the_way_through_a_wall_of_shared_codes_ends() -> None:
    # All outputs share one condition field; any of eight codes could be theirs.
    wires = [f"a{number}" for number in range(1, 33)]
    codes = [{"code": str(code), "when": [f"F{code}", "forward"]} for code in range(8)]
    text = {
        "vehicle": {"name": "Tipper 9"},
        "decoder": {
            "outputs": {wire: {"number": str(index + 1)} for index, wire in enumerate(wires)},
            "keys": {"mapping": "by-output-states", "highest": "28"},
            "registers": [
                {"cv": "600", "holds": [{"what": "condition", "digit": "low", "codes": codes}]},
                {"cv": {wire: str(601 + index) for index, wire in enumerate(wires)}, "holds": [{"what": "condition", "digit": "low", "codes": codes}]},
            ],
        },
        "lamps": {},
        "outputs": {wire: {"circuit": []} for wire in wires},
        "keys": {"F1": {"turns-on": [{"output": wire, "when": ["F2", "F3"]} for wire in wires]}},
    }  # fmt: skip
    started = time.process_time()
    assert case_of(text).programming.faults or case_of(text).programming.unjudged
    assert time.process_time() - started < SECONDS
