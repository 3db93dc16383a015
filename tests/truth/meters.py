"""What a meter shows at an output, beside what the oracle's own currents come to in all corners."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product
from random import Random
from typing import Any

from flows import flows, led_volts, supplies
from plans import right_plan
from specimens import Branch, Bulb, Output, Plan
from trials import Case, Maker, Pair, alone, bisected, written

Range = tuple[float, float]


@dataclass(frozen=True)
class Shown:
    """A figure on a meter: as it is written, and the range in which what is measured lies."""

    text: str
    lowest: float
    highest: float


def shown(value: float, unit: str, digits: int, tolerance: float) -> Shown:
    """In volts or milliamperes: off by the meter's share of it and by half a step of the last digit, either way."""
    text = f"{value:.{digits}f}"
    off = float(text) * tolerance + 0.5 * 10**-digits
    scale = 1e-3 if unit == "mA" else 1.0
    return Shown(f"{text} {unit}", max(float(text) - off, 0.0) * scale, (float(text) + off) * scale)


def through(output: Output, supply: Range) -> Range:
    """Amperes of an output, least and most, with all parts at either end of what they may be."""
    sums = [0.0, 0.0]
    for branch in output.branches:
        found = [amperes for amperes, *_ in _corners(branch, supply)]
        sums = [sums[0] + min(found), sums[1] + max(found)]
    return sums[0], sums[1]


def across_resistor(branch: Branch, supply: Range) -> Range:
    """Volts, least and most."""
    found = [amperes * ohms for amperes, ohms, _ in _corners(branch, supply)]
    return min(found), max(found)


def across_first_led(branch: Branch, supply: Range) -> Range:
    """Volts, least and most."""
    assert not isinstance(branch.lamps, Bulb)
    ends = branch.lamps[0].volts
    found = [led_volts(ends[0 if corner == 0 else 1], amperes) for amperes, _, corner in _corners(branch, supply)]
    return min(found), max(found)


def _corners(branch: Branch, supply: Range) -> list[tuple[float, float, int]]:
    """Amperes, ohms, and the corner of the LEDs, for every end of supply, resistor and LEDs."""
    ohms = branch.ohms * (1 - branch.tolerance), branch.ohms * (1 + branch.tolerance)
    return [(flows(branch, volts, ohm, led), ohm, led) for volts, ohm, led in product(supply, ohms, (0, 2))]


# --- What is tried ----------------------------------------------------------------------------------------------------


def _measured(random: Random) -> Pair | None:
    """A reading that the plan comes to is turned up or down until it does not."""
    plan = right_plan(random.randrange(10**9))
    name = random.choice(sorted(plan.outputs))
    output, settings = plan.outputs[name], random.choice([None, 0.005, 0.01, 0.03])
    tolerance = 0.02 if settings is None else settings
    low, usual, high = supplies(plan)
    voltage = shown(random.uniform(low, high), "V", 2, tolerance) if random.random() < 0.5 else None
    supply = (voltage.lowest, voltage.highest) if voltage is not None else (low, high)
    quantities: dict[str, tuple[Callable[[], Range], float]] = {
        "voltage": (lambda: (low, high), usual),
        "current": (lambda: through(output, supply), 0.0),
    }
    branch = output.branches[0]
    if len(output.branches) == 1 and not isinstance(branch.lamps, Bulb):
        quantities["resistor"] = (lambda: across_resistor(branch, supply), 0.0)
        quantities[branch.names[0]] = (lambda: across_first_led(branch, supply), 0.0)
    what = random.choice(sorted(quantities))
    expected = quantities[what][0]()
    unit, digits = ("mA", random.choice([2, 3])) if what == "current" else ("V", random.choice([2, 3]))
    middle, sign = sum(expected) / 2 * (1e3 if unit == "mA" else 1), random.choice([-1, 1])

    def read(turn: float) -> Shown:
        return shown(middle * turn**sign, unit, digits, tolerance)

    def is_wrong(turn: float) -> bool:
        reading = read(turn)
        return reading.lowest > expected[1] or reading.highest < expected[0]

    turns = bisected(is_wrong, random, away=(2e-3, 0.02))
    if turns is None:
        return None
    cases = []
    for turn in turns:
        readings: dict[str, Any] = {"voltage": voltage.text} if voltage is not None and what != "voltage" else {}
        text = read(turn).text
        if what in ("voltage", "current"):
            readings[what] = text
        else:
            readings["across"] = {f"{branch.ohms:.9g} ohm" if what == "resistor" else what: text}
        cases.append(_case(plan, name, readings, settings))
    return Pair(*cases)


def _case(plan: Plan, name: str, readings: dict[str, Any], meter: float | None) -> Case:
    document = plan.document()
    document["outputs"][name]["measured"] = readings
    settings = written({"lampwright": 1, "meter": f"{meter * 100:.9g} %"}) if meter is not None else None
    return alone(document, settings)


MAKERS: dict[str, tuple[str, Maker]] = {"measured-otherwise": ("figure, by SciPy in all corners", _measured)}
