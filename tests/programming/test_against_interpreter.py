"""The programming list, played by an interpreter that was written apart from it: in every state the plan's outputs, with its looks.

The interpreter is built on the published standards (S-9.2.2 read; RCN-227 and CV96 read second-hand) and the plan language.
"""

from __future__ import annotations

import os
from typing import Any

from hypothesis import HealthCheck, Phase, assume, event, given, settings
from hypothesis import strategies as st

from lampwright.analysis.programming import after_reset
from lampwright.analysis.programming.listing import POINTERS
from programming.conditions import State, function_numbers, holds
from programming.decoder_interpreter import Decoder, Look
from programming.random_plans import Case, case_of, plans, sayable_plans, states

PHASES = [phase for phase in Phase if phase is not Phase.explain]
STATES = states()
EXAMPLES = int(os.environ.get("LAMPWRIGHT_EXAMPLES", "150"))
"""More on demand."""


def spoilt(case: Case) -> set[str]:
    """The outputs of which the program says itself that they cannot be programmed."""
    faulty = {fault.output if isinstance(fault.output, str) else fault.output.text for fault in case.programming.faults}
    clashing = {claim.output for clash in case.programming.clashes for claim in (clash.earlier, clash.later)}
    return faulty | {output for output in clashing if output is not None}


def entries(case: Case, output: str, state: State) -> list[dict[str, Any]]:
    """The plan's entries for an output that hold in a state."""
    under = [(entry, [key]) for key, data in case.text["keys"].items() for entry in data["turns-on"]]
    under += [(entry, []) for entry in case.text.get("always", [])]
    return [entry for entry, keys in under if entry["output"] == output and holds([*keys, entry["when"]], state)]


def wanted(case: Case, output: str, state: State) -> dict[str, str] | None:
    """The look that the plan says, by the plan language; None where the output is dark."""
    holding = entries(case, output, state)
    if not holding:
        return None
    own = case.text["outputs"].get(output, {})
    named = {what: entry[what] for entry in holding for what in ("effect", "brightness", "rate") if what in entry}
    return {"effect": "steady", "brightness": "100 %", **{k: v for k, v in own.items() if k != "circuit"}, **named}


def step_of_brightness(case: Case, output: str) -> float:
    """How far the nearest brightness can be, as a share."""
    for register in case.sheet["registers"]:
        for held in register["holds"]:
            if held["what"] == "brightness" and output in register["cv"]:
                most = {"high": 15, "tens": 9, "2 to 7": 63}.get(str(held.get("digit", held.get("bits"))), 20)
                return 0.5 / int(held.get("full", most))
    return 0.0


def assert_same(case: Case, output: str, look: Look | None, plan: dict[str, str] | None) -> None:
    if plan is None or look is None:
        assert (plan, look) == (None, None)
        return
    assert look.effect == plan["effect"]
    asked = float(plan["brightness"].removesuffix(" %")) / 100
    assert abs(look.brightness - asked) <= step_of_brightness(case, output) + 1e-9
    if "rate" in plan and look.rate is not None:
        assert f"{look.rate:g} per minute" == plan["rate"]


def play(case: Case) -> None:
    """The list is written into a decoder, and that is asked for each output of the plan in every state."""
    decoder = Decoder.from_sheet(case.sheet)
    assert decoder.write(case.lines) == []
    ask(case, decoder)


def ask(case: Case, decoder: Decoder) -> None:
    outputs = [name for name in case.text["outputs"] if name not in spoilt(case)]
    event(f"{case.sheet['keys']['mapping']}: {'some' if outputs else 'none'} can be played")
    for keys, forward, moving in STATES:
        state = State(function_numbers(keys), forward, moving)
        for output in outputs:
            look = decoder.output(output, keys, forward, moving)
            assert_same(case, output, look, wanted(case, output, state))
    address = int(case.text["vehicle"]["address"])
    assert decoder.address() == (address, address > 127)
    assert decoder.f0_in_function_group
    assert decoder.direction_reversed == (case.text["vehicle"]["reversed"] == "true")


@settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck), phases=PHASES)
@given(plans())
def test_the_list_makes_a_decoder_do_what_the_plan_says(text: dict[str, Any]) -> None:
    case = case_of(text)
    assume(not case.programming.unjudged)
    play(case)


@settings(max_examples=EXAMPLES // 3, deadline=None, suppress_health_check=list(HealthCheck), phases=PHASES)
@given(plans(), st.integers(0, 255))
def test_after_a_reset_it_does_so_whatever_was_in_the_decoder(text: dict[str, Any], noise: int) -> None:
    case = case_of(text)
    assume(not case.programming.unjudged)
    decoder = Decoder.from_sheet(case.sheet)
    decoder.write({**line, "value": line["value"] ^ noise, "mask": 255, "page": None} for line in case.lines)
    reset, *others = case.lines_of(after_reset(case.programming))
    assert (reset["cv"], reset["value"], others) == (8, 8, case.lines)
    assert decoder.write([reset, *others]) == []
    ask(case, decoder)


@settings(max_examples=EXAMPLES // 3, deadline=None, suppress_health_check=list(HealthCheck), phases=PHASES)
@given(plans(), st.integers(0, 255))
def test_a_value_that_was_read_keeps_what_the_plan_leaves_open(text: dict[str, Any], value: int) -> None:
    for setting in (each for each in case_of(text).programming.settings if each.cv not in POINTERS):
        kept = setting.within(value)
        assert setting.is_met(kept)
        assert setting.is_met(value) == (kept == value)
        if not any(place.is_decimal for place in setting.fields):
            assert kept == value & ~setting.mask | setting.value & setting.mask


@settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck), phases=PHASES)
@given(sayable_plans())
def test_what_a_decoder_can_do_is_never_refused(text: dict[str, Any]) -> None:
    case = case_of(text)
    assert case.programming.faults == []
    assert case.programming.unjudged == []
    assert case.programming.clashes == ()
    play(case)
