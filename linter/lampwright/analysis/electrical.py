"""From a plan to its electrical facts: current, voltage and power of every element in the corners of all its figures.

By the simple law of `law`; an output with an element outside that law is undetermined, never computed without it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from lampwright.analysis.extremes import Extreme, Point, highest, lowest, working_point
from lampwright.analysis.facts import CommonFacts, ElementFacts, HotCorner, OutputFacts, Range, Undetermined
from lampwright.analysis.law import Spread
from lampwright.analysis.network import (
    Group,
    Leaf,
    Part,
    carried,
    in_parallel,
    in_series,
    leaves,
    network,
    surroundings,
)
from lampwright.analysis.outside import Lack, first_lack
from lampwright.analysis.strings import led_strings
from lampwright.analysis.supply import CommonSupply, common_supply
from lampwright.analysis.ways import Way, ways, weak_below
from lampwright.model.circuit import Resistor
from lampwright.model.lighting import LightingPlan, Output
from lampwright.text import Span


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
        return common_facts(self.plan)


def electrical_facts(plan: LightingPlan) -> ElectricalFacts:
    """The facts of each output of `plan`, fully on and alone, and of its common lead."""
    return ElectricalFacts(plan)


def output_facts(plan: LightingPlan, output: Output) -> OutputFacts | Undetermined:
    """The facts of `output`, whose circuit need not be the one in `plan`: rules try out changed ones."""
    circuit, feed = _circuit(plan, output), _feed(plan, output.span)
    if isinstance(circuit, Lack):
        return Undetermined(output, circuit.span, circuit.lacks)
    if isinstance(feed, Lack):
        return Undetermined(output, feed.span, feed.lacks)
    return _solved(output, circuit, feed)


def common_facts(plan: LightingPlan) -> CommonFacts | Undetermined | None:
    """The facts of the common lead with all outputs of `plan` on together; None where nothing stands in it."""
    if plan.common_circuit is not None and not plan.common_circuit.elements:
        return None
    feed = _feed(plan, plan.span)
    if isinstance(feed, Lack):
        return Undetermined(None, feed.span, feed.lacks)
    circuits: list[Part] = []
    for output in plan.outputs.values():
        circuit = _circuit(plan, output)
        if isinstance(circuit, Lack):
            return Undetermined(None, circuit.span, circuit.lacks)
        circuits.append(circuit)
    whole = in_series((*feed.lead, in_parallel(circuits)))
    elements = tuple(_elements(whole, feed.supply))[: feed.length]
    weak = feed.supply.weak + weak_below(whole)
    return CommonFacts(feed.supply.voltage, elements, len(circuits) > 1, weak)


@dataclass(frozen=True, slots=True)
class _Feed:
    """What all outputs share: the supply, and the parts in the common lead with how many elements they have."""

    supply: CommonSupply
    lead: tuple[Part, ...]
    length: int


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


def _feed(plan: LightingPlan, place: Span) -> _Feed | Lack:
    if plan.common_circuit is None:
        return Lack(place, "a readable common lead")
    if lack := first_lack(plan.common_circuit):
        return lack
    supply = common_supply(plan)
    if isinstance(supply, str):
        return Lack(place, supply)
    lead = network(plan.common_circuit, "common.circuit")
    return _Feed(supply, lead.parts, len(list(leaves(lead))))


def _circuit(plan: LightingPlan, output: Output) -> Group | Lack:
    """The output's own circuit. One with nothing in it is no wire but a gap: nothing hangs on that output."""
    if output.circuit is None:
        return Lack(output.span, "a readable circuit")
    if lack := first_lack(output.circuit):
        return lack
    if plan.decoder is None:
        return Lack(output.span, "a readable decoder sheet")
    if output.decoder_output is None:
        return Lack(output.span, "an output of this name on the decoder sheet")
    if output.decoder_output.logic_level is not None:
        return Lack(output.span, "the law of a logic-level output")
    circuit = network(output.circuit, f"outputs.{output.name}.circuit")
    return circuit if circuit.parts else in_series([in_parallel([])])


def _solved(output: Output, circuit: Group, feed: _Feed) -> OutputFacts:
    whole = in_series((*feed.lead, *circuit.parts))
    return OutputFacts(
        output=output,
        supply=feed.supply.voltage,
        current=_total(whole, feed.supply.voltage),
        elements=tuple(_elements(whole, feed.supply))[feed.length :],
        forward_voltages=tuple(led_strings(whole, feed.supply.weak)),
        weak=feed.supply.weak + weak_below(whole),
    )


def _total(whole: Group, supply: Range) -> Range:
    least = whole.curves[Spread.HIGHEST].currents_at(supply.lowest).low
    usual = whole.curves[Spread.USUAL].currents_at(supply.usual).low
    most = whole.curves[Spread.LOWEST].currents_at(supply.highest).high
    return _in_order(least, usual, most)


def _elements(whole: Group, supply: CommonSupply) -> Iterator[ElementFacts]:
    """Every leaf: the most with the least in its way, the least with the most in its way (see `surroundings`)."""
    voltage = supply.voltage
    hot = surroundings(whole, voltage.highest, in_way=Spread.LOWEST, beside=Spread.HIGHEST)
    cold = surroundings(whole, voltage.lowest, in_way=Spread.HIGHEST, beside=Spread.LOWEST)
    usual = _usual_points(whole, voltage)
    own_ways = ways(whole, Way(weak=supply.weak))
    for leaf, around_hot, around_cold, point, way in zip(leaves(whole), hot, cold, usual, own_ways, strict=True):
        eager, reluctant = leaf.curves[Spread.LOWEST], leaf.curves[Spread.HIGHEST]
        most = highest(eager, reluctant, around_hot, voltage.highest)
        least = lowest(eager, reluctant, around_cold, voltage.lowest)
        yield _element(leaf, (least, point, most), way, voltage.highest)


def _usual_points(whole: Group, supply: Range) -> Iterator[Point]:
    total = _total(whole, supply).usual
    if math.isfinite(total):
        return (Point(*point) for point in carried(whole, supply.usual, total))
    # An unlimited current cannot be shared out; what each leaf gets for itself from what is around it still stands.
    around_each = surroundings(whole, supply.usual, in_way=Spread.USUAL, beside=Spread.USUAL)
    return (
        working_point(leaf.curves[Spread.USUAL], around, supply.usual)
        for leaf, around in zip(leaves(whole), around_each, strict=True)
    )


def _element(leaf: Leaf, values: tuple[Extreme, Point, Extreme], way: Way, supply: float) -> ElementFacts:
    least, usual, most = values
    return ElementFacts(
        element=leaf.element,
        path=leaf.path,
        current=_in_order(least.current, usual.current, most.current),
        voltage=_in_order(least.voltage, usual.voltage, most.voltage),
        power=_in_order(least.power.power, usual.power, most.power.power),
        corner=HotCorner(supply, way.forward_voltage or None, way.resistance or None),
        hottest_resistance=most.power.resistance if isinstance(leaf.element, Resistor) else None,
        weak=way.weak,
    )


def _in_order(low: float, usual: float, high: float) -> Range:
    """Without spread the three are one value, computed on three paths: the last bits may differ, the order must not."""
    return Range(min(low, usual), usual, max(high, usual))
