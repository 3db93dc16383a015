"""Our exact solver against root finding: SciPy's `brentq` on the same circuits, written down a second time.

Where we add up curves corner by corner, this asks for one voltage at a current, or one current at a voltage, and lets
`scipy.optimize.brentq` search (R. P. Brent, Algorithms for Minimization Without Derivatives, 1973).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from random import Random

import pytest
from scipy.optimize import brentq

from analysis.circuits import Maker, bulb, chain, diode, exactly, led, parallel, resistor, solved
from lampwright.model.circuit import Bulb, Chain, Diode, Element, Led, Parallel, PlacedLamp, Resistor
from lampwright.model.values import Figure

EXACT = {"xtol": 1e-14, "rtol": 1e-13, "maxiter": 500}


def voltage(element: Element, current: float) -> float:
    """Across `element` at `current`; at none, the voltage up to which none flows."""
    match element:
        case Resistor(resistance=resistance):
            return resistance.usual * current
        case Diode(drop=drop):
            return drop.usual
        case PlacedLamp(lamp=lamp) if isinstance(lamp.kind, Led):
            return lamp.kind.forward_voltage.usual + lamp.kind.built_in_resistor.usual * current
        case PlacedLamp(lamp=lamp) if isinstance(lamp.kind, Bulb):
            return lamp.kind.voltage.usual / lamp.kind.current.usual * current
        case Chain(elements=parts):
            return sum(voltage(part, current) for part in parts)
        case Parallel(branches=branches):
            return across_branches(branches, current)
    raise TypeError(element)


def across_branches(branches: tuple[Chain, ...], total: float) -> float:
    """If all of it went through one branch, no branch would need more than that one does; a little more brackets it."""
    least = min(voltage(branch, 0.0) for branch in branches)
    most = 1.01 * min(voltage(branch, total) for branch in branches)
    if most <= least:
        return least
    return brentq(lambda volts: sum(current(branch, volts) for branch in branches) - total, least, most, **EXACT)


def current(branch: Chain, volts: float) -> float:
    if volts <= voltage(branch, 0.0):
        return 0.0
    most = 1e-6
    while voltage(branch, most) < volts:
        most *= 4
    return brentq(lambda amperes: voltage(branch, amperes) - volts, 0.0, most, **EXACT)


def currents(element: Element, volts: float, amperes: float) -> Iterator[float]:
    """Of every element below, in reading order."""
    match element:
        case Chain(elements=parts):
            for part in parts:
                yield from currents(part, voltage(part, amperes), amperes)
        case Parallel(branches=branches):
            for branch in branches:
                yield from currents(branch, volts, current(branch, volts))
        case _:
            yield amperes


def agree(ours: float, theirs: float) -> bool:
    return math.isclose(ours, theirs, rel_tol=1e-6, abs_tol=1e-9)


@pytest.mark.parametrize("seed", range(320))
def test_currents_of_random_circuits(seed):
    maker = Maker(Random(seed))
    circuit, supply = maker.circuit(2, 2), maker.supply()
    facts = solved(circuit, supply)
    total = current(circuit, supply)
    assert agree(facts.current.usual, total)
    theirs = list(currents(circuit, supply, total))
    assert len(theirs) == len(facts.elements)
    for element, amperes in zip(facts.elements, theirs, strict=True):
        assert agree(element.current.usual, amperes)


@pytest.mark.parametrize("seed", range(1000, 1060))
def test_extremes_of_one_element_in_random_circuits(seed):
    """What is in series on its way and itself at one end, what is beside that way at the other."""
    random = Random(seed)
    maker = Maker(random, spread=True)
    circuit, supply = maker.circuit(2, 2), maker.supply()
    elements = solved(circuit, supply).elements
    facts = random.choice(elements)
    number = elements.index(facts)
    for volts, bound, in_way, beside in [
        (supply[2], facts.current.highest, eager, reluctant),
        (supply[0], facts.current.lowest, reluctant, eager),
    ]:
        extreme = with_sides(circuit, facts.element, in_way, beside)
        theirs = list(currents(extreme, volts, current(extreme, volts)))[number]
        assert agree(bound, theirs)


def eager(element: Element) -> Element:
    """Lets through what it can. Of a bulb with little voltage for its current, the current is at its highest."""
    if isinstance(element, PlacedLamp) and isinstance(element.lamp.kind, Bulb):
        return exactly(element, lambda one: Figure.exact(one.highest, one.span))
    return exactly(element, lambda one: Figure.exact(one.lowest, one.span))


def reluctant(element: Element) -> Element:
    if isinstance(element, PlacedLamp) and isinstance(element.lamp.kind, Bulb):
        return exactly(element, lambda one: Figure.exact(one.lowest, one.span))
    return exactly(element, lambda one: Figure.exact(one.highest, one.span))


def with_sides(element: Element, target: Element, in_way, beside) -> Element:
    """`element`, which holds `target` or stands in series with what does."""
    match element:
        case Chain(elements=parts):
            return Chain(element.span, tuple(with_sides(part, target, in_way, beside) for part in parts))
        case Parallel(branches=branches) if any(holds(branch, target) for branch in branches):
            sides = (
                with_sides(branch, target, in_way, beside)
                if holds(branch, target)
                else with_sides(branch, target, beside, beside)
                for branch in branches
            )
            return Parallel(element.span, tuple(sides))
        case Parallel(branches=branches):
            return Parallel(element.span, tuple(with_sides(branch, target, in_way, beside) for branch in branches))
    return in_way(element)


def holds(element: Element, target: Element) -> bool:
    match element:
        case Chain(elements=parts) | Parallel(branches=parts):
            return any(holds(part, target) for part in parts)
    return element is target


def test_the_second_solver_itself_by_hand():
    circuit = chain(resistor(900.0), parallel(chain(led(2.4), resistor(100.0)), chain(bulb(12.0, 0.04), diode(0.6))))
    # 3.0 V give 6 mA through 100 ohm behind 2.4 V and 8 mA through 300 behind 0.6.
    assert voltage(circuit, 0.014) == pytest.approx(0.014 * 900 + 3.0)
    assert current(circuit, 0.014 * 900 + 3.0) == pytest.approx(0.014)
