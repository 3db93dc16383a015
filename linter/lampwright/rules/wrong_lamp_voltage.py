"""A bulb gets more voltage than it is made for.

Above its maximum voltage it burns out soon (error); above 1.05 of its rated voltage it wears out early (warning). The
life of a filament falls with about the twelfth power of the voltage: 10 % more costs two thirds of it. It rises in the
same way below: a slightly larger resistor costs little light and saves many lamps.

The fix takes the next preferred resistor up that brings the bulb to its rated voltage.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      cab lamp: {bulb: {voltage: 6 V, current: 40 mA}}
    outputs:
      white: {circuit: [82 ohm 1 W, cab lamp]}
      #                             ^^^^^^^^ the bulb "cab lamp" would get 9.17 V; it is made for 6 V and stands 6.6
      #  V; at your 14.5 V on the track; less than 1 % of its life is left
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      cab lamp: {bulb: {voltage: 6 V, current: 40 mA}}
    outputs:
      white: {circuit: [180 ohm 1 W, cab lamp]}
    keys: {}

Fixed:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      cab lamp: {bulb: {voltage: 6 V, current: 40 mA}}
    outputs:
      white: {circuit: [180 ohm 1 W, cab lamp]}
    keys: {}

Source: the bulb's rating; the exponent of the life, 12 to 16, is from the re-rating formulas of lamp handbooks, read
second-hand (Fink and Beaty, Standard Handbook for Electrical Engineers, 11th ed., p. 22-8).
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from lampwright.analysis.electrical.facts import ElementFacts, OutputFacts
from lampwright.analysis.electrical.light import bulb_life, bulb_light
from lampwright.analysis.logic.questions import State
from lampwright.analysis.resistors.sizing import facts_of
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.circuit import Bulb, PlacedLamp, lamp_kind
from lampwright.model.values import is_above
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import at_supply, caveat, ceiling, in_state, state_data
from lampwright.rule.common_lead import too_much_in_lead
from lampwright.rule.cures import Cure, larger_resistor
from lampwright.rule.limits import USUAL_EXCESS, Excess, excess_of
from lampwright.rule.phrases import quoted, said_above
from lampwright.units import Dimension, say


@rule(Severity.ERROR, needs_plan=True, has_fix=True)
def wrong_lamp_voltage(context: Context) -> Iterator[Verdict]:
    """Hot voltage above the bulb's maximum, or usual voltage above 1.05 of its rated one."""
    for facts in context.doubtful_outputs("wrong-lamp-voltage"):
        if isinstance(facts, Undecided):
            yield facts
            continue
        for number, each in enumerate(each for each in facts.elements if _has_too_much(context, each)):
            lamp = each.element
            assert isinstance(lamp, PlacedLamp)
            cure = larger_resistor(context, facts, partial(_is_cured, lamp, _bulb(each)), lamp, number)
            yield _finding(context, each, cure)
    for found in too_much_in_lead(context, partial(_has_too_much, context), _share_of_rating):
        yield found if isinstance(found, Undecided) else _finding(context, found.facts, Cure(), found.state)


def _has_too_much(context: Context, facts: ElementFacts) -> bool:
    return isinstance(lamp_kind(facts.element), Bulb) and bool(excess_of(facts, context.settings.margins))


def _bulb(facts: ElementFacts) -> Bulb:
    kind = lamp_kind(facts.element)
    assert isinstance(kind, Bulb)
    return kind


def _share_of_rating(facts: ElementFacts) -> float:
    return facts.effective_voltage.highest / _bulb(facts).voltage.usual


def _finding(context: Context, each: ElementFacts, cure: Cure, state: State | None = None) -> Finding:
    lamp, bulb = each.element, _bulb(each)
    assert isinstance(lamp, PlacedLamp)
    is_over = excess_of(each, context.settings.margins) is Excess.ABOVE_LIMIT
    corner = "highest" if is_over else "usual"
    voltage = each.effective_voltage.highest if is_over else each.effective_voltage.usual
    limit = bulb.maximum_voltage.usual if is_over else USUAL_EXCESS * bulb.voltage.usual
    life = bulb_life(voltage / bulb.voltage.usual)
    span = bulb.voltage.span
    return Finding(
        lamp.span,
        f"the bulb {quoted(lamp.name)} would get {said_above(voltage, limit, Dimension.VOLTAGE)}"
        f"{f' {in_state(state)}' if state is not None else ''}; it is made for"
        f" {say(bulb.voltage.usual, Dimension.VOLTAGE)} and {'stands' if is_over else 'should get at most'}"
        f" {say(limit, Dimension.VOLTAGE)}; {at_supply(context.plan, corner, each.basis)}{_life(life)}"
        f"{caveat(each.weak, corner)}",
        (Note(span, "its rated voltage is stated here"),) if span is not None else (),
        cure.fixes,
        {
            "voltage": voltage,
            "current": each.current.highest if is_over else each.current.usual,
            "limit": limit,
            "corner": getattr(each.corners, corner).data,
            "life": life,
            "light": bulb_light(voltage / bulb.voltage.usual),
            "suggested": cure.suggested,
            **({"state": state_data(state)} if state is not None else {}),
        },
        ceiling(each.weak) if is_over else Severity.WARNING,
    )


def _life(life: float) -> str:
    # A bulb may stand less than it is rated for, by what its data say; then its life is no matter.
    if life >= 1:
        return ""
    share = f"about {life * 100:.0f} %" if life >= 0.01 else "less than 1 %"
    return f"; {share} of its life is left"


def _is_cured(lamp: PlacedLamp, bulb: Bulb, facts: OutputFacts) -> bool:
    found = facts_of(facts, lamp)
    if found is None or is_above(found.effective_voltage.usual, bulb.voltage.usual):
        return False
    return not is_above(found.effective_voltage.highest, bulb.maximum_voltage.usual)
