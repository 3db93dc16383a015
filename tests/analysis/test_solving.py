"""Newton's method in chains and nests against the polygons that it falls back on, on random networks of all elements."""

from __future__ import annotations

import math
from dataclasses import dataclass
from random import Random

import pytest

from analysis.circuits import chain, diode, parallel, resistor, solved
from lampwright.analysis.electrical.characteristics import Characteristic, Filament, Ohmic, junction, limiter, ohmic
from lampwright.analysis.electrical.law import CURRENT_EXPONENT, EMISSION, HOT_OVER_COLD
from lampwright.analysis.electrical.nests import Joint, Network, Part, Solution, closed, network_of
from lampwright.analysis.electrical.refining import refined
from lampwright.analysis.electrical.solving import resistance_around, solve


def filament(voltage: float, current: float) -> Filament:
    return Filament(voltage, current, CURRENT_EXPONENT, voltage / current / HOT_OVER_COLD, current)


def led(forward: float) -> Characteristic:
    return junction(forward, 0.010, EMISSION, 10.0, 0.0)


@dataclass
class Maker:
    """Random networks; every chain has a resistor of its own, so that no current is a matter of the last bits."""

    random: Random

    def network(self, levels: int) -> tuple[Network, list[Characteristic]]:
        self.made: list[Characteristic] = []
        part = closed(self._chain(levels))
        assert part is not None
        network, before = network_of(part)
        return network, [self.made[number] for number in before]

    def _chain(self, levels: int) -> Joint:
        parts: list[Part] = [self._element(self._any()) for _ in range(self.random.randint(0, 3))]
        parts.insert(self.random.randint(0, len(parts)), self._element(ohmic(10 ** self.random.uniform(0, 4))))
        if levels:
            branches = tuple(self._chain(levels - 1) for _ in range(self.random.randint(2, 3)))
            parts.insert(self.random.randint(0, len(parts)), Joint(is_series=False, parts=branches))
        return Joint(is_series=True, parts=tuple(parts))

    def _element(self, characteristic: Characteristic) -> int:
        self.made.append(characteristic)
        return len(self.made) - 1

    def _any(self) -> Characteristic:
        draw = self.random.random()
        if draw < 0.08:
            return ohmic(0.0)
        if draw < 0.12:
            return ohmic(math.inf)
        if draw < 0.25:
            return limiter(self.random.choice([0.002, 0.010, 0.020]), self.random.choice([0.0, 2.0, 3.0]))
        if draw < 0.45:
            return filament(*self.random.choice([(1.5, 0.015), (12.0, 0.06), (16.0, 0.03)]))
        if draw < 0.55:
            return junction(0.7, 0.010, EMISSION, 0.0, 0.0)
        return led(self.random.choice([1.8, 2.1, 3.0, 3.3]))


def agree(ours: Solution, theirs: Solution, supply: float) -> bool:
    """To the ninth digit; of the femtoamperes that a gap lets through the polygons know the volts less well."""
    points = zip(ours.currents, theirs.currents, ours.voltages, theirs.voltages, strict=True)
    return all(
        math.isclose(current, other_current, rel_tol=1e-9, abs_tol=1e-15)
        and math.isclose(volts, other_volts, rel_tol=1e-9, abs_tol=supply * (1e-9 if current > 1e-12 else 1e-4))
        for current, other_current, volts, other_volts in points
    )


@pytest.mark.parametrize("levels", [0, 1, 2])
def test_it_agrees_with_the_polygons(levels):
    random = Random(20_000 + levels)
    for number in range(120 if levels < 2 else 60):
        network, characteristics = Maker(random).network(levels)
        supply = random.choice([0.0, 0.1, 1.0, 5.0, 14.0, 27.0])
        ours, theirs = (way(network, characteristics, supply) for way in (solve, refined))
        assert agree(ours, theirs, supply), number


@pytest.mark.parametrize("seed", range(40))
def test_every_element_is_on_its_characteristic_and_all_add_up(seed):
    random = Random(30_000 + seed)
    network, characteristics = Maker(random).network(2)
    supply = random.uniform(1, 27)
    solution = solve(network, characteristics, supply)
    for number, each in enumerate(characteristics):
        volts, slope = each.tangent(solution.currents[number])
        # The last bits of a current are no matter, times its slope.
        assert abs(volts - solution.voltages[number]) <= 1e-9 * supply + 1e-12 * slope * solution.currents[number]
    assert across(network.nest, solution) == pytest.approx(supply, rel=1e-9)


def across(part: Part, solution: Solution) -> float:
    """Volts of `part`, with Kirchhoff's laws looked at in each joint."""
    if isinstance(part, int):
        return solution.voltages[part]
    volts = [across(each, solution) for each in part.parts]
    if part.is_series:
        currents = [through(each, solution) for each in part.parts]
        assert currents == pytest.approx([currents[0]] * len(currents), rel=1e-9, abs=1e-15)
        return sum(volts)
    assert volts == pytest.approx([volts[0]] * len(volts), rel=1e-9, abs=1e-9)
    return volts[0]


def through(part: Part, solution: Solution) -> float:
    if isinstance(part, int):
        return solution.currents[part]
    currents = [through(each, solution) for each in part.parts]
    return currents[0] if part.is_series else sum(currents)


def test_the_resistance_around_an_element_is_a_finite_difference():
    looked_at = 0
    for seed in range(60):
        random = Random(40_000 + seed)
        network, characteristics = Maker(random).network(random.choice([0, 1, 2]))
        supply = random.uniform(5, 27)
        solution = solve(network, characteristics, supply)
        for number in range(network.size):
            if solution.voltages[number] > 1e-3 and solution.currents[number] > 1e-6:
                looked_at += is_difference(network, characteristics, supply, solution, number)
    assert looked_at > 200


def is_difference(
    network: Network, characteristics: list[Characteristic], supply: float, solution: Solution, number: int
) -> bool:
    """Whether the element stands where nothing turns a corner, where there would be two slopes; then it must agree."""
    # A resistor in its place with the same voltage and current changes nothing; a little more or less of it does.
    resistance, tried = solution.voltages[number] / solution.currents[number], []
    for factor in (1 - 1e-4, 1 + 1e-4):
        changed = [*characteristics]
        changed[number] = ohmic(resistance * factor)
        tried.append(solve(network, changed, supply))
    fewer, more = tried
    slopes = zip(fewer.slopes, more.slopes, range(network.size), strict=True)
    if any(not math.isclose(low, high, rel_tol=0.01) for low, high, at in slopes if at != number):
        return False
    rise = more.voltages[number] - fewer.voltages[number]
    fall = fewer.currents[number] - more.currents[number]
    around = resistance_around(network, solution.slopes, number)
    assert around * fall == pytest.approx(rise, rel=1e-3, abs=1e-9)
    return True


def test_a_resistor_around_an_element_by_hand():
    # 100 ohm in series, and 200 ohm beside: of the element in front of both nothing else is seen.
    part = closed(Joint(True, (0, 1, Joint(False, (2, 3)))))
    network, _ = network_of(part)
    slopes = [10.0, 100.0, 200.0, 300.0]
    assert resistance_around(network, slopes, 0) == pytest.approx(100 + 120)
    assert resistance_around(network, slopes, 2) == pytest.approx(1 / (1 / 300 + 1 / 110))


# --- Large networks end soon ------------------------------------------------------------------------------------------


class Counted:
    """A characteristic that counts how often it is asked."""

    asked = 0

    def __init__(self, characteristic: Characteristic) -> None:
        self._characteristic = characteristic
        self.start = characteristic.start

    def tangent(self, current: float) -> tuple[float, float]:
        Counted.asked += 1
        return self._characteristic.tangent(current)

    def current_at(self, voltage: float) -> float:
        Counted.asked += 1
        return self._characteristic.current_at(voltage)

    def onward(self, current: float, tangent: tuple[float, float], reached: float) -> float:
        return self._characteristic.onward(current, tangent, reached)


def ladder(depth: int, bent: Characteristic) -> tuple[Network, list[Characteristic]]:
    """Three elements a rung: a resistor before the rest beside a bent element with a resistor of its own."""
    made: list[Characteristic] = [Counted(bent), ohmic(330.0)]
    nest = Joint(True, (0, 1))
    for _ in range(depth):
        at = len(made)
        made.extend((ohmic(5.0), Counted(bent), ohmic(1000.0)))
        nest = Joint(True, (at, Joint(False, (nest, Joint(True, (at + 1, at + 2))))))
    network, before = network_of(nest)
    return network, [made[number] for number in before]


@pytest.mark.parametrize("bent", [led(2.0), filament(12.0, 0.06), limiter(0.01, 2.0)], ids=["led", "bulb", "regulator"])
@pytest.mark.parametrize("supply", [1.0, 14.0, 27.0])
def test_a_nest_of_depth_100_with_300_elements(bent, supply):
    network, characteristics = ladder(100, bent)
    Counted.asked = 0
    solution = solve(network, characteristics, supply)
    assert across(network.nest, solution) == pytest.approx(supply, rel=1e-9)
    # A hundred bent elements, each asked a few times a round: not the polygons, which ask for ever finer ones.
    assert Counted.asked <= 40 * 101


def test_a_chain_of_300_elements():
    characteristics = [Counted(led(0.02)) if number % 2 else ohmic(10.0) for number in range(300)]
    Counted.asked = 0
    network, _ = network_of(Joint(True, tuple(range(300))))
    solution = solve(network, characteristics, 12.0)
    assert sum(solution.voltages) == pytest.approx(12.0)
    assert len(set(solution.currents)) == 1
    assert Counted.asked <= 20 * 150


def test_without_a_supply_nothing_flows():
    for seed in range(20):
        network, characteristics = Maker(Random(50_000 + seed)).network(1)
        solution = solve(network, characteristics, 0.0)
        assert solution.currents == pytest.approx([0.0] * network.size, abs=1e-250)
        assert solution.voltages == pytest.approx([0.0] * network.size, abs=1e-200)
        assert all(
            isinstance(each, Ohmic) or slope > 0 for each, slope in zip(characteristics, solution.slopes, strict=True)
        )


@pytest.mark.parametrize("volts", [13.1, 1e3, 1e8, 1e14])
def test_a_diode_that_nothing_limits_has_a_current_that_is_told_as_unlimited(volts):
    facts = solved(chain(diode(0.7)), volts)
    assert facts.current.highest == math.inf
    beside = solved(chain(resistor(0.0), parallel(chain(diode(0.7)), chain(resistor(1000.0)))), volts)
    assert beside.current.highest == math.inf
