"""What an output draws at the moment it is switched on, while the filaments of its bulbs are still cold."""

from __future__ import annotations

from lampwright.analysis.electrical import tried_facts
from lampwright.analysis.electrical.facts import OutputFacts, Undetermined
from lampwright.analysis.electrical.law import HOT_OVER_COLD
from lampwright.model.circuit import Bulb, Chain, Element, Parallel, PlacedLamp, Resistor, lamp_kind, placed_lamps
from lampwright.model.lighting import LightingPlan, Output
from lampwright.model.values import Figure, Origin
from lampwright.records import replace


def has_bulb(output: Output) -> bool:
    """Whether a filament hangs on `output`."""
    circuit = output.circuit
    return circuit is not None and any(isinstance(lamp_kind(lamp), Bulb) for lamp in placed_lamps(circuit))


def inrush_facts(plan: LightingPlan, output: Output) -> OutputFacts | Undetermined:
    """The facts of `output` with each bulb as the resistance that it has when cold.

    It is a tenth of that at its rating, with the spread of the bulb's current; the filament glows after some
    milliseconds.
    """
    own, lead = (_cold_chain(chain) if chain is not None else None for chain in (output.circuit, plan.common_circuit))
    of_supply = output.measured.of_supply if output.measured is not None else None
    return tried_facts(replace(plan, common_circuit=lead), replace(output, circuit=own, measured=of_supply))


def _cold_chain(chain: Chain) -> Chain:
    return replace(chain, elements=tuple(map(_cold, chain.elements)))


def _cold(element: Element) -> Element:
    match element:
        case Chain():
            return _cold_chain(element)
        case Parallel(branches=branches):
            return replace(element, branches=tuple(map(_cold_chain, branches)))
        case PlacedLamp() if isinstance(bulb := lamp_kind(element), Bulb):
            return Resistor(element.span, _cold_resistance(bulb), None)
    return element


def _cold_resistance(bulb: Bulb) -> Figure:
    voltage, current = bulb.voltage, bulb.current
    return Figure(
        voltage.lowest / current.highest / HOT_OVER_COLD,
        voltage.usual / current.usual / HOT_OVER_COLD,
        voltage.highest / current.lowest / HOT_OVER_COLD,
        voltage.span,
        Origin.SECOND_HAND,
    )
