"""What a meter showed of the common lead, beside what the plan comes to with the same outputs on."""

from __future__ import annotations

from math import inf

from lampwright.analysis.electrical import common_facts
from lampwright.analysis.electrical.built import elements_named
from lampwright.analysis.electrical.facts import Undetermined
from lampwright.analysis.electrical.outside import Lack
from lampwright.analysis.electrical.read_at_output import Named, reading_of_voltage
from lampwright.analysis.electrical.reading import Reading
from lampwright.analysis.electrical.slips import Slip, slip_among
from lampwright.model.circuit import returns_to_rail
from lampwright.model.lighting import LightingPlan, Supply
from lampwright.model.measured import LeadReadings
from lampwright.records import replace


def slip_in_lead(plan: LightingPlan) -> Slip | None:
    """The decimal point that may have slipped in what was measured of the lead."""
    measured, meter = plan.common_measured, plan.settings.meter
    if measured is None:
        return None
    reading = reading_of_voltage(plan, measured.voltage) if measured.voltage is not None else None
    slip = slip_among([reading], meter) if isinstance(reading, Reading) else None
    if slip is not None or not measured.of_parts:
        return slip
    readings = lead_readings(plan, measured)
    return slip_among(readings, meter) if not isinstance(readings, Lack) else None


def named_in_lead(plan: LightingPlan, measured: LeadReadings) -> Named:
    """Each reading across an element of the lead that can be told which it is, and that element."""
    named = ((elements_named([plan.common_circuit], across), across) for across in measured.across)
    return [(elements[0], across) for elements, across in named if len(elements) == 1]


def names_on(plan: LightingPlan, measured: LeadReadings) -> tuple[str, ...]:
    """The outputs that were on."""
    return measured.outputs if measured.outputs is not None else tuple(plan.outputs)


def lead_readings(plan: LightingPlan, measured: LeadReadings, named: Named | None = None) -> tuple[Reading, ...] | Lack:
    """Current and volts across elements, beside what the plan comes to at the measured voltage, else at its own.

    `named` are the elements that the readings are of, where that is not said by their names.
    """
    names = names_on(plan, measured)
    circuits = [plan.outputs[name].circuit for name in names]
    if any(circuit is not None and returns_to_rail(circuit) for circuit in circuits):
        return Lack(measured.span, "a meter that shows what flows only half of the time", is_read=True)
    if measured.voltage is not None and measured.voltage.usual > 0:
        plan = replace(plan, supply=Supply(plan.supply.track, measured.voltage))
    facts = common_facts(plan, names)
    if isinstance(facts, Undetermined):
        return Lack(facts.span, facts.lacks)
    if facts.current.highest == inf:
        return Lack(measured.span, "something in the plan that limits the current", is_read=True)
    current, basis = measured.current, facts.basis
    through = (Reading("current", None, current, facts.current, facts.weak, basis),) if current is not None else ()
    there = {id(each.element): each for each in facts.elements}
    across = [
        Reading("across", element, reading.voltage, there[id(element)].voltage, there[id(element)].weak, basis)
        for element, reading in (named if named is not None else named_in_lead(plan, measured))
    ]
    return (*through, *across)
