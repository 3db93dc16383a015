"""Plugs by their contacts: which wires there are, what passes each contact, and what a wire's colour is for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from random import Random
from typing import Any

from every_state import lit, states
from flows import hottest
from plans import right_plan
from published import CONTACT, END, NO_LAMP, PINS
from specimens import Branch, Bulb, Entry, Led, Output, Plan
from trials import Case, Maker, Pair, alone, bisected, searched

SWITCHED = ("white", "yellow", "green", "violet", "aux3", "aux4", "aux5", "aux6", "aux7")
ALSO_CALLED = {"white": "F0f", "yellow": "F0r", "green": "AUX1", "violet": "AUX2"}


def _plugged(document: dict[str, Any], plug: str, random: Random) -> dict[str, Any]:
    """With that plug by the sheet, or by the vehicle alone."""
    if random.random() < 0.5:
        return {**document, "decoder": {**document["decoder"], "interface": plug}}
    return {**document, "vehicle": {**document["vehicle"], "socket": plug}}


# --- Wires ------------------------------------------------------------------------------------------------------------


def _wired(random: Random) -> Iterator[tuple[Case, bool]]:
    while True:
        plug = random.choice(sorted(PINS))
        wires = random.sample(SWITCHED, random.randint(1, 2))
        rails = {wire: random.random() < (0.7 if "blue" not in PINS[plug] else 0.2) for wire in wires}
        names = {wire: ALSO_CALLED.get(wire, wire) if random.random() < 0.3 else wire for wire in wires}
        led = Led((3.0, 3.0))
        outputs = {
            names[wire]: Output((Branch((f"lamp {wire}",), (led,), 2200.0),), rail=rails[wire]) for wire in wires
        }
        document = Plan((14.5, 14.5), 1.4, outputs, {}).document()
        are_listed = random.random() < 0.3
        if not are_listed:
            document["decoder"].pop("outputs")
        is_blue_known = random.random() < 0.2
        if is_blue_known and random.random() < 0.5:
            document["decoder"]["common"] = {"regulated": "12 V"}
        elif is_blue_known:
            document["supply"]["common"] = "13 V"
        has_blue = "blue" in PINS[plug].split() or is_blue_known
        has_all = are_listed or set(wires) <= set(PINS[plug].split())
        yield alone(_plugged(document, plug, random)), not has_all or (not has_blue and not all(rails.values()))


# --- Currents ---------------------------------------------------------------------------------------------------------


def is_overloaded(plan: Plan, plug: str) -> bool:
    """Whether more flows through a contact, or through those of the common or of a rail together, than they carry."""
    pins = Counter(PINS[plug].split())
    amperes = {name: hottest(plan, output) for name, output in plan.outputs.items()}
    if any(name in pins and each > CONTACT[plug] for name, each in amperes.items()):
        return True
    most_common, most_rail = 0.0, 0.0
    for state in states(plan):
        on = lit(plan, state)
        most_common = max(most_common, sum(amperes[name] for name in on if not plan.outputs[name].rail))
        most_rail = max(most_rail, plan.motor + sum(amperes[name] for name in on))
    return most_common > pins["blue"] * CONTACT[plug] or most_rail > pins["red"] * CONTACT[plug]


def _loaded(random: Random) -> Pair | None:
    """Bulbs and LEDs on wires with contacts and on a loose one; what one of them or the motor takes is turned up."""
    plug = random.choice(sorted(CONTACT))
    has_common = "blue" in PINS[plug].split()
    wires = [wire for wire in SWITCHED[:4] if wire in PINS[plug].split()] + ["brown"]
    names = random.sample(wires, random.randint(1, len(wires)))
    outputs = {name: _load(name, random, rail=not has_common or random.random() < 0.1) for name in names}
    numbers = random.sample(range(1, 29), len(names))
    words = [(), ("forward",), ("reverse",), ("moving",)]
    keys = {number: (Entry(name, random.choice(words)),) for number, name in zip(numbers, names, strict=True)}
    motor = random.choice([0.1, 0.2, 0.3]) * CONTACT[plug]
    plan = Plan((14.0, 15.0), 1.4, outputs, keys, motor=motor, decoder_limit=99.0)
    turned = random.choice(["motor", *names])

    def at(turn: float) -> Plan:
        if turned == "motor":
            return replace(plan, motor=plan.motor * turn)
        output = outputs[turned]
        heavier = tuple(_heavier(branch, turn) for branch in output.branches)
        return replace(plan, outputs={**outputs, turned: replace(output, branches=heavier)})

    turns = bisected(lambda turn: is_overloaded(at(turn), plug), random)
    if turns is None:
        return None
    kept = random.getstate()
    cases = []
    for turn in turns:
        random.setstate(kept)
        cases.append(alone(_plugged(at(turn).document(), plug, random)))
    return Pair(*cases)


def _load(name: str, random: Random, *, rail: bool) -> Output:
    bulb = Branch((f"bulb {name}",), Bulb(14.0, random.choice([0.03, 0.06, 0.2])), 0.0)
    led = Branch((f"led {name}",), (Led((2.8, 3.2), most=99.0),), random.choice([390.0, 680.0]), watts=99.0)
    return Output(random.choice([(bulb,), (led,), (bulb, led)]), limit=99.0, surge=999.0, rail=rail)


def _heavier(branch: Branch, turn: float) -> Branch:
    if isinstance(branch.lamps, Bulb):
        return replace(branch, lamps=replace(branch.lamps, amperes=branch.lamps.amperes * turn))
    return replace(branch, ohms=branch.ohms / turn)


# --- Colours ----------------------------------------------------------------------------------------------------------

HEADLAMPS = ("headlamp", "headlight", "head lamp", "headlamps")
OTHERS = ("cab lamp", "step lamp", "number board", "front marker lamp", "rear tail lamp", "firebox")
ENDS = {"front": ("front",), "rear": ("rear", "back")}


def _coloured(random: Random) -> Iterator[tuple[Case, bool]]:
    """The ends of the lamps are drawn first, and their names made from them."""
    document = right_plan(random.randrange(10**9)).document()
    while True:
        wire = random.choice([*sorted(NO_LAMP), *END, *END, *END, "green", "violet", "brown", "aux3"])
        lamps: dict[str, str | None] = {}
        for _ in range(random.randint(1, 2)):
            end = random.choice(["front", "rear", None])
            kind = random.choice(HEADLAMPS if end is not None else OTHERS)
            lamps[f"{random.choice(ENDS[end])} {kind}" if end is not None else kind] = end
        strangers = all(end not in (None, END.get(wire)) for end in lamps.values())
        output = Output(tuple(Branch((name,), (Led((3.0, 3.0)),), 2200.0) for name in lamps))
        plan = Plan((14.5, 14.5), 1.4, {wire: output}, {})
        yield alone({**plan.document(), "vehicle": document["vehicle"]}), wire in NO_LAMP or (wire in END and strangers)


MAKERS: dict[str, tuple[str, Maker]] = {
    "missing-wire": ("plug, by its pins", searched(_wired)),
    "overloaded-contact": ("figure, by SciPy and all states", _loaded),
    "off-code-wire": ("colour, by the standard's table", searched(_coloured)),
}
