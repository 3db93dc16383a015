"""From a plan to its electrical facts: current, voltage and power of every element in the corners of all its figures.

An output with something that could not be read is undetermined, never computed without it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import TYPE_CHECKING

from lampwright.analysis.electrical.alike import Likeness, likeness
from lampwright.analysis.electrical.derating import derating, temperature_inside
from lampwright.analysis.electrical.facts import CommonFacts, OutputFacts, Undetermined
from lampwright.analysis.electrical.numbers import (
    Numbers,
    numbers_of,
    told_of_elements,
    told_of_strings,
    weak_of_supplies,
)
from lampwright.analysis.electrical.outside import Lack, first_lack, lack_of_driver
from lampwright.analysis.electrical.supply import CommonSupply, common_supply, planned_supply, rail_supply
from lampwright.analysis.electrical.weakness import LawfulElement
from lampwright.analysis.electrical.wiring import Feeds, wire
from lampwright.lazily import cached_property
from lampwright.model.circuit import Chain, leaves, returns_to_rail
from lampwright.model.lighting import LightingPlan, Output
from lampwright.records import replace
from lampwright.text import Span

if TYPE_CHECKING:
    from lampwright.analysis.electrical.lead_as_built import LeadAsBuilt
    from lampwright.analysis.electrical.slips import Slip
    from lampwright.analysis.electrical.tried import Figures

_MOST_KNOWN = 1536
"""Kinds of circuit that are kept, of 2 kB each. A club has a few dozen, and who types makes a new one with each key."""

_KNOWN: dict[tuple[object, ...], Numbers] = {}
"""The numbers of circuits, by all that has a say in them."""

_MOST_TRIED = 512
"""Kinds of circuit that were tried out and of which the figures are kept, a few each."""

_TRIED: dict[tuple[object, ...], Figures] = {}
"""The figures of circuits that were tried out, by the same. Most are asked for again with the next key."""


class ElectricalFacts:
    """The electrical facts of one plan, each computed when it is first asked for and then kept.

    `common` is None where nothing stands in the common lead.
    """

    def __init__(self, plan: LightingPlan, known: Mapping[str, OutputFacts | Undetermined]) -> None:
        self.plan = plan
        self._around = _Surroundings(plan)
        self._known = dict(known)

    def known_of(self, names: Iterable[str]) -> Mapping[str, OutputFacts | Undetermined]:
        """Those facts of the outputs `names` that were asked for so far."""
        return {name: self._known[name] for name in names if name in self._known}

    @property
    def outputs(self) -> Mapping[str, OutputFacts | Undetermined]:
        """The facts of each output, by its name."""
        # Kept, it would know who keeps it: nothing of the plan would be freed before garbage in circles is looked for.
        return _FactsByOutput(self)

    def of(self, output: Output) -> OutputFacts | Undetermined:
        """The facts of one output of the plan."""
        known = self._known.get(output.name)
        if known is None:
            known = self._known[output.name] = self._found(output)
        return known

    def _found(self, output: Output) -> OutputFacts | Undetermined:
        if output.name in self.slips:
            return replace(_output_facts(self._around, replace(output, measured=None)), output=output)
        lead = self.lead
        if lead is None or lead.on != {output.name}:
            return _output_facts(self._around, output)
        # What flows through the lead with one output on alone is what flows through that.
        return replace(_output_facts(self._around, lead.read_at(output)), output=output)

    @cached_property
    def common(self) -> CommonFacts | Undetermined | None:
        """What the elements in the common lead carry with all outputs on together."""
        if self.plan.common_circuit is not None and not self.plan.common_circuit.elements:
            return None
        return self.shared(tuple(self.plan.outputs))

    def shared(self, names: Collection[str]) -> CommonFacts | Undetermined:
        """The common lead, and the current of the outputs `names` on together, as far as it was measured by that."""
        return common_facts(self.plan, names) if self.lead is None else self.lead.shared(names)

    @cached_property
    def slips(self) -> Mapping[str, Slip]:
        """By output, the decimal point that may have slipped in a reading. None of its readings counts then."""
        measured = [output for output in self.plan.outputs.values() if output.measured is not None]
        if not measured:
            return {}
        # Most plans were not measured, and need not load this.
        from lampwright.analysis.electrical.read_at_output import slip_at

        found = {output.name: slip_at(self.plan, output) for output in measured}
        return {name: slip for name, slip in found.items() if slip is not None}

    @cached_property
    def slip_in_lead(self) -> Slip | None:
        """The same of the common lead."""
        if self.plan.common_measured is None:
            return None
        from lampwright.analysis.electrical.read_in_lead import slip_in_lead

        return slip_in_lead(self.plan)

    @cached_property
    def lead(self) -> LeadAsBuilt | None:
        """What counts of what was measured of the common lead."""
        if self.plan.common_measured is None:
            return None
        from lampwright.analysis.electrical.lead_as_built import lead_as_built

        return lead_as_built(self)


def electrical_facts(
    plan: LightingPlan, known: Mapping[str, OutputFacts | Undetermined] | None = None
) -> ElectricalFacts:
    """The facts of each output of `plan`, fully on and alone, and of its common lead.

    `known` has those that were found out about the very same outputs of an older text: see `sameness`.
    """
    return ElectricalFacts(plan, known or {})


class _FactsByOutput(Mapping[str, OutputFacts | Undetermined]):
    def __init__(self, facts: ElectricalFacts) -> None:
        self._facts = facts

    def __getitem__(self, name: str) -> OutputFacts | Undetermined:
        return self._facts.of(self._facts.plan.outputs[name])

    def __iter__(self) -> Iterator[str]:
        return iter(self._facts.plan.outputs)

    def __len__(self) -> int:
        return len(self._facts.plan.outputs)


def output_facts(plan: LightingPlan, output: Output) -> OutputFacts | Undetermined:
    """The facts of `output`, whose circuit need not be the one in `plan`."""
    return _output_facts(_Surroundings(plan), output)


def tried_facts(plan: LightingPlan, output: Output) -> OutputFacts | Undetermined:
    """The same facts, each computed when it is asked for: who tries out many circuits asks for little of each."""
    return _output_facts(_Surroundings(plan), output, is_tried=True)


def common_facts(plan: LightingPlan, names: Iterable[str] | None = None) -> CommonFacts | Undetermined:
    """The common lead, and the current through it, with the outputs `names` on together; None means all of them."""
    around = _Surroundings(plan)
    outputs = [plan.outputs[name] for name in (plan.outputs if names is None else names)]
    on = [output.name for output in outputs]
    circuits: dict[str, Chain] = {}
    for output in outputs:
        circuit = _circuit(plan, output)
        if isinstance(circuit, Lack):
            return Undetermined(None, circuit.span, circuit.lacks)
        circuits[f"outputs.{output.name}.circuit"] = circuit
    feeds = _feeds(around, circuits.values(), on, plan.span)
    if isinstance(feeds, Lack):
        return Undetermined(None, feeds.span, feeds.lacks)
    wiring = wire(around.lead, circuits, feeds)
    numbers = numbers_of(wiring, feeds, range(wiring.in_lead), around.stands)
    all_leaves = [leaf.element for leaf in wiring.leaves]
    elements = told_of_elements(numbers, all_leaves, "", feeds)
    supplies = weak_of_supplies(numbers, feeds)
    return CommonFacts(
        feeds.common.voltage,
        numbers.current,
        elements,
        len(outputs) > 1,
        supplies,
        tuple(all_leaves),
        feeds.common.basis,
    )


# --- One output -------------------------------------------------------------------------------------------------------


class _Surroundings:
    """What all outputs of a plan share: the common lead, what feeds it, and how warm it is."""

    def __init__(self, plan: LightingPlan) -> None:
        self.plan = plan

    @cached_property
    def lead(self) -> Chain:
        """The common lead, of which there is one here: see `lack`."""
        assert self.plan.common_circuit is not None
        return self.plan.common_circuit

    def lack(self, place: Span) -> Lack | None:
        """What the lead lacks for what stands at `place`."""
        if self.plan.common_circuit is None:
            return Lack(place, "a readable common lead")
        return self._lack_in_lead

    @cached_property
    def _lack_in_lead(self) -> Lack | None:
        return first_lack(self.lead)

    @cached_property
    def leaves(self) -> tuple[LawfulElement, ...]:
        """All elements of the common lead."""
        return _lawful(self.lead)

    def common(self, on: Collection[str]) -> CommonSupply | str:
        """What feeds the common with these outputs on, or what is lacking for that."""
        return self._common if self.plan.common_measured is None else common_supply(self.plan, on)

    @cached_property
    def _common(self) -> CommonSupply | str:
        return planned_supply(self.plan)

    @cached_property
    def rail(self) -> CommonSupply | str:
        """What feeds that which returns to a rail, or what is lacking for that."""
        return rail_supply(self.plan)

    @cached_property
    def stands(self) -> float:
        """The share of its rating that a resistor stands here."""
        return derating(temperature_inside(self.plan))

    @cached_property
    def likeness(self) -> Likeness:
        """All of it but the supplies."""
        return *likeness(self.lead), self.stands


def _output_facts(around: _Surroundings, output: Output, *, is_tried: bool = False) -> OutputFacts | Undetermined:
    if output.measured is not None:
        from lampwright.analysis.electrical.built import facts_as_built

        return facts_as_built(around.plan, output)
    circuit = _circuit(around.plan, output)
    if isinstance(circuit, Lack):
        return Undetermined(output, circuit.span, circuit.lacks)
    feeds = _feeds(around, (circuit,), (output.name,), output.span)
    if isinstance(feeds, Lack):
        return Undetermined(output, feeds.span, feeds.lacks)
    # Computed once for all circuits that are alike, in all plans.
    key = (around.likeness, likeness(circuit), feeds.volts)
    if is_tried and key not in _KNOWN:
        return _tried(around, output, circuit, feeds, key)
    return _told(around, output, circuit, feeds, _numbers(around, circuit, feeds, key))


def _told(around: _Surroundings, output: Output, circuit: Chain, feeds: Feeds, numbers: Numbers) -> OutputFacts:
    behind = (*around.leaves, *_lawful(circuit))
    feed = feeds.of(is_at_rail=circuit.rail_span is not None)
    return OutputFacts(
        output,
        feed.voltage,
        numbers.current,
        told_of_elements(numbers, behind, f"outputs.{output.name}.circuit", feeds),
        told_of_strings(numbers, behind, feeds),
        weak_of_supplies(numbers, feeds),
        behind,
        feed.basis,
    )


def _numbers(around: _Surroundings, circuit: Chain, feeds: Feeds, key: tuple[object, ...]) -> Numbers:
    """Those of elements in the lead are not among them."""
    numbers = _KNOWN.get(key)
    if numbers is None:
        wiring = wire(around.lead, {"": circuit}, feeds)
        numbers = numbers_of(wiring, feeds, range(wiring.in_lead, len(wiring.leaves)), around.stands)
        if len(_KNOWN) >= _MOST_KNOWN:
            _KNOWN.clear()
        _KNOWN[key] = numbers
    return numbers


def _tried(around: _Surroundings, output: Output, circuit: Chain, feeds: Feeds, key: tuple[object, ...]) -> OutputFacts:
    from lampwright.analysis.electrical.tried import Trial, TriedFacts

    known = _TRIED.get(key)
    if known is None:
        if len(_TRIED) >= _MOST_TRIED:
            _TRIED.clear()
        known = _TRIED[key] = {}
    trial = Trial(
        known,
        around.stands,
        lambda: wire(around.lead, {"": circuit}, feeds),
        lambda: _told(around, output, circuit, feeds, _numbers(around, circuit, feeds, key)),
    )
    feed = feeds.of(is_at_rail=circuit.rail_span is not None)
    return TriedFacts(output, feed, (*around.leaves, *_lawful(circuit)), trial)


def _lawful(circuit: Chain) -> tuple[LawfulElement, ...]:
    """All elements of `circuit`, which has no lack, in reading order."""
    return tuple(leaves(circuit))  # type: ignore[arg-type]  # without a lack there are no others


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


def _feeds(around: _Surroundings, circuits: Iterable[Chain], on: Collection[str], place: Span) -> Feeds | Lack:
    """What feeds these circuits, of the outputs `on`, behind the common lead."""
    if lack := around.lack(place):
        return lack
    needs_rail, at_rail = False, []
    for circuit in circuits:
        at_rail.append(circuit.rail_span is not None)
        # In most nothing is nested that could return elsewhere.
        is_nested = circuit.leaves is not circuit.elements
        needs_rail = needs_rail or at_rail[-1] or (is_nested and returns_to_rail(circuit))
    needs_common = bool(around.lead.elements) or not at_rail or not all(at_rail)
    rail = around.rail if needs_rail else None
    common = around.common(on) if needs_common else rail
    if isinstance(common, str):
        return Lack(place, common)
    if isinstance(rail, str):
        return Lack(place, rail)
    assert common is not None
    return Feeds(common, rail)
