"""What was measured of the common lead with outputs on together, held against what the plan comes to with these on."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from math import inf

from lampwright.analysis.contradictions import Cause, Contradiction, Named, Reading, are_few, other_track, other_values
from lampwright.analysis.electrical import common_facts
from lampwright.analysis.electrical.built import elements_named, exchanged
from lampwright.analysis.electrical.facts import Undetermined
from lampwright.analysis.electrical.outside import Lack
from lampwright.model.circuit import Resistor, leaves, returns_to_rail
from lampwright.model.lighting import LightingPlan
from lampwright.model.measured import LeadReadings
from lampwright.records import replace


def lead_contradictions(plan: LightingPlan) -> Iterator[Contradiction | Lack]:
    """What was measured of the lead and does not fit, and what cannot be told of."""
    measured = plan.common_measured
    if measured is None:
        return
    for across in measured.across:
        if len(elements_named([plan.common_circuit], across)) != 1:
            yield Lack(across.name.span, "one lamp or resistor of this name in the common lead", is_read=True)
    readings = _readings(plan, measured, _named(plan, measured))
    if isinstance(readings, Lack):
        yield readings
        return
    misfits = tuple(reading for reading in readings if not reading.fits)
    if misfits:
        # Each value that is tried in the lead is computed with all that hangs on it.
        chains = [plan.common_circuit, *(output.circuit for output in plan.outputs.values())]
        yield Contradiction(misfits, tuple(_causes(plan, measured, misfits[0])) if are_few(chains) else None)


def expected_of_lead(plan: LightingPlan) -> tuple[Reading, ...]:
    """What was measured of the lead beside what the plan comes to, as far as that can be told."""
    measured = plan.common_measured
    readings = _readings(plan, measured, _named(plan, measured)) if measured is not None else ()
    return () if isinstance(readings, Lack) else readings


def _named(plan: LightingPlan, measured: LeadReadings) -> Named:
    named = ((elements_named([plan.common_circuit], across), across) for across in measured.across)
    return [(elements[0], across) for elements, across in named if len(elements) == 1]


def _readings(plan: LightingPlan, measured: LeadReadings, named: Named) -> tuple[Reading, ...] | Lack:
    names = measured.outputs if measured.outputs is not None else tuple(plan.outputs)
    circuits = [plan.outputs[name].circuit for name in names]
    if any(circuit is not None and returns_to_rail(circuit) for circuit in circuits):
        return Lack(measured.span, "a meter that shows what flows only half of the time", is_read=True)
    facts = common_facts(plan, names)
    if isinstance(facts, Undetermined):
        return Lack(facts.span, facts.lacks)
    if facts.current.highest == inf:
        return Lack(measured.span, "something in the plan that limits the current", is_read=True)
    current = measured.current
    through = (Reading("current", None, current, facts.current, facts.weak),) if current is not None else ()
    there = {id(each.element): each for each in facts.elements}
    across = [
        Reading("across", element, reading.voltage, there[id(element)].voltage, there[id(element)].weak)
        for element, reading in named
    ]
    return (*through, *across)


def _causes(plan: LightingPlan, measured: LeadReadings, misfit: Reading) -> Iterator[Cause]:
    """Another value in the lead, or another track voltage: one lamp of many tells too little there."""
    named = _named(plan, measured)

    def fit(part: Resistor, other: Resistor) -> bool:
        lead = exchanged(plan.common_circuit, {id(part): other}) if plan.common_circuit is not None else None
        pairs = [(other if element is part else element, across) for element, across in named]
        readings = _readings(replace(plan, common_circuit=lead), measured, pairs)
        return not isinstance(readings, Lack) and all(reading.fits for reading in readings)

    for part in leaves(plan.common_circuit) if plan.common_circuit is not None else ():
        if isinstance(part, Resistor) and misfit.figure.usual:
            yield from other_values(plan, part, partial(fit, part))
    yield from other_track(plan, lambda elsewhere: _readings(elsewhere, measured, named), misfit)
