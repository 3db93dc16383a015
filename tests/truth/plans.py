"""Right plans made from the physics: currents are chosen, and from them resistors, ratings and limits."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from every_state import worst
from flows import heat, hottest, surge
from oracle import verdicts
from published import E12
from specimens import Branch, Bulb, Entry, Led, Output, Plan

WIRES = ("green", "violet", "brown", "aux1")
RATINGS = (0.125, 0.25, 0.5, 1.0, 2.0, 5.0)


def right_plan(seed: int) -> Plan:
    """The plan of that number, of which the oracle has nothing to say."""
    random = Random(seed)
    while True:
        plan = _made(random)
        if not verdicts(plan):
            return plan


def _made(random: Random) -> Plan:
    usual, spread = random.randint(120, 180) / 10, random.choice([0.0, 0.0, 0.3, 0.8])
    track = (round(usual - spread, 2), round(usual + spread, 2))
    names = random.sample(WIRES, random.randint(1, 4))
    bare = Plan(track, random.choice([0.9, 1.2, 1.4]), {}, {}, shell=random.choice(["plastic", "resin", "metal"]))
    outputs = {name: _output(random, bare, name) for name in names}
    plan = replace(bare, outputs=outputs, keys=_keys(random, names), motor=random.randint(100, 600) / 1e3)
    return replace(plan, decoder_limit=_above(worst(plan) / 0.9, random))


def _output(random: Random, plan: Plan, name: str) -> Output:
    sides = random.choice([[""], [""], ["left ", "right "]])
    model = _branch(random, plan)
    branches = tuple(
        replace(model, names=tuple(f"{side}lamp {name} {number}" for number in range(len(model.names))))
        for side in sides
    )
    output = Output(branches)
    limit = _above(hottest(plan, output) / 0.9, random)
    # No output stands less for a moment than it stands for long.
    return replace(output, limit=limit, surge=max(limit, _above(surge(plan, output), random)))


def _branch(random: Random, plan: Plan) -> Branch:
    supply = sum(plan.track) / 2 - plan.drop
    if random.random() < 0.35:
        # A small bulb, so that it is cool behind plastic, at 80 to 100 % of its voltage.
        bulb = Bulb(random.choice([1.5, 3.0, 6.0]), random.choice([0.015, 0.030, 0.040]))
        ohms = _at_least((supply - 0.9 * bulb.volts) / bulb.amperes)
        branch = Branch(("",), bulb, ohms)
    else:
        volts = random.choice([1.9, 2.1, 3.0, 3.2])
        around = random.choice([0.0, 0.1, 0.2])
        amperes = random.choice([0.002, 0.004, 0.007])
        wish = random.choice([None, amperes])
        led = Led((round(volts - around, 2), round(volts + around, 2)), random.choice([0.020, 0.030]), wish)
        leds = (led,) * random.randint(1, 2)
        ohms = _at_least((supply - len(leds) * volts) / amperes)
        branch = Branch(("",) * len(leds), leds, ohms, tolerance=random.choice([0.01, 0.05, 0.10]))
    return replace(branch, watts=next(watts for watts in RATINGS if watts * 0.5 > 1.02 * heat(plan, branch)))


def _keys(random: Random, names: list[str]) -> dict[int, tuple[Entry, ...]]:
    """Each output under a key of its own, some of them by direction or as it moves."""
    numbers = random.sample(range(29), len(names))
    conditions = [(), (), ("forward",), ("reverse",), ("moving",), ("stopped", "forward")]
    brightness = random.choice([None, None, 80])
    return {
        number: (Entry(name, random.choice(conditions), brightness),)
        for number, name in zip(numbers, names, strict=True)
    }


def _at_least(ohms: float) -> float:
    return float(next(value for value in E12 if value >= ohms))


def _above(amperes: float, random: Random) -> float:
    """A limit in whole milliamperes above that."""
    return (int(amperes * 1e3 * random.uniform(1.05, 1.6)) + 1) / 1e3
