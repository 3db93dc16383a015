"""What a meter showed at an output, beside what the plan comes to there."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from lampwright.analysis.electrical import common_facts, output_facts
from lampwright.analysis.electrical.built import elements_named
from lampwright.analysis.electrical.facts import CommonFacts, ElementFacts, OutputFacts, Undetermined
from lampwright.analysis.electrical.outside import Lack
from lampwright.analysis.electrical.reading import Reading
from lampwright.analysis.electrical.slips import Slip, slip_among
from lampwright.analysis.electrical.supply import planned_supply
from lampwright.analysis.electrical.weakness import LawfulElement
from lampwright.model.circuit import returns_to_rail
from lampwright.model.lighting import LightingPlan, Output, Supply
from lampwright.model.measured import Across
from lampwright.model.values import Figure
from lampwright.records import replace

Named = Sequence[tuple[LawfulElement, Across]]
"""Elements with what was read across them."""


def slip_at(plan: LightingPlan, output: Output) -> Slip | None:
    """The decimal point that may have slipped in what was measured at `output`."""
    measured = output.measured
    if measured is None or output.circuit is None or returns_to_rail(output.circuit):
        return None
    reading = reading_of_voltage(plan, measured.voltage) if measured.voltage is not None else None
    slip = slip_among([reading], plan.settings.meter) if isinstance(reading, Reading) else None
    if slip is not None or not measured.of_parts:
        return slip
    readings = readings_at(plan, output)
    return slip_among(readings, plan.settings.meter) if not isinstance(readings, Lack) else None


def reading_of_voltage(plan: LightingPlan, voltage: Figure) -> Reading | Lack:
    """Volts at the common, or from it to an output, beside track and drop."""
    fed = planned_supply(plan)
    if isinstance(fed, str):
        assert voltage.span is not None
        return Lack(voltage.span, fed)
    return Reading("voltage", None, voltage, fed.voltage, fed.weak)


def readings_at(plan: LightingPlan, output: Output, named: Named | None = None) -> tuple[Reading, ...] | Lack:
    """Current and volts across elements, beside what the plan comes to at the measured voltage, else at its own.

    `named` are the elements that the readings are of, where that is not said by their names.
    """
    readings = output.measured
    assert readings is not None
    facts = output_facts(plan, replace(output, measured=readings.of_supply))
    if isinstance(facts, Undetermined):
        return Lack(facts.span, facts.lacks)
    if facts.current.highest == inf:
        return Lack(readings.span, "something in the plan that limits the current", is_read=True)
    found = []
    if readings.current is not None:
        found.append(Reading("current", None, readings.current, facts.current, facts.weak, facts.basis))
    for element, across in named_at(plan, output) if named is None else named:
        each = _facts_of(plan, facts, element)
        if each is not None:
            found.append(Reading("across", element, across.voltage, each.voltage, each.weak, facts.basis))
    return tuple(found)


def named_at(plan: LightingPlan, output: Output) -> Named:
    """Each reading across an element that can be told which it is, and that element."""
    readings = output.measured.across if output.measured is not None else ()
    named = ((elements_named([output.circuit, plan.common_circuit], across), across) for across in readings)
    return [(elements[0], across) for elements, across in named if len(elements) == 1]


def _facts_of(plan: LightingPlan, facts: OutputFacts, element: LawfulElement) -> ElementFacts | None:
    """Of an element of the output's circuit, or of the common lead with this output alone behind it."""
    found = next((each for each in facts.elements if each.element is element), None)
    if found is not None:
        return found
    voltage = facts.basis
    if isinstance(voltage, Figure):
        plan = replace(plan, supply=Supply(plan.supply.track, voltage), common_measured=None)
    outputs = {**plan.outputs, facts.output.name: facts.output}
    lead = common_facts(replace(plan, outputs=outputs), (facts.output.name,))
    elements = lead.elements if isinstance(lead, CommonFacts) else ()
    return next((each for each in elements if each.element is element), None)
