"""What was measured of the common lead with outputs on together, held against what the plan comes to with these on."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from lampwright.analysis.contradictions import (
    Cause,
    Contradiction,
    are_few,
    of_slip,
    of_voltage,
    other_track,
    other_values,
)
from lampwright.analysis.electrical.built import elements_named, exchanged
from lampwright.analysis.electrical.outside import Lack
from lampwright.analysis.electrical.read_at_output import reading_of_voltage
from lampwright.analysis.electrical.read_in_lead import lead_readings, named_in_lead
from lampwright.analysis.electrical.reading import Reading
from lampwright.model.circuit import Resistor, leaves
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
    if measured.voltage is not None:
        for found in of_voltage(plan, measured.voltage):
            yield found
            if isinstance(found, Contradiction) and found.slip is not None:
                measured = replace(measured, voltage=found.slip.figure)
    if not measured.of_parts:
        return
    readings = lead_readings(plan, measured)
    if isinstance(readings, Lack):
        yield readings
        return
    misfits = tuple(reading for reading in readings if not reading.fits)
    if misfits:
        # Each value that is tried in the lead is computed with all that hangs on it.
        chains = [plan.common_circuit, *(output.circuit for output in plan.outputs.values())]
        slip, few = of_slip(plan, readings), are_few(chains)
        yield Contradiction(misfits, (*slip, *_causes(plan, measured, misfits[0])) if few else slip or None)


def expected_of_lead(plan: LightingPlan) -> tuple[Reading, ...]:
    """What was measured of the lead beside what the plan comes to, as far as that can be told."""
    measured = plan.common_measured
    if measured is None:
        return ()
    at_common = reading_of_voltage(plan, measured.voltage) if measured.voltage is not None else None
    of_supply = (at_common,) if isinstance(at_common, Reading) else ()
    readings = lead_readings(plan, measured)
    return of_supply if isinstance(readings, Lack) else (*of_supply, *readings)


def _causes(plan: LightingPlan, measured: LeadReadings, misfit: Reading) -> Iterator[Cause]:
    """Another value in the lead, or another track voltage: one lamp of many tells too little there."""
    named = named_in_lead(plan, measured)

    def fit(part: Resistor, other: Resistor) -> bool:
        lead = exchanged(plan.common_circuit, {id(part): other}) if plan.common_circuit is not None else None
        pairs = [(other if element is part else element, across) for element, across in named]
        readings = lead_readings(replace(plan, common_circuit=lead), measured, pairs)
        return not isinstance(readings, Lack) and all(reading.fits for reading in readings)

    for part in leaves(plan.common_circuit) if plan.common_circuit is not None else ():
        if isinstance(part, Resistor) and misfit.figure.usual:
            yield from other_values(plan, part, partial(fit, part))
    if measured.voltage is None:
        yield from other_track(plan, lambda elsewhere: lead_readings(elsewhere, measured, named), misfit)
