"""Lighting plans with known truth: what flows, solved with SciPy and by brute force, and which rules must speak.

Nothing here imports the analysis. Laws and constants were copied from those that it states in its comments.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import Any

from scipy.optimize import brentq, minimize_scalar

EMISSION, TEST_CURRENT = 0.052, 0.010
"""Volts per factor e of an LED's current; amperes at which its forward voltage holds."""

BULB_EXPONENT, LIGHT_EXPONENT, HOT_OVER_COLD = 0.55, 3.5, 10.0
OUTPUT_MARGIN, LAMP_MARGIN, RESISTOR_MARGIN = 0.9, 0.9, 0.5
HIGHEST_TRACK = 22.0
E12 = tuple(
    value * 10**power for power in (0, 1, 2, 3, 4) for value in (10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82)
)

Span = tuple[float, float]
"""The lowest and the highest value; the usual one is in the middle."""


@dataclass(frozen=True)
class Led:
    """Volts, and amperes; without a wish nothing is too dim."""

    volts: Span
    most: float = 0.020
    wish: float | None = None


@dataclass(frozen=True)
class Bulb:
    """Volts and amperes at its rating."""

    volts: float
    amperes: float


@dataclass(frozen=True)
class Branch:
    """A resistor (ohms; none if zero) with LEDs or one bulb behind it."""

    names: tuple[str, ...]
    lamps: tuple[Led, ...] | Bulb
    ohms: float
    watts: float = 2.0
    tolerance: float = 0.05


@dataclass(frozen=True)
class Output:
    """Branches side by side, and the amperes that the output of the decoder stands, for long and for a moment."""

    branches: tuple[Branch, ...]
    limit: float = 0.5
    surge: float = 9.0


@dataclass(frozen=True)
class Entry:
    """One item of `turns-on`: the output, the conditions that all must hold, and the brightness in per cent."""

    output: str
    when: tuple[str, ...] = ()
    brightness: int | None = None


@dataclass(frozen=True)
class Plan:
    """All that such a plan says, in volts and amperes; `keys` are by number."""

    track: Span
    drop: float
    outputs: Mapping[str, Output]
    keys: Mapping[int, tuple[Entry, ...]]
    always: tuple[Entry, ...] = ()
    momentary: frozenset[int] = frozenset()
    motor: float = 0.4
    decoder_limit: float = 3.0
    shell: str = "metal"

    def text(self) -> str:
        """As it is written: JSON, which is YAML in flow style, and so shares nothing with a writer of ours."""
        return json.dumps(self.document(), indent=1) + "\n"

    def document(self) -> dict[str, Any]:
        """The same as plain data."""
        outputs = {
            name: {"number": number, "limit": f"{each.limit * 1e3:.9g} mA", "surge": f"{each.surge * 1e3:.9g} mA"}
            for number, (name, each) in enumerate(self.outputs.items(), 1)
        }
        decoder = {
            "common": {"drop": f"{self.drop:.9g} V"},
            "limits": {"whole-decoder": f"{self.decoder_limit * 1e3:.9g} mA"},
            "keys": {"highest": 28},
            "outputs": outputs,
        }
        keys: dict[str, Any] = {}
        for number, entries in self.keys.items():
            keys[f"F{number}"] = {"turns-on": [_entry(each) for each in entries]}
            if number in self.momentary:
                keys[f"F{number}"]["momentary"] = True
        branches = [branch for each in self.outputs.values() for branch in each.branches]
        return {
            "vehicle": {"name": "Tipper 9", "motor": f"{self.motor * 1e3:.9g} mA", "shell": self.shell},
            "supply": {"track": _span(self.track)},
            "decoder": decoder,
            "lamps": {name: lamp for branch in branches for name, lamp in _lamps(branch)},
            "outputs": {name: {"circuit": _circuit(each)} for name, each in self.outputs.items()},
            "always": [_entry(each) for each in self.always],
            "keys": keys,
        }


def _entry(entry: Entry) -> dict[str, Any]:
    said: dict[str, Any] = {"output": entry.output}
    if entry.when:
        said["when"] = list(entry.when)
    if entry.brightness is not None:
        said["brightness"] = f"{entry.brightness} %"
    return said


def _span(volts: Span) -> str:
    return f"{volts[0]:.9g} V" if volts[0] == volts[1] else f"{volts[0]:.9g} V to {volts[1]:.9g} V"


def _lamps(branch: Branch) -> Iterable[tuple[str, Any]]:
    if isinstance(branch.lamps, Bulb):
        bulb = branch.lamps
        yield branch.names[0], {"bulb": {"voltage": f"{bulb.volts:.9g} V", "current": f"{bulb.amperes * 1e3:.9g} mA"}}
        return
    for name, led in zip(branch.names, branch.lamps, strict=True):
        data = {"forward-voltage": _span(led.volts), "maximum-current": f"{led.most * 1e3:.9g} mA"}
        if led.wish is not None:
            data["current"] = f"{led.wish * 1e3:.9g} mA"
        yield name, {"led": data}


def _circuit(output: Output) -> list[Any]:
    rows: list[list[Any]] = []
    for branch in output.branches:
        resistor = {
            "resistor": f"{branch.ohms:.9g} ohm",
            "rating": f"{branch.watts * 1e3:.9g} mW",
            "tolerance": f"{branch.tolerance * 100:.9g} %",
        }
        rows.append(([resistor] if branch.ohms else []) + list(branch.names))
    return rows[0] if len(rows) == 1 else [{"parallel": rows}]


# --- What flows -------------------------------------------------------------------------------------------------------


def led_volts(forward: float, amperes: float) -> float:
    """Shockley's equation with ten ohms in series, through the forward voltage at the test current."""
    inside = min(10.0, 0.2 / TEST_CURRENT)
    saturation = TEST_CURRENT / math.expm1((forward - inside * TEST_CURRENT) / EMISSION)
    return EMISSION * math.log1p(amperes / saturation) + inside * amperes


def bulb_amperes(bulb: Bulb, volts: float) -> float:
    """The power law, and the cold resistance where that lets less through."""
    cold = bulb.volts / bulb.amperes / HOT_OVER_COLD
    return min(bulb.amperes * (volts / bulb.volts) ** BULB_EXPONENT, volts / cold)


def flows(branch: Branch, supply: float, ohms: float, corner: int) -> float:
    """Amperes in `branch`, with its LEDs at the lowest (0), usual (1) or highest (2) forward voltage."""
    if supply <= 0:
        return 0.0
    if isinstance(branch.lamps, Bulb):
        bulb = branch.lamps
        if not ohms:
            return bulb_amperes(bulb, supply)
        volts = brentq(lambda at: at + ohms * bulb_amperes(bulb, at) - supply, 0.0, supply, xtol=1e-13)
        return bulb_amperes(bulb, volts)
    forward = [(led.volts[0], sum(led.volts) / 2, led.volts[1])[corner] for led in branch.lamps]

    def left(amperes: float) -> float:
        return sum(led_volts(each, amperes) for each in forward) + ohms * amperes - supply

    return float(brentq(left, 0.0, supply / ohms, xtol=1e-16))


def supplies(plan: Plan) -> tuple[float, float, float]:
    """Volts behind the decoder: lowest, usual, highest."""
    low, high = plan.track
    return low - plan.drop, (low + high) / 2 - plan.drop, high - plan.drop


def corners(plan: Plan, branch: Branch) -> tuple[float, float, float]:
    """Amperes in the cold corner, with usual values, in the hot corner."""
    low, usual, high = supplies(plan)
    return (
        flows(branch, low, branch.ohms * (1 + branch.tolerance), 2),
        flows(branch, usual, branch.ohms, 1),
        flows(branch, high, branch.ohms * (1 - branch.tolerance), 0),
    )


def heat(plan: Plan, branch: Branch) -> float:
    """Watts at most in the resistor, over all values inside its tolerance."""
    supply = supplies(plan)[2]
    ends = branch.ohms * (1 - branch.tolerance), branch.ohms * (1 + branch.tolerance)

    def cool(ohms: float) -> float:
        return -ohms * flows(branch, supply, ohms, 0) ** 2

    inner = minimize_scalar(cool, bounds=ends, method="bounded").fun if branch.tolerance else 0.0
    return float(-min(inner, *map(cool, ends)))


def bulb_volts(plan: Plan, branch: Branch) -> tuple[float, float, float]:
    """Volts across the bulb in the three corners."""
    ohms = branch.ohms * (1 + branch.tolerance), branch.ohms, branch.ohms * (1 - branch.tolerance)
    low, usual, high = (
        supply - ohm * amperes for supply, ohm, amperes in zip(supplies(plan), ohms, corners(plan, branch), strict=True)
    )
    return low, usual, high


def surge(plan: Plan, output: Output) -> float:
    """Amperes with cold filaments."""
    total, supply = 0.0, supplies(plan)[2]
    for branch in output.branches:
        if isinstance(branch.lamps, Bulb):
            cold = branch.lamps.volts / branch.lamps.amperes / HOT_OVER_COLD
            total += supply / (cold + branch.ohms * (1 - branch.tolerance))
        else:
            total += corners(plan, branch)[2]
    return total


# --- Which outputs burn -----------------------------------------------------------------------------------------------

State = tuple[frozenset[int], bool, bool]
"""The keys that are on, whether forward, whether moving."""


def states(plan: Plan) -> Iterable[State]:
    """All of them, one by one: each key that turns on something or is asked for."""
    asked = {int(word.split("F")[-1]) for entry in _entries(plan) for word in entry.when if "F" in word}
    numbers = sorted({*plan.keys, *asked})
    for on in product((False, True), repeat=len(numbers)):
        keys = frozenset(number for number, is_on in zip(numbers, on, strict=True) if is_on)
        for forward, moving in product((True, False), repeat=2):
            yield keys, forward, moving


def _entries(plan: Plan) -> list[Entry]:
    return [*plan.always, *(entry for entries in plan.keys.values() for entry in entries)]


def holds(entry: Entry, key: int | None, state: State) -> bool:
    """Whether `entry` under `key` (None: of `always`) turns on its output."""
    on, forward, moving = state
    meaning = {"forward": forward, "reverse": not forward, "moving": moving, "stopped": not moving}

    def is_met(word: str) -> bool:
        if word.startswith("not F"):
            return int(word[5:]) not in on
        return int(word[1:]) in on if word.startswith("F") else meaning[word]

    return (key is None or key in on) and all(map(is_met, entry.when))


def keyed(plan: Plan) -> list[tuple[int | None, Entry]]:
    """Each entry with its key."""
    return [(None, each) for each in plan.always] + [(key, each) for key, some in plan.keys.items() for each in some]


def lit(plan: Plan, state: State) -> frozenset[str]:
    """The outputs that are on."""
    return frozenset(entry.output for key, entry in keyed(plan) if holds(entry, key, state))


# --- What must be said ------------------------------------------------------------------------------------------------


def verdicts(plan: Plan) -> frozenset[str]:
    """The names of the rules that have something to say of `plan`, among those that JUDGED lists."""
    return frozenset({*_of_branches(plan), *_of_outputs(plan), *_of_states(plan)})


JUDGED = (
    "overdriven-led",
    "dim-led",
    "unlit-string",
    "overloaded-output",
    "overloaded-decoder",
    "surging-output",
    "overheated-resistor",
    "wrong-lamp-voltage",
    "dim-bulb",
    "unequal-pair",
    "hot-lamp",
    "hot-on-other-layouts",
    "no-preferred-value",
    "impossible-condition",
    "conflicting-conditions",
    "conflicting-effects",
    "always-lit",
    "dark-output",
    "momentary-light",
)
"""Rules whose verdict is computed here, and not known from how the plan was made."""


def _of_branches(plan: Plan) -> Iterable[str]:
    light: dict[str, float] = {}
    for branch in (branch for each in plan.outputs.values() for branch in each.branches):
        amperes = corners(plan, branch)
        if branch.ohms and heat(plan, branch) > RESISTOR_MARGIN * branch.watts:
            yield "overheated-resistor"
        if branch.ohms and not any(math.isclose(branch.ohms, value) for value in E12):
            yield "no-preferred-value"
        if isinstance(branch.lamps, Bulb):
            yield from _of_bulb(plan, branch)
            continue
        yield from _of_leds(plan, branch, branch.lamps, amperes)
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


def hottest(plan: Plan, output: Output) -> float:
    """Amperes that an output draws at most."""
    return sum(corners(plan, branch)[2] for branch in output.branches)


def _of_outputs(plan: Plan) -> Iterable[str]:
    for output in plan.outputs.values():
        if hottest(plan, output) > OUTPUT_MARGIN * output.limit:
            yield "overloaded-output"
        elif any(isinstance(each.lamps, Bulb) for each in output.branches) and surge(plan, output) > output.surge:
            yield "surging-output"


def worst(plan: Plan) -> float:
    """Amperes that the decoder carries at most, with the motor."""
    each = {name: hottest(plan, output) for name, output in plan.outputs.items()}
    return plan.motor + max(sum(each[name] for name in lit(plan, state)) for state in states(plan))


def _of_states(plan: Plan) -> Iterable[str]:
    every, entries = list(states(plan)), keyed(plan)
    if worst(plan) > OUTPUT_MARGIN * plan.decoder_limit:
        yield "overloaded-decoder"
    if any(not any(holds(entry, key, state) for state in every) for key, entry in entries):
        yield "impossible-condition"
    if plan.outputs.keys() - {entry.output for _, entry in entries}:
        yield "dark-output"
    for name in {entry.output for key, entry in entries if key is not None and entry.brightness is None}:
        if all(name in lit(plan, state) for state in every):
            yield "always-lit"
    yield from _of_looks(plan, every)
    if any(_goes_out(plan, key, entry, every) for key, entry in entries if key in plan.momentary):
        yield "momentary-light"


def _of_looks(plan: Plan, every: Sequence[State]) -> Iterable[str]:
    entries = keyed(plan)
    for number, (key, one) in enumerate(entries):
        for other_key, other in entries[:number]:
            if one.output != other.output or None in (one.brightness, other.brightness):
                continue
            are_together = any(holds(one, key, state) and holds(other, other_key, state) for state in every)
            if one.brightness != other.brightness and are_together:
                yield "conflicting-conditions" if key == other_key else "conflicting-effects"


def _goes_out(plan: Plan, key: int | None, entry: Entry, every: Sequence[State]) -> bool:
    """Whether the output of `entry` burns in some state by its momentary key alone."""
    others = replace(plan, keys={number: entries for number, entries in plan.keys.items() if number != key})
    return any(holds(entry, key, each) and entry.output not in lit(others, each) for each in every)
