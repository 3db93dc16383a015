"""Conditions in people's own words, and what is offered instead."""

from __future__ import annotations

import pytest

from lampwright.plan.guesses import meant_condition


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("fwd", "forward"),
        ("Forwards", "forward"),
        ("backward", "reverse"),
        ("standing", "stopped"),
        ("F 3", "F3"),
        ("f3", "F3"),
        ("!F0", "not F0"),
        ("F0 off", "not F0"),
        ("not fwd", "not forward"),
        ("F0 and fwd", "[F0, forward]"),
        ("not forward, not reverse", "[not forward, not reverse]"),
        ("F3 or F4", "{any: [F3, F4]}"),
        ("F0 & moving & rev", "[F0, moving, reverse]"),
        ("F3 or F0 and fwd", "{any: [F3, [F0, forward]]}"),
    ],
)
def test_what_is_probably_meant(written: str, meant: str) -> None:
    assert meant_condition(written) == meant


@pytest.mark.parametrize(
    "written", ["", "F69", "F99", "sometimes", "F0 == false", "not not F0", "F0 and", "x" * 1000, "or " * 40]
)
def test_what_is_anybodys_guess(written: str) -> None:
    assert meant_condition(written) is None
