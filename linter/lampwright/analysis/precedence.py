"""Which fault of an output is to be cured first: while it stands, the output's other figures mean nothing.

Knows the names of the rules that speak of these faults, because what rests has to say what it waits for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from math import inf

from lampwright.analysis.electrical import ElectricalFacts
from lampwright.analysis.electrical.facts import LedString, OutputFacts, Undetermined
from lampwright.analysis.protection import LedProtection
from lampwright.model.circuit import Led, PlacedLamp, lamp_kind, placed_lamps
from lampwright.model.lighting import LightingPlan, Output
from lampwright.model.values import is_above


def first_cures(
    plan: LightingPlan,
    facts: ElectricalFacts,
    protections: Iterable[LedProtection],
    own_cure_of: Callable[[Output], str | None],
) -> Mapping[str, str]:
    """By output, the rule whose fault stands in the way of all other electrical verdicts; most outputs have none.

    `own_cure_of` gives what `own_cure` says of an output.
    """
    cures: dict[str, str] = {}
    for protection in protections:
        if protection.is_protected is False:
            # An LED in the common lead without protection is everybody's fault.
            names = plan.outputs if protection.output is None else (protection.output.name,)
            cures.update(dict.fromkeys(names, "unprotected-led"))
    slips = facts.slips
    for name, output in plan.outputs.items():
        if name in cures:
            continue
        cure = own_cure_of(output)
        if name in slips and cure != "reversed-led":
            # What follows from a reading that is off by just a decimal point may be nothing but that.
            cures[name] = "measured-otherwise"
        elif cure is not None:
            cures[name] = cure
    return cures


def own_cure(output: Output, found: OutputFacts | Undetermined) -> str | None:
    """The first fault that `output`, of which `found` is known, has by itself, its readings and protection left out."""
    if output.circuit is not None and any(map(_is_against_feed, placed_lamps(output.circuit))):
        return "reversed-led"
    if not isinstance(found, OutputFacts):
        return None
    if any(stays_dark(string) or may_stay_dark(string) for string in found.forward_voltages):
        return "unlit-string"
    return "overloaded-output" if found.current.highest == inf else None


def _is_against_feed(lamp: PlacedLamp) -> bool:
    return lamp.reversed and isinstance(lamp_kind(lamp), Led)


def stays_dark(string: LedString) -> bool:
    """Whether the usual forward voltages add up to more than the usual supply."""
    return is_above(string.total.usual, string.supply.usual)


def may_stay_dark(string: LedString) -> bool:
    """Whether the highest forward voltages add up to more than the lowest supply."""
    return is_above(string.total.highest, string.supply.lowest)
