"""A current regulator does not get the voltage that it needs for itself.

Below its drop-out voltage it no longer holds its current: the lamps behind it get darker with every volt that the track
loses, which is what it was bought against. In the cold corner it must have what it needs.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 12 V to 16 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      saloon lamp a: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
      saloon lamp b: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
      saloon lamp c: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [{current-regulator: 10 mA, needs: 2.5 V}, saloon lamp a, saloon lamp b, saloon lamp c]}
      #                 ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ the current regulator may get no more than 1.75 V,
      #  but needs 2.5 V, and would let through 6.99 mA; at 12 V on the track
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 12 V to 16 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      saloon lamp a: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
      saloon lamp b: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [{current-regulator: 10 mA, needs: 2.5 V}, saloon lamp a, saloon lamp b]}
    keys: {}

Source: the regulator's data sheet.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.electrical.facts import ElementFacts
from lampwright.diagnostics import Finding, Severity, Undecided
from lampwright.model.circuit import Regulator
from lampwright.model.values import Figure, is_above
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import at_supply, caveat
from lampwright.units import Dimension, say


@rule(Severity.WARNING, needs_plan=True)
def starved_regulator(context: Context) -> Iterator[Verdict]:
    """A regulator with less than it needs in the cold corner."""
    for facts in context.doubtful_outputs("starved-regulator"):
        if isinstance(facts, Undecided):
            yield facts
            continue
        for each in facts.elements:
            if isinstance(each.element, Regulator):
                yield from _verdict(context, each, each.element)


def _verdict(context: Context, each: ElementFacts, regulator: Regulator) -> Iterator[Verdict]:
    needs = regulator.needs
    if needs is None:
        yield Undecided(regulator.span, "the voltage that this regulator needs")
    elif is_above(needs.usual, each.voltage.lowest):
        corner = "usual" if is_above(needs.usual, each.voltage.usual) else "lowest"
        yield _finding(context, each, needs, corner)


def _finding(context: Context, each: ElementFacts, needs: Figure, corner: str) -> Finding:
    voltage, current = getattr(each.voltage, corner), getattr(each.current, corner)
    may = "gets" if corner == "usual" else "may get no more than"
    return Finding(
        each.span,
        f"the current regulator {may} {say(voltage, Dimension.VOLTAGE)}, but needs"
        f" {say(needs.usual, Dimension.VOLTAGE)}, and would let through"
        f" {say(current, Dimension.CURRENT)}; {at_supply(context.plan, corner, each.basis)}{caveat(each.weak, corner)}",
        data={
            "voltage": voltage,
            "current": current,
            "limit": needs.usual,
            "corner": getattr(each.corners, corner).data,
        },
    )
