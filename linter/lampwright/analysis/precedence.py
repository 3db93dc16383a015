"""Which fault of an output is to be cured first: while it stands, the output's other figures mean nothing.

Knows the names of the rules that speak of these faults, because what rests has to say what it waits for.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import inf

from lampwright.analysis.electrical import ElectricalFacts
from lampwright.analysis.electrical.facts import LedString, OutputFacts
from lampwright.analysis.protection import LedProtection
from lampwright.model.circuit import Led, PlacedLamp, lamp_kind, placed_lamps
from lampwright.model.lighting import LightingPlan
from lampwright.model.values import is_above


def first_cures(plan: LightingPlan, facts: ElectricalFacts, protections: Iterable[LedProtection]) -> Mapping[str, str]:
    """By output, the rule whose fault stands in the way of all other electrical verdicts; most outputs have none."""
    cures: dict[str, str] = {}
    for protection in protections:
        if protection.is_protected is False:
            # An LED in the common lead without protection is everybody's fault.
            names = plan.outputs if protection.output is None else (protection.output.name,)
            cures.update(dict.fromkeys(names, "unprotected-led"))
    for name, output in plan.outputs.items():
        if (
            name not in cures
            and output.circuit is not None
            and any(map(_is_against_feed, placed_lamps(output.circuit)))
        ):
            cures[name] = "reversed-led"
    # What follows from a reading that is off by just a decimal point may be nothing but that.
    cures.update({name: "measured-otherwise" for name in facts.slips if name not in cures})
    for name, found in facts.outputs.items():
        if name in cures or not isinstance(found, OutputFacts):
            continue
        strings = found.forward_voltages
        if any(stays_dark(string) or may_stay_dark(string) for string in strings):
            cures[name] = "unlit-string"
        elif found.current.highest == inf:
            cures[name] = "overloaded-output"
    return cures


def _is_against_feed(lamp: PlacedLamp) -> bool:
    return lamp.reversed and isinstance(lamp_kind(lamp), Led)


def stays_dark(string: LedString) -> bool:
    """Whether the usual forward voltages add up to more than the usual supply."""
    return is_above(string.total.usual, string.supply.usual)


def may_stay_dark(string: LedString) -> bool:
    """Whether the highest forward voltages add up to more than the lowest supply."""
    return is_above(string.total.highest, string.supply.lowest)
