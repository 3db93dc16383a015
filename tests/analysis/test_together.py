"""The worst state that the keys can reach, against every state there is."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from lampwright.analysis.electrical import common_facts, electrical_facts
from lampwright.analysis.logic import logic_facts
from lampwright.analysis.together import worst_together
from lampwright.engine import Refusal, plan_of
from lampwright.model.settings import Settings
from lampwright.text import Source
from seam import report

# Behind 100 ohm: alone 6.8 V over 170 ohm are 40 mA; three of 420 ohm are 16.2 mA each alone, 48.6 mA in sum, and 28.3 mA
# together. So the heaviest sum is not the state that draws most.
COUPLED = {"white": 70, "yellow": 320, "green": 320, "violet": 320}
APART = "{F0: {turns-on: [{output: white, when: forward}, {output: [yellow, green, violet], when: reverse}]}}"


def text(
    ohms: dict[str, int], keys: str, lead: str = "common: {circuit: [100 ohm 5 W 0 %]}\n", limits: str = ""
) -> str:
    sheet = ", ".join(f"{name}: {{number: {number}, limit: 1 A}}" for number, name in enumerate(ohms, 1))
    circuits = "".join(f"  {name}: {{circuit: [{value} ohm 5 W 0 %]}}\n" for name, value in ohms.items())
    return (
        f"vehicle: {{name: Tipper 9}}\nsupply: {{common: 6.8 V}}\ndecoder: {{{limits}outputs: {{{sheet}}}}}\n"
        f"lamps: {{}}\n{lead}outputs:\n{circuits}keys: {keys}\n"
    )


def found(plan_text: str):
    plan = plan_of(Source("p.lights.yaml", plan_text), Settings(), lambda *_: Refusal("missing"))
    assert plan is not None
    return plan, worst_together(electrical_facts(plan), logic_facts(plan))


def test_the_heaviest_sum_is_not_what_draws_most_behind_a_common_lead():
    _, together = found(text(COUPLED, APART))
    assert together.outputs == ("white",)
    assert together.current.highest == pytest.approx(0.040)
    assert together.at_most == pytest.approx(3 * 6.8 / 420)


def test_without_a_common_lead_it_is():
    _, together = found(text(COUPLED, APART, lead=""))
    assert together.outputs == ("white",)
    assert together.at_most == together.current.highest == pytest.approx(6.8 / 70)


@pytest.mark.parametrize(
    ("limit", "level"), [("39 mA", "error"), ("44 mA", "warning"), ("47 mA", None), ("54.1 mA", "silent")]
)
def test_between_the_worst_that_is_known_and_what_no_state_exceeds_nobody_can_tell(limit, level):
    whole = report(text(COUPLED, APART, limits=f"limits: {{outputs-together: {limit}}}, "))
    levels = [each.level.word for each in whole.findings if each.rule == "overloaded-decoder"]
    lacks = [each.lacks for each in whole.undecided if each.rule == "overloaded-decoder"]
    assert levels == ([level] if level in ("error", "warning") else [])
    assert lacks == (["which outputs draw most through the common lead"] if level is None else [])


@pytest.mark.parametrize("seed", range(60))
def test_no_state_draws_more(seed):
    """Every state of three keys and of direction, its outputs turned on by hand."""
    random = Random(seed)
    names = ["white", "yellow", "green", "violet", "brown"][: random.randint(2, 5)]
    ohms = {name: random.choice([47, 100, 220, 470, 1000]) for name in names}
    entries = [
        (random.randrange(3), random.choice(names), random.choice([None, "forward", "reverse", "F0", "not F1", "F2"]))
        for _ in range(random.randint(1, 6))
    ]
    keys = {}
    for key, name, when in entries:
        entry = f"{{output: {name}{f', when: {when}' if when else ''}}}"
        keys.setdefault(f"F{key}", []).append(entry)
    written = ", ".join(f"{key}: {{turns-on: [{', '.join(items)}]}}" for key, items in sorted(keys.items()))
    lead = random.choice(["", "common: {circuit: [100 ohm 5 W 0 %]}\n"])
    plan, together = found(text(ohms, f"{{{written}}}", lead))

    def holds(when, on, forward):
        if when is None:
            return True
        if when in ("forward", "reverse"):
            return (when == "forward") == forward
        wanted = not when.startswith("not ")
        return on[int(when.removeprefix("not ")[1:])] == wanted

    most = 0.0
    for *on, forward in product((False, True), repeat=4):
        lit = {name for key, name, when in entries if on[key] and holds(when, on, forward)}
        most = max(most, common_facts(plan, [name for name in names if name in lit]).current.highest)
    assert together.current.highest <= most * (1 + 1e-9)
    assert most <= together.at_most * (1 + 1e-9)
    if not lead:
        assert together.current.highest == pytest.approx(most)
