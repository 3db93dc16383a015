"""Right plans made wrong, each for one rule, and as little short of it as that is still right.

What is wrong and what is not says the oracle: where a figure is turned, it is turned to just beyond the point at which
the oracle's verdict changes, and to just before it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from random import Random

from flows import supplies
from oracle import of_currents
from plans import right_plan
from published import E12
from specimens import Branch, Bulb, Led, Output, Plan
from trials import Case, Maker, Pair, bisected

Knob = Callable[[float], Plan]


# --- Figures ----------------------------------------------------------------------------------------------------------


def _turned(rule: str) -> Maker:
    """Bisects for the turn of the knob at which the verdict changes; None where a plan has no such knob."""

    def maker(random: Random) -> Pair | None:
        knob = KNOBS[rule](right_plan(random.randrange(10**9)), random)
        turns = bisected(lambda turn: rule in of_currents(knob(turn)), random) if knob is not None else None
        return Pair(*(Case((knob(turn).text(),)) for turn in turns)) if knob is not None and turns is not None else None

    return maker


def _places(plan: Plan, lamp: type) -> list[tuple[str, int]]:
    def has(branch: Branch) -> bool:
        return isinstance(branch.lamps, Bulb) is (lamp is Bulb)

    return [
        (name, place)
        for name, output in plan.outputs.items()
        for place, branch in enumerate(output.branches)
        if has(branch)
    ]


def _with(plan: Plan, place: tuple[str, int], branch: Branch) -> Plan:
    """`plan` with that branch, and with an output and a decoder that stand everything."""
    name, number = place
    branches = list(plan.outputs[name].branches)
    branches[number] = branch
    roomy = Output(tuple(branches), limit=2.0, surge=20.0)
    return replace(plan, outputs={**plan.outputs, name: roomy}, decoder_limit=9.0)


def _on_branch(lamp: type, turn: Callable[[Plan, Branch, float], Branch]) -> Callable[[Plan, Random], Knob | None]:
    def knob_of(plan: Plan, random: Random) -> Knob | None:
        places = _places(plan, lamp)
        if not places:
            return None
        name, number = place = random.choice(places)
        branch = plan.outputs[name].branches[number]
        return lambda turned: _with(plan, place, turn(plan, branch, turned))

    return knob_of


def _wishing(_: Plan, branch: Branch, turned: float) -> Branch:
    assert not isinstance(branch.lamps, Bulb)
    lamps = tuple(replace(led, most=0.1, wish=(led.wish or 0.001) * turned) for led in branch.lamps)
    return replace(branch, lamps=lamps)


def _strung(plan: Plan, branch: Branch, turned: float) -> Branch:
    """As many LEDs as nearly fit, of more and more volts."""
    assert not isinstance(branch.lamps, Bulb)
    led = replace(branch.lamps[0], wish=None)
    many = int(supplies(plan)[0] / led.volts[1])
    volts = led.volts[0] * turned, led.volts[1] * turned
    names = tuple(f"{branch.names[0]} of {number}" for number in range(many))
    return replace(branch, names=names, lamps=(replace(led, volts=volts),) * many)


def _weaker(_: Plan, branch: Branch, turned: float) -> Branch:
    assert not isinstance(branch.lamps, Bulb)
    return replace(branch, lamps=tuple(replace(led, most=0.2 / turned, wish=None) for led in branch.lamps))


def _larger(_: Plan, branch: Branch, turned: float) -> Branch:
    assert isinstance(branch.lamps, Bulb)
    bulb = replace(branch.lamps, amperes=branch.lamps.amperes * turned)
    return replace(branch, lamps=bulb, ohms=branch.ohms / turned, watts=99.0)


def _on_output(turn: Callable[[Output, float], Output]) -> Callable[[Plan, Random], Knob | None]:
    def knob_of(plan: Plan, random: Random) -> Knob:
        name = random.choice(sorted(plan.outputs))
        return lambda turned: replace(plan, outputs={**plan.outputs, name: turn(plan.outputs[name], turned)})

    return knob_of


def _beside(plan: Plan, random: Random) -> Knob | None:
    """The right one of a pair of LEDs behind more and more ohms."""
    twins = [
        place for place in _places(plan, Led) if plan.outputs[place[0]].branches[place[1]].names[0].startswith("r")
    ]
    if not twins:
        return None
    name, number = place = random.choice(twins)
    branch = plan.outputs[name].branches[number]
    return lambda turned: _with(plan, place, replace(branch, ohms=branch.ohms * turned))


def _plastic(plan: Plan, random: Random) -> Knob | None:
    return _on_branch(Bulb, _larger)(replace(plan, shell=random.choice(["plastic", "resin"])), random)


def _dimmed(plan: Plan, random: Random) -> Knob | None:
    """Of every output, so that its brightness is meant to save it."""
    keys = {key: tuple(replace(each, brightness=60) for each in entries) for key, entries in plan.keys.items()}
    return KNOBS["overdriven-led"](replace(plan, keys=keys), random)


KNOBS: dict[str, Callable[[Plan, Random], Knob | None]] = {
    "overdriven-led": _on_branch(Led, lambda _, each, turned: replace(each, ohms=each.ohms / turned, watts=99.0)),
    "dim-led": _on_branch(Led, _wishing),
    "unlit-string": _on_branch(Led, _strung),
    "hot-on-other-layouts": _on_branch(Led, _weaker),
    "wrong-lamp-voltage": _on_branch(Bulb, lambda _, each, turned: replace(each, ohms=each.ohms / turned, watts=99.0)),
    "dim-bulb": _on_branch(Bulb, lambda _, each, turned: replace(each, ohms=each.ohms * turned)),
    "hot-lamp": _plastic,
    "overheated-resistor": lambda plan, random: _on_branch(
        random.choice([Led, Bulb]), lambda _, each, turned: replace(each, watts=each.watts / turned)
    )(plan, random),
    "unequal-pair": _beside,
    "brightness-is-no-limit": _dimmed,
    "overloaded-output": _on_output(lambda each, turned: replace(each, limit=each.limit / turned)),
    "surging-output": _on_output(lambda each, turned: replace(each, surge=each.surge / turned)),
    "overloaded-decoder": lambda plan, _: lambda turned: replace(plan, decoder_limit=plan.decoder_limit / turned),
}


def _odd(random: Random) -> Pair:
    plan = right_plan(random.randrange(10**9))
    name, number = place = random.choice(_places(plan, Led) + _places(plan, Bulb))
    branch = plan.outputs[name].branches[number]
    larger = [value for value in E12 if value > branch.ohms]
    odd, even = round(branch.ohms * random.choice([1.05, 1.06, 1.07]), 1), float(larger[0])
    return Pair(*(Case((_with(plan, place, replace(branch, ohms=ohms)).text(),)) for ohms in (odd, even)))


MAKERS: dict[str, tuple[str, Maker]] = {
    **{rule: ("figure, by SciPy", _turned(rule)) for rule in KNOBS},
    "no-preferred-value": ("series, by its table", _odd),
}
