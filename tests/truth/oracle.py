"""Which rules must speak of a plan, by what flows in it and by every state of its keys."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from every_state import State, holds, keyed, lit, states, worst
from flows import bulb_volts, corners, heat, hottest, supplies, surge
from published import E12, HIGHEST_TRACK, LIGHT_EXPONENT
from specimens import Branch, Bulb, Entry, Led, Plan

OUTPUT_MARGIN, LAMP_MARGIN, RESISTOR_MARGIN = 0.9, 0.9, 0.5
"""What the language means by no margins of one's own."""


def verdicts(plan: Plan) -> frozenset[str]:
    """The names of the rules that have something to say of `plan`."""
    return of_currents(plan) | of_keys(plan)


def of_currents(plan: Plan) -> frozenset[str]:
    """Those that judge what flows."""
    return frozenset({*_of_branches(plan), *_of_outputs(plan)})


def of_keys(plan: Plan) -> frozenset[str]:
    """Those that judge what burns when."""
    return frozenset(_of_states(plan))


def _of_branches(plan: Plan) -> Iterable[str]:
    light: dict[str, float] = {}
    dimmed = {entry.output for _, entry in keyed(plan) if entry.brightness is not None and entry.brightness < 100}
    for name, branch in ((name, branch) for name, each in plan.outputs.items() for branch in each.branches):
        amperes = corners(plan, branch)
        if branch.ohms and heat(plan, branch) > RESISTOR_MARGIN * branch.watts:
            yield "overheated-resistor"
        if branch.ohms and not any(math.isclose(branch.ohms, value) for value in E12):
            yield "no-preferred-value"
        if isinstance(branch.lamps, Bulb):
            yield from _of_bulb(plan, branch)
            continue
        yield from _of_leds(plan, branch, branch.lamps, amperes)
        if name in dimmed and any(amperes[2] > led.most for led in branch.lamps):
            yield "brightness-is-no-limit"
        light |= dict.fromkeys(branch.names, amperes[1])
    if any(
        max(light[name], light[name.replace("left", "right")])
        > 2 * min(light[name], light[name.replace("left", "right")])
        for name in light
        if "left" in name and name.replace("left", "right") in light
    ):
        yield "unequal-pair"


def _of_leds(plan: Plan, branch: Branch, leds: Sequence[Led], amperes: tuple[float, float, float]) -> Iterable[str]:
    cold, usual, hot = amperes
    low, middle, _ = supplies(plan)
    if any(hot > LAMP_MARGIN * led.most for led in leds):
        yield "overdriven-led"
    elif any(corners(replace(plan, track=(HIGHEST_TRACK,) * 2), branch)[2] > led.most for led in leds):
        yield "hot-on-other-layouts"
    if any(led.wish is not None and (usual < 0.5 * led.wish or cold < 0.25 * led.wish) for led in leds):
        yield "dim-led"
    if sum(sum(led.volts) / 2 for led in leds) > middle or sum(led.volts[1] for led in leds) > low:
        yield "unlit-string"


def _of_bulb(plan: Plan, branch: Branch) -> Iterable[str]:
    assert isinstance(branch.lamps, Bulb)
    _, usual, hot = bulb_volts(plan, branch)
    if hot > 1.1 * branch.lamps.volts or usual > 1.05 * branch.lamps.volts:
        yield "wrong-lamp-voltage"
    if (usual / branch.lamps.volts) ** LIGHT_EXPONENT < 0.1:
        yield "dim-bulb"
    if plan.shell in ("plastic", "resin") and usual * corners(plan, branch)[1] > 0.4:
        yield "hot-lamp"


def _of_outputs(plan: Plan) -> Iterable[str]:
    for output in plan.outputs.values():
        if hottest(plan, output) > OUTPUT_MARGIN * output.limit:
            yield "overloaded-output"
        elif any(isinstance(each.lamps, Bulb) for each in output.branches) and surge(plan, output) > output.surge:
            yield "surging-output"
    if worst(plan) > OUTPUT_MARGIN * plan.decoder_limit:
        yield "overloaded-decoder"


def _of_states(plan: Plan) -> Iterable[str]:
    every, entries = list(states(plan)), keyed(plan)
    if any(not any(holds(entry, key, state) for state in every) for key, entry in entries):
        yield "impossible-condition"
    if plan.outputs.keys() - {entry.output for _, entry in entries}:
        yield "dark-output"
    yield from _of_lit(plan, every)
    yield from _of_looks(plan, every)
    yield from _of_entries(plan, every)
    if any(_goes_out(plan, key, entry, every) for key, entry in entries if key in plan.momentary):
        yield "momentary-light"


def _of_lit(plan: Plan, every: Sequence[State]) -> Iterable[str]:
    for name in {entry.output for key, entry in keyed(plan) if key is not None and entry.brightness is None}:
        if all(name in lit(plan, state) for state in every):
            yield "always-lit"


def _of_looks(plan: Plan, every: Sequence[State]) -> Iterable[str]:
    entries = keyed(plan)
    for number, (key, one) in enumerate(entries):
        for other_key, other in entries[:number]:
            if one.output != other.output or None in (one.brightness, other.brightness):
                continue
            are_together = any(holds(one, key, state) and holds(other, other_key, state) for state in every)
            if one.brightness != other.brightness and are_together:
                yield "conflicting-conditions" if key == other_key else "conflicting-effects"


def _of_entries(plan: Plan, every: Sequence[State]) -> Iterable[str]:
    entries = [(each, {state for state in every if holds(each, key, state)}) for key, each in keyed(plan)]
    possible = [(each, when) for each, when in entries if when]
    for place, (one, when) in enumerate(possible):
        for other_place, (other, other_when) in enumerate(possible):
            says_all = one.output == other.output and one.brightness in (None, other.brightness)
            if place != other_place and says_all and when <= other_when and "always-lit" not in _of_lit(plan, every):
                yield "covered-entry"
    for end, right in (("front", True), ("rear", False)):
        outputs = [name for name, each in plan.outputs.items() if f"{end} headlamp" in each.branches[0].names]
        ways = {forward for name in outputs for state in every for forward in [state[1]] if name in lit(plan, state)}
        if ways == {not right}:
            yield "wrong-way-headlamp"


def _goes_out(plan: Plan, key: int | None, entry: Entry, every: Sequence[State]) -> bool:
    """Whether the output of `entry` burns in some state by its momentary key alone."""
    others = replace(plan, keys={number: entries for number, entries in plan.keys.items() if number != key})
    return any(holds(entry, key, each) and entry.output not in lit(others, each) for each in every)
