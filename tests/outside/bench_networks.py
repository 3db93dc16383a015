"""What a meter shows at the outputs of the example club, as planned and with each fault, as networks for the simulator.

A meter across an element is a resistor beside it; across a gap it is what closes the circuit.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import count
from math import inf
from pathlib import Path

from lampwright.analysis.electrical import electrical_facts
from lampwright.analysis.electrical.facts import OutputFacts
from lampwright.analysis.readings import METER, Readings, _instead, _replaced, readings
from lampwright.analysis.returns import uses_common
from lampwright.cli.plans import read_plan
from lampwright.files import Files
from lampwright.model.circuit import Chain, Element, Parallel, Resistor
from lampwright.model.lighting import LightingPlan
from lampwright.model.values import Figure
from outside.spice import Setup

ROOT = Path(__file__).parent.parent.parent
VEHICLES = sorted((ROOT / "examples" / "vehicles").glob("*.lights.yaml"))

GAP = 1e15
"""Ohms of what lets nothing through: the simulator has no infinity."""


@dataclass(frozen=True)
class Case:
    """A network, and what we say of it: amperes of each element in reading order, and what a meter in it reads.

    `probed` is the place of that meter among all elements of the network, None where there is none.
    """

    name: str
    setup: Setup
    currents: tuple[float, ...]
    probed: int | None = None
    volts: float = 0.0


def cases() -> Iterator[Case]:
    """All networks of the club, in a fixed order."""
    for path in VEHICLES:
        read = read_plan(str(path), Files(ROOT))
        assert read is not None
        # What was measured counts instead of the circuit as it is drawn, which is what the simulator has.
        unmeasured = {name: replace(output, measured=None) for name, output in read.plan.outputs.items()}
        plan = replace(read.plan, outputs=unmeasured, common_measured=None)
        for name, facts in electrical_facts(plan).outputs.items():
            assert isinstance(facts, OutputFacts), name
            found = readings(plan, facts)
            assert isinstance(found, Readings)
            yield from _of_output(f"{path.name} {name}", plan, found)


def _of_output(name: str, plan: LightingPlan, found: Readings) -> Iterator[Case]:
    elements = found.elements
    if not elements:
        return
    yield Case(name, _setup(plan, found, {}), tuple(each.current.usual for each in elements))
    faults = iter(found.faults)
    for place, facts in enumerate(elements):
        for wrong, element in _instead(facts.element) if found.faults else ():
            fault = next(faults)
            assert (fault.wrong, fault.place) == (wrong, place)
            if fault.total == inf:
                continue
            what = f"{name}: {wrong} {place}"
            instead = _finite(element)
            yield Case(what, _setup(plan, found, {place: instead}), fault.currents)
            # The meter is put across each element in turn.
            for probed, each in enumerate(elements):
                under = instead if probed == place else each.element
                beside = Parallel(under.span, (Chain(under.span, (under,)), Chain(under.span, (_ohms(under, METER),))))
                setup = _setup(plan, found, {place: instead, probed: beside})
                yield Case(f"{what}, meter at {probed}", setup, (), probed + 1, fault.voltages[probed])


def _setup(plan: LightingPlan, found: Readings, instead: dict[int, Element]) -> Setup:
    circuit, lead = found.output.circuit, plan.common_circuit
    assert circuit is not None
    assert lead is not None
    numbers = count()
    before = _replaced(lead, instead, numbers) if found.in_lead else Chain(lead.span, ())
    own = _replaced(circuit, instead, numbers)
    on_rail = not uses_common(circuit)
    volts = found.supply.usual
    return Setup((own,), 0.0 if on_rail else volts, before, rail=volts if on_rail else 0.0)


def _finite(element: Element) -> Element:
    if isinstance(element, Resistor) and element.resistance.usual == inf:
        return replace(element, resistance=Figure.exact(GAP))
    return element


def _ohms(element: Element, ohms: float) -> Resistor:
    return Resistor(element.span, Figure.exact(ohms), None)
