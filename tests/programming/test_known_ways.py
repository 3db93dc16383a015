"""How a decoder says what a plan wants is found once for all plans that want the same; that must change no answer."""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lampwright.analysis import programming
from lampwright.analysis.programming import Programming, Unreachable, programming_facts
from lampwright.analysis.programming.space import Space
from lampwright.model.lighting import LightingPlan
from lampwright.records import replace
from programming.random_plans import Case, case_of, plans
from programming.test_bounds import hopeless


class Watched(Space):
    """A space that tells how many steps it has left."""

    made: list[Space] = []  # noqa: RUF012  # emptied by who looks

    def __init__(self, *, reversed_: bool) -> None:
        super().__init__(reversed_=reversed_)
        self.made.append(self)

    @property
    def steps_left(self) -> int:
        return self._diagram.steps_left


@pytest.fixture(autouse=True)
def watched(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(programming, "Space", Watched)


def answer(plan: LightingPlan) -> tuple[Any, ...]:
    """All that is found for a plan, without places in its sheet, and the steps that are left then."""
    Watched.made.clear()
    found = programming_facts(plan)
    left = [space.steps_left for space in Watched.made if isinstance(space, Watched)]
    return Case.lines_of(found), list(_faults(found)), [(each.span, each.lacks) for each in found.unjudged], left


def _faults(found: Programming) -> Iterator[tuple[str, Any]]:
    for fault in found.faults:
        place = fault.output.span if isinstance(fault, Unreachable) else fault.span
        yield type(fault).__name__, place


@settings(deadline=None, max_examples=int(os.environ.get("LAMPWRIGHT_EXAMPLES", "60")))
@given(st.lists(plans(), min_size=2, max_size=4))
def test_other_plans_of_the_same_decoder_change_no_answer(texts: list[dict[str, Any]]) -> None:
    sheet = texts[0]["decoder"]
    for text in texts:
        text["decoder"] = sheet
    decoder = case_of(texts[0]).plan.decoder
    for text in [*texts, *texts]:
        plan = case_of(text).plan
        # Its own sheet is new with each reading, so that nothing of it is known.
        assert answer(replace(plan, decoder=decoder)) == answer(plan)


def test_two_outputs_of_one_number_have_registers_of_their_own() -> None:
    codes = [{"code": "0", "when": "reverse"}, {"code": "1", "when": "forward"}]
    register = {"cv": {"white": "151"}, "holds": [{"what": "condition", "bits": "0 to 1", "codes": codes}]}
    sheet = {
        "outputs": {"violet": {"number": "2"}, "white": {"number": "2"}},
        "keys": {"mapping": "by-output-numbers", "highest": "28"},
        "registers": [register],
    }
    for first, second in (("white", "violet"), ("violet", "white")):
        plan = case_of({
            "vehicle": {"name": "Tipper 9"},
            "decoder": sheet,
            "lamps": {},
            "outputs": {first: {"circuit": []}, second: {"circuit": []}},
            "keys": {"F5": {"turns-on": [{"output": name, "when": "forward"} for name in (first, second)]}},
        }).plan  # fmt: skip
        assert answer(plan) == answer(plan)
        ways = programming_facts(plan).ways
        assert {name: len(way.option.codes) for name, way in ways.items()} == {"white": 1, "violet": 0}


def test_what_was_not_decided_is_not_decided_the_second_time() -> None:
    plan = case_of(hopeless("by-output-numbers", 14, 13, 8, 8)).plan
    first = answer(plan)
    assert first[2]
    assert answer(plan) == first
