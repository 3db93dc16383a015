"""Ways between two returns, against a search through the circuit as a graph that knows nothing of chains and joints."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from itertools import count
from random import Random

import pytest

from analysis.circuits import bulb, chain, diode, led, parallel, place, plan, resistor
from lampwright.analysis.returns import sneak_paths, uses_common
from lampwright.model.circuit import Chain, Driver, Element, Parallel, PlacedLamp
from lampwright.model.values import Figure

COMMON, OUTPUT, RAIL = -1, -2, -3


def railed(branch: Chain) -> Chain:
    return replace(branch, rail_span=place())


def driver() -> Driver:
    return Driver(place(), Figure.exact(0.2))


# --- An ideal circuit as a graph --------------------------------------------------------------------------------------


class Graph:
    """Edges that a current may follow while the output is off. LEDs are a barrier one way, unless they are no matter."""

    def __init__(self, circuit: Chain, lead: Chain, *, leds_hold: bool) -> None:
        self._nodes = count()
        self._leds_hold = leds_hold
        self._edges: dict[int, set[int]] = defaultdict(set)
        start = next(self._nodes)
        self._wire(lead, COMMON, start)
        self._wire(circuit, start, OUTPUT)

    def _wire(self, chain: Chain, top: int, bottom: int) -> None:
        at = top
        for element in chain.elements:
            below = next(self._nodes)
            self._connect(element, at, below)
            at = below
        self._both_ways(at, bottom)

    def _connect(self, element: Element, top: int, bottom: int) -> None:
        if isinstance(element, Chain):
            self._wire(element, top, bottom)
        elif isinstance(element, Parallel):
            for branch in element.branches:
                self._wire(branch, top if branch.rail_span is None else RAIL, bottom)
        elif isinstance(element, Driver):
            pass
        else:
            self._edges[top].add(bottom)
            is_led = isinstance(element, PlacedLamp) and element.name == "led"
            if element.__class__.__name__ != "Diode" and not (is_led and self._leds_hold):
                self._edges[bottom].add(top)

    def _both_ways(self, one: int, other: int) -> None:
        self._edges[one].add(other)
        self._edges[other].add(one)

    def joins_common_and_rail(self) -> bool:
        seen, waiting = {COMMON}, [COMMON]
        while waiting:
            for node in self._edges[waiting.pop()] - seen:
                seen.add(node)
                waiting.append(node)
        return RAIL in seen


def random_chain(random: Random, depth: int) -> Chain:
    return chain(*(random_element(random, depth) for _ in range(random.randint(1, 3))))


def random_element(random: Random, depth: int) -> Element:
    if depth == 0 or random.random() < 0.4:
        leaf = random.choice([lambda: resistor(1000), lambda: led(3.0), lambda: bulb(1.5, 0.015), diode, driver])
        return leaf() if random.random() < 0.8 else resistor(1000)
    if random.random() < 0.2:
        return random_chain(random, depth - 1)
    branches = [random_chain(random, depth - 1) for _ in range(random.randint(1, 3))]
    return parallel(*(railed(branch) if random.random() < 0.4 else branch for branch in branches))


@pytest.mark.parametrize("part", range(4))
def test_ways_are_those_of_the_graph(part: int) -> None:
    flowing = held = 0
    for seed in range(part, 3000, 4):
        random = Random(seed)
        circuit, lead = random_chain(random, 3), random.choice([chain(), chain(resistor(100)), chain(diode())])
        made = plan({"white": circuit}, common=13.0, lead=lead)
        paths = list(sneak_paths(made, made.outputs["white"]))
        flows = Graph(circuit, lead, leds_hold=True).joins_common_and_rail()
        assert any(not path.against for path in paths) == flows, seed
        assert bool(paths) == Graph(circuit, lead, leds_hold=False).joins_common_and_rail(), seed
        flowing += flows
        held += bool(paths) and not flows
    assert flowing > 20
    assert held > 20


# --- What hangs on the common -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("circuit", "hangs"),
    [
        (chain(resistor(1000)), True),
        (chain(), False),
        (railed(chain(resistor(1000))), False),
        (chain(parallel(chain(led(3.0)), railed(chain(led(3.0))))), True),
        (chain(parallel(railed(chain(led(3.0))), railed(chain(led(3.0)))), resistor(1000)), False),
        (chain(chain(parallel(railed(chain(led(3.0)))))), False),
        (chain(resistor(1000), parallel(railed(chain(led(3.0))))), True),
    ],
)
def test_uses_common(circuit: Chain, hangs: bool) -> None:
    assert uses_common(circuit) is hangs
