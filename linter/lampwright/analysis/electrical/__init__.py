"""From a plan to its electrical facts: current, voltage and power of every element in the corners of all its figures.

An output with something that could not be read is undetermined, never computed without it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from math import inf

from lampwright.analysis.electrical.characteristics import GAP, WIRE
from lampwright.analysis.electrical.derating import derating, temperature_inside
from lampwright.analysis.electrical.extremes import Extremes, carried
from lampwright.analysis.electrical.facts import (
    CommonFacts,
    Corner,
    Corners,
    ElementFacts,
    OutputFacts,
    Range,
    Undetermined,
    WeakFact,
)
from lampwright.analysis.electrical.law import Spread, weak_figures
from lampwright.analysis.electrical.outside import Lack, first_lack, lack_of_driver
from lampwright.analysis.electrical.strings import led_strings
from lampwright.analysis.electrical.supply import CommonSupply, common_supply, rail_supply
from lampwright.analysis.electrical.ways import Way, on_ways
from lampwright.analysis.electrical.wiring import Feeds, Leaf, Wiring, wire
from lampwright.model.circuit import Chain, Resistor, returns_to_rail
from lampwright.model.lighting import LightingPlan, Output
from lampwright.text import Span

UNLIMITED = 1e4
"""Amperes that no lamp, wire or supply of a model carries: more means that nothing limits the current.

Watts likewise.
"""

NOTHING = Range(0.0, 0.0, 0.0)


class ElectricalFacts:
    """The electrical facts of one plan, each computed when it is first asked for and then kept.

    `outputs` by name; `common` is None where nothing stands in the common lead.
    """

    def __init__(self, plan: LightingPlan) -> None:
        self.plan = plan
        self.outputs: Mapping[str, OutputFacts | Undetermined] = _FactsByOutput(plan)

    @cached_property
    def common(self) -> CommonFacts | Undetermined | None:
        """What the elements in the common lead carry with all outputs on together."""
        if self.plan.common_circuit is not None and not self.plan.common_circuit.elements:
            return None
        return common_facts(self.plan)


def electrical_facts(plan: LightingPlan) -> ElectricalFacts:
    """The facts of each output of `plan`, fully on and alone, and of its common lead."""
    return ElectricalFacts(plan)


class _FactsByOutput(Mapping[str, OutputFacts | Undetermined]):
    def __init__(self, plan: LightingPlan) -> None:
        self._plan = plan
        self._known: dict[str, OutputFacts | Undetermined] = {}

    def __getitem__(self, name: str) -> OutputFacts | Undetermined:
        if name not in self._known:
            self._known[name] = output_facts(self._plan, self._plan.outputs[name])
        return self._known[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._plan.outputs)

    def __len__(self) -> int:
        return len(self._plan.outputs)


def output_facts(plan: LightingPlan, output: Output) -> OutputFacts | Undetermined:
    """The facts of `output`, whose circuit need not be the one in `plan`: rules try out changed ones."""
    if output.measured is not None:
        from lampwright.analysis.electrical.built import facts_as_built

        return facts_as_built(plan, output)
    circuit = _circuit(plan, output)
    if isinstance(circuit, Lack):
        return Undetermined(output, circuit.span, circuit.lacks)
    wired = _wired(plan, {f"outputs.{output.name}.circuit": circuit}, output.span)
    if isinstance(wired, Lack):
        return Undetermined(output, wired.span, wired.lacks)
    wiring, feeds = wired
    supply = feeds.rail if circuit.rail_span is not None and feeds.rail is not None else feeds.common
    stands = derating(temperature_inside(plan))
    current, elements = _computed(wiring, supply, range(wiring.in_lead, len(wiring.leaves)), stands)
    return OutputFacts(output, supply.voltage, current, elements, tuple(led_strings(wiring)), _weak_of(wiring))


def common_facts(plan: LightingPlan, names: Iterable[str] | None = None) -> CommonFacts | Undetermined:
    """The common lead, and the current through it, with the outputs `names` on together; None means all of them."""
    outputs = [plan.outputs[name] for name in (plan.outputs if names is None else names)]
    circuits: dict[str, Chain] = {}
    for output in outputs:
        circuit = _circuit(plan, output)
        if isinstance(circuit, Lack):
            return Undetermined(None, circuit.span, circuit.lacks)
        circuits[f"outputs.{output.name}.circuit"] = circuit
    wired = _wired(plan, circuits, plan.span)
    if isinstance(wired, Lack):
        return Undetermined(None, wired.span, wired.lacks)
    wiring, feeds = wired
    stands = derating(temperature_inside(plan))
    current, elements = _computed(wiring, feeds.common, range(wiring.in_lead), stands)
    return CommonFacts(feeds.common.voltage, current, elements, len(outputs) > 1, _weak_of(wiring))


# --- What there is to compute -----------------------------------------------------------------------------------------


def _circuit(plan: LightingPlan, output: Output) -> Chain | Lack:
    """The output's own circuit."""
    if output.circuit is None:
        return Lack(output.span, "a readable circuit")
    if lack := first_lack(output.circuit):
        return lack
    if plan.decoder is None:
        return Lack(output.span, "a readable decoder sheet")
    if output.decoder_output is None:
        return Lack(output.span, "an output of this name on the decoder sheet")
    if not output.decoder_output.level_is_readable:
        return Lack(output.span, "a readable logic level of this output")
    if output.decoder_output.logic_level is not None and (lack := lack_of_driver(output.circuit)):
        return lack
    return output.circuit


def _wired(plan: LightingPlan, circuits: Mapping[str, Chain], place: Span) -> tuple[Wiring, Feeds] | Lack:
    """The networks of these circuits behind the common lead, with what feeds them."""
    lead = plan.common_circuit
    if lead is None:
        return Lack(place, "a readable common lead")
    if lack := first_lack(lead):
        return lack
    needs_rail = any(map(returns_to_rail, circuits.values()))
    at_rail = [circuit.rail_span is not None for circuit in circuits.values()]
    needs_common = bool(lead.elements) or not at_rail or not all(at_rail)
    rail = rail_supply(plan) if needs_rail else None
    common = common_supply(plan) if needs_common else rail
    for supply in (common, rail):
        if isinstance(supply, str):
            return Lack(place, supply)
    assert isinstance(common, CommonSupply)
    assert not isinstance(rail, str)
    feeds = Feeds(common, rail)
    return wire(lead, circuits, feeds), feeds


# --- Computing it -----------------------------------------------------------------------------------------------------


def _computed(
    wiring: Wiring, supply: CommonSupply, wanted: range, stands: float
) -> tuple[Range, tuple[ElementFacts, ...]]:
    """Amperes through all networks together, and the facts of the elements with the numbers `wanted`."""
    sums, found = [0.0, 0.0, 0.0], {}
    for fed in wiring.fed:
        leaves = [wiring.leaves[place] for place in fed.places]
        asked = tuple(number for number, place in enumerate(fed.places) if place in wanted)
        flows = carried(fed.network, tuple(leaf.characteristics for leaf in leaves), fed.supply.voltage, asked)
        current = flows.total
        sums = [sums[0] + current.lowest, sums[1] + current.usual, sums[2] + current.highest]
        for number, way in on_ways(fed.network, leaves, fed.supply):
            if number in flows.elements:
                found[fed.places[number]] = _element(leaves[number], flows.elements[number], way, stands)
    elements = (found.get(place) or _dead(wiring.leaves[place], supply) for place in wanted)
    return _limited(Range(*sums)), tuple(map(_told, elements))


def _element(leaf: Leaf, found: Extremes, way: Way, stands: float) -> ElementFacts:
    # What a wire drops and a gap lets through are there for the solver only.
    is_wire = leaf.characteristics[Spread.HIGHEST] == WIRE
    is_gap = leaf.characteristics[Spread.LOWEST] == GAP
    return ElementFacts(
        element=leaf.element,
        path=leaf.path,
        current=NOTHING if is_gap else found.current,
        voltage=NOTHING if is_wire else found.voltage,
        power=NOTHING if is_wire or is_gap else found.power,
        corners=way.corners,
        hottest_resistance=found.hottest.resistance if isinstance(leaf.element, Resistor) else None,
        weak=way.weak,
        share_of_time=leaf.share_of_time,
        derating=stands,
    )


def _dead(leaf: Leaf, supply: CommonSupply) -> ElementFacts:
    """Behind a gap, such as an output with nothing on it."""
    volts, element = supply.voltage, leaf.element
    corners = Corners(*(Corner(each, None, None) for each in (volts.lowest, volts.usual, volts.highest)))
    return ElementFacts(element, leaf.path, NOTHING, NOTHING, NOTHING, corners, None, supply.weak, leaf.share_of_time)


def _told(facts: ElementFacts) -> ElementFacts:
    """What a wire carries for the solver is a matter of how little resistance that gave it."""
    if facts.current.highest < UNLIMITED:
        return facts
    return replace(facts, current=_limited(facts.current), power=_limited(facts.power))


def _limited(amperes_or_watts: Range) -> Range:
    low, usual, high = (
        each if each < UNLIMITED else inf
        for each in (amperes_or_watts.lowest, amperes_or_watts.usual, amperes_or_watts.highest)
    )
    return Range(low, usual, high)


def _weak_of(wiring: Wiring) -> tuple[WeakFact, ...]:
    """The weak figures of all supplies and of all elements that carry anything, in reading order."""
    supplies = [fact for fed in wiring.fed for fact in fed.supply.weak]
    return (*dict.fromkeys(supplies), *(fact for leaf in wiring.leaves for fact in weak_figures(leaf.element)))
