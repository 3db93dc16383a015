"""Our solver against root finding: SciPy's `brentq` on the same circuits, with the laws written down a second time.

Where we follow tangents through the whole network at once, this asks for one voltage at a current, or one current at a
voltage, and lets `scipy.optimize.brentq` search (R. P. Brent, Algorithms for Minimization Without Derivatives, 1973),
one search inside the other. An LED behind a resistor has a closed solution besides, by Lambert's function.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from operator import attrgetter
from random import Random

import pytest
from scipy.optimize import brentq
from scipy.special import lambertw

import laws_again
from analysis.circuits import Maker, bulb, chain, led, parallel, resistor, solved
from lampwright.analysis.electrical.facts import ElementFacts
from lampwright.analysis.electrical.law import EMISSION, SERIES_RESISTANCE, Spread
from lampwright.model.circuit import (
    Board,
    Bulb,
    Chain,
    Diode,
    Driver,
    Element,
    Led,
    Parallel,
    PlacedLamp,
    Regulator,
    Resistor,
    leaves,
)
from laws_again import SEARCH, Law

# Most current flows with every voltage and resistance at its lowest and every current at its highest.
MOST, USUAL, LEAST = ("lowest", "highest"), ("usual", "usual"), ("highest", "lowest")


def law(element: Element, ends: tuple[str, str]) -> Law:
    """Of one element, with its voltages and ohms at the first of `ends`, its amperes at the second."""
    volts, amperes = attrgetter(ends[0]), attrgetter(ends[1])
    match element:
        case Resistor(resistance=resistance):
            return laws_again.ohms(volts(resistance))
        case Diode(drop=drop):
            return laws_again.diode(volts(drop))
        case Regulator(current=current, needs=needs):
            return laws_again.regulator(amperes(current), volts(needs) if needs else 0.0)
        case Board(voltage=voltage, current=current):
            return laws_again.ohms(volts(voltage) / amperes(current))
        case Driver():
            return laws_again.ohms(0.0)
        case PlacedLamp(lamp=lamp):
            return law_of_lamp(lamp.kind, ends, is_reversed=element.reversed)
    raise TypeError(element)


def law_of_lamp(kind: Led | Bulb, ends: tuple[str, str], *, is_reversed: bool) -> Law:
    volts, amperes = attrgetter(ends[0]), attrgetter(ends[1])
    if isinstance(kind, Bulb):
        return laws_again.bulb(volts(kind.voltage), amperes(kind.current))
    if is_reversed:
        return laws_again.GAP
    return laws_again.led(volts(kind.forward_voltage), kind.test_current, volts(kind.built_in_resistor))


class Nest:
    """A circuit with a law for each of its elements."""

    def __init__(self, laws: dict[int, Law]) -> None:
        self._laws = laws

    def voltage(self, element: Element, current: float) -> float:
        match element:
            case Chain(elements=parts):
                return sum(self.voltage(part, current) for part in parts)
            case Parallel(branches=branches):
                return self._across(branches, current)
        return self._laws[id(element)](current)

    def _across(self, branches: tuple[Chain, ...], total: float) -> float:
        """If all of it went through one branch, no branch would need more than that one does; a little more brackets it."""
        if len(branches) == 1:
            return self.voltage(branches[0], total)
        most = 1.000001 * min(self.voltage(branch, total) for branch in branches)

        def excess(volts: float) -> float:
            return sum(self.current(branch, volts) for branch in branches) / total - 1

        return brentq(excess, most * 1e-12, most, **SEARCH)

    def current(self, branch: Chain, volts: float) -> float:
        """Searched for in its logarithm, below what its resistors alone would let through."""
        own = sum(part.resistance.lowest for part in branch.elements if isinstance(part, Resistor))
        most = math.log(1.000001 * volts / own)

        def missing(exponent: float) -> float:
            return self.voltage(branch, math.exp(exponent)) - volts

        least = most - 1
        while missing(least) > 0:
            most, least = least, least - 2 * (most - least)
            if least < -200:
                return 0.0
        return math.exp(brentq(missing, least, most, **SEARCH))

    def currents(self, element: Element, volts: float, amperes: float) -> Iterator[float]:
        """Of every element below, in reading order."""
        match element:
            case Chain(elements=parts):
                for part in parts:
                    yield from self.currents(part, self.voltage(part, amperes), amperes)
            case Parallel(branches=branches):
                for branch in branches:
                    yield from self.currents(branch, volts, self.current(branch, volts))
            case _:
                yield amperes


def agree(facts: ElementFacts, ours: float, theirs: float) -> bool:
    if isinstance(facts.element, PlacedLamp) and facts.element.reversed:
        # Its femtoamperes are there for the solver only.
        return ours <= 1.001 * theirs < 1e-13
    return math.isclose(ours, theirs, rel_tol=1e-9, abs_tol=1e-15)


# Each level of parallels inside each other makes the nested searches a few hundred times slower.
DEEP = range(2000, 2006)


@pytest.mark.parametrize("seeds", [*(range(first, first + 20) for first in range(0, 200, 20)), DEEP])
def test_currents_of_random_circuits(seeds):
    for seed in seeds:
        maker = Maker(Random(seed))
        circuit, supply = maker.circuit(2 if seeds is DEEP else 1, 2), maker.supply()
        nest = Nest({id(leaf): law(leaf, USUAL) for leaf in leaves(circuit)})
        facts = solved(circuit, supply)
        total = nest.current(circuit, supply)
        assert facts.current.usual == pytest.approx(total, rel=1e-9, abs=1e-15), seed
        theirs = list(nest.currents(circuit, supply, total))
        assert len(theirs) == len(facts.elements)
        for element, amperes in zip(facts.elements, theirs, strict=True):
            assert agree(element, element.current.usual, amperes), seed


@pytest.mark.parametrize("seed", range(1000, 1060))
def test_extremes_of_one_element_in_random_circuits(seed):
    """What is in series on its way at one end, what is beside that way at the other.

    The element itself gets most current where it lets most through, and most voltage where it lets least.
    """
    random = Random(seed)
    maker = Maker(random, spread=True)
    circuit, supply = maker.circuit(1, 2), maker.supply()
    facts = random.choice(solved(circuit, supply).elements)
    hot, cold = (MOST, LEAST, supply[2]), (LEAST, MOST, supply[0])
    assert agree(facts, facts.current.highest, at_end(circuit, facts.element, MOST, hot)[1])
    assert agree(facts, facts.current.lowest, at_end(circuit, facts.element, LEAST, cold)[1])
    if not isinstance(facts.element, Driver):
        # Where a regulator holds its current the last bits of that are volts.
        highest, lowest = at_end(circuit, facts.element, LEAST, hot)[0], at_end(circuit, facts.element, MOST, cold)[0]
        assert facts.voltage.highest == pytest.approx(highest, rel=1e-9, abs=1e-6 * supply[2])
        assert facts.voltage.lowest == pytest.approx(lowest, rel=1e-9, abs=1e-6 * supply[2])


def at_end(circuit: Chain, element: Element, own: tuple[str, str], corner) -> tuple[float, float]:
    """Volts and amperes of `element`, itself at `own` end, with what is in its way and beside it as `corner` says."""
    in_way, other, supply = corner
    beside = set(beside_way(circuit, element))
    laws = {id(leaf): law(leaf, other if id(leaf) in beside else in_way) for leaf in leaves(circuit)}
    laws[id(element)] = law(element, own)
    nest = Nest(laws)
    amperes = nest.currents(circuit, supply, nest.current(circuit, supply))
    carried = next(each for leaf, each in zip(leaves(circuit), amperes, strict=True) if leaf is element)
    return laws[id(element)](carried), carried


def beside_way(element: Element, target: Element) -> Iterator[int]:
    """What is in a branch beside the one with `target`."""
    match element:
        case Chain(elements=parts):
            for part in parts:
                yield from beside_way(part, target)
        case Parallel(branches=branches) if holds(element, target):
            for branch in branches:
                if holds(branch, target):
                    yield from beside_way(branch, target)
                else:
                    yield from map(id, leaves(branch))


def holds(element: Element, target: Element) -> bool:
    return any(leaf is target for leaf in leaves(element))


# --- An LED behind a resistor, in closed form -------------------------------------------------------------------------


@pytest.mark.parametrize("resistance", [47.0, 470.0, 1500.0, 10e3])
@pytest.mark.parametrize("forward", [1.8, 2.1, 3.2])
@pytest.mark.parametrize("supply", [5.0, 9.0, 13.1])
def test_led_behind_a_resistor_by_lamberts_function(supply, forward, resistance):
    """V = n V_T ln(1 + I / I_S) + R I has I = n V_T / R W(R I_S / n V_T exp((V + R I_S) / n V_T)) - I_S.

    T. C. Banwell and A. Jayakumar, Exact analytical solution for current flow through diode with series resistance,
    Electronics Letters 36 (2000), 291: from memory, and derived again by putting it in.
    """
    saturation = 0.010 / math.expm1((forward - SERIES_RESISTANCE * 0.010) / EMISSION)
    whole = resistance + SERIES_RESISTANCE
    argument = whole * saturation / EMISSION * math.exp((supply + whole * saturation) / EMISSION)
    current = EMISSION / whole * lambertw(argument).real - saturation
    assert solved(chain(resistor(resistance), led(forward)), supply).current.usual == pytest.approx(current, rel=1e-9)


# --- The second solver itself, by hand --------------------------------------------------------------------------------


def test_the_second_solver_by_hand():
    circuit = chain(resistor(900.0), parallel(chain(led(2.4), resistor(60.0)), chain(bulb(1.2, 0.04), resistor(45.0))))
    nest = Nest({id(leaf): law(leaf, USUAL) for leaf in leaves(circuit)})
    # 3 V stand across both: 2.4 V and 0.6 V at the LED's 10 mA, 1.2 V and 1.8 V at the bulb's 40 mA.
    assert nest.voltage(circuit, 0.050) == pytest.approx(0.050 * 900 + 3.0)
    assert nest.current(circuit, 0.050 * 900 + 3.0) == pytest.approx(0.050)
    assert list(nest.currents(circuit, 48.0, 0.050)) == pytest.approx([0.050, 0.010, 0.010, 0.040, 0.040])


def test_the_laws_by_hand():
    # At their own figures.
    assert laws_again.led(3.0)(0.010) == pytest.approx(3.0)
    assert laws_again.led(3.0, 0.020, 470.0)(0.020) == pytest.approx(3.0 + 9.4)
    assert laws_again.diode(0.7)(0.010) == pytest.approx(0.7)
    assert laws_again.bulb(12.0, 0.06)(0.06) == pytest.approx(12.0)
    # Ten times the current of a junction takes n V_T ln 10 more, its resistance aside.
    assert laws_again.diode(0.7)(0.100) - 0.7 == pytest.approx(EMISSION * math.log(10))
    # Half of the voltage leaves 0.683 of the current; below 0.6 % of it the filament is cold.
    assert laws_again.bulb(12.0, 0.06)(0.06 * 0.5**0.55) == pytest.approx(6.0)
    assert laws_again.bulb(12.0, 0.06)(0.0006) == pytest.approx(0.0006 * 20)
    # Half of the time 12 V heat like 8.49 V all the time: 0.826 of the current flows where 12 V / R(8.49 V) is asked.
    assert laws_again.bulb(12.0, 0.06, on=0.5)(12 / (200 * 0.5 ** (0.45 / 2))) == pytest.approx(12.0)
    assert laws_again.regulator(0.010, 2.0)(0.005) == pytest.approx(1.0)
    assert [spread.name.lower() for spread in Spread] == [ends[0] for ends in (MOST, USUAL, LEAST)]
    assert [laws_again.amperes_at(12.0, laws_again.ohms(900.0), laws_again.led(3.0))] == pytest.approx([0.010])
    assert laws_again.amperes_at(1.0, laws_again.ohms(10.0), laws_again.diode(5.0)) < 1e-15
