"""From CVs back to a plan: what is described needs the same CVs again, and is the same in every state."""

from __future__ import annotations

import os
from typing import Any

from hypothesis import HealthCheck, given, settings

from lampwright.analysis.programming.description import Description, described
from lampwright.analysis.programming.listing import POINTERS
from lampwright.render.keys_as_yaml import render_keys_yaml
from programming.decoder_interpreter import read_sheet
from programming.random_plans import Case, case_of, sayable_plans

EXAMPLES = int(os.environ.get("LAMPWRIGHT_EXAMPLES", "100"))
"""More on demand."""


def values(case: Case) -> dict[Any, int]:
    return {
        (each.page, each.cv): each.value for each in case.programming.settings if each.page or each.cv not in POINTERS
    }


def description(case: Case) -> Description:
    assert case.plan.decoder is not None
    assert case.programming.method is not None
    return described(case.plan.decoder, case.programming.method, values(case))


def plan_again(case: Case) -> dict[str, Any]:
    """The same vehicle and sheet, with the keys and looks that are described."""
    written = read_sheet(render_keys_yaml(description(case)))
    looks = written["outputs"] or {}
    return {
        **case.text,
        "outputs": {name: {"circuit": [], **looks.get(name, {})} for name in case.text["outputs"]},
        "keys": written["keys"] or {},
    }


@settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck))
@given(sayable_plans())
def test_a_described_plan_needs_the_same_cvs(text: dict[str, Any]) -> None:
    case = case_of(text)
    again = case_of(plan_again(case))
    assert again.programming.faults == []
    assert again.programming.unjudged == []
    assert values(again) == values(case)


def test_an_output_of_which_a_cv_is_missing_is_left_out_by_name() -> None:
    text = {
        "vehicle": {"name": "Tipper 9"},
        "decoder": {
            "outputs": {"white": {"number": "1"}, "yellow": {"number": "2"}},
            "keys": {"mapping": "function-matrix", "highest": "4"},
            "effects": {"steady": {"code": "0"}},
            "registers": [{"cv": {"white": "151"}, "holds": [{"what": "effect", "digit": "ones"}]}],
        },
        "lamps": {},
        "outputs": {"white": {"circuit": []}, "yellow": {"circuit": []}},
        "keys": {"F1": {"turns-on": [{"output": "white"}, {"output": "yellow"}]}},
    }
    case = case_of(text)
    assert case.plan.decoder is not None
    assert case.programming.method is not None
    known = {place: value for place, value in values(case).items() if place != (None, 151)}
    found = described(case.plan.decoder, case.programming.method, known)
    assert (found.unknown, [entry.output for entry in found.entries]) == (("white",), ["yellow"])
    # A code that the sheet does not name is no effect.
    found = described(case.plan.decoder, case.programming.method, {**known, (None, 151): 7})
    assert found.unknown == ("white",)
