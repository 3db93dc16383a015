"""More current through an LED than it stands for long, or more than the club's margin of it.

The current is that of the hot corner: highest supply, lowest drop, lowest forward voltage, resistor at the low end of
its tolerance. An LED whose maximum is not stated is judged against 20 mA, as a warning.

The fix takes the next preferred resistor up that keeps the LED within its margin, and within the current that the plan
wishes for it.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 13 V to 16 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 2.8 V to 3.3 V, current: 10 mA, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [470 ohm 1 W, front headlamp]}
      #                              ^^^^^^^^^^^^^^ the LED "front headlamp" would carry 26 mA; its maximum is 20 mA;
      #  at 16 V on the track, forward voltage 2.8 V, 470 ohm − 5 %
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 13 V to 16 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 2.8 V to 3.3 V, current: 10 mA, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.2 kohm 1 W, front headlamp]}
    keys: {}

Fixed:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 13 V to 16 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 2.8 V to 3.3 V, current: 10 mA, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.2 kohm 1 W, front headlamp]}
    keys: {}

Source: the LED's data sheet; the margin is common practice; 20 mA where nothing is stated was read second-hand.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial, reduce
from math import inf

from lampwright.analysis.electrical.facts import ElementFacts, OutputFacts
from lampwright.analysis.logic.questions import State
from lampwright.analysis.resistors.sizing import facts_of
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.circuit import Led, PlacedLamp, lamp_kind
from lampwright.model.values import Figure, is_above
from lampwright.patterns import pattern
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import at_supply, caveat, ceiling, in_state, state_data
from lampwright.rule.common_lead import too_much_in_lead
from lampwright.rule.cures import Cure, larger_resistor
from lampwright.rule.limits import Excess, excess_of
from lampwright.rule.phrases import quoted, said_above
from lampwright.units import Dimension, say

_PLACE_IN_CHAIN = pattern(r"(?:\.[0-9]+\.series)*\.[0-9]+\Z")


@rule(Severity.ERROR, needs_plan=True, has_fix=True)
def overdriven_led(context: Context) -> Iterator[Verdict]:
    """Hot current above the LED's maximum, or above the margin of it."""
    for facts in context.doubtful_outputs("overdriven-led"):
        if isinstance(facts, Undecided):
            yield facts
            continue
        chains: dict[str, list[ElementFacts]] = {}
        for each in facts.elements:
            if _is_overdriven(context, each):
                chains.setdefault(_PLACE_IN_CHAIN.sub("", each.path), []).append(each)
        for number, together in enumerate(chains.values()):
            # The same current flows through all LEDs of a chain: one resistor is wrong, not each lamp.
            worst = reduce(_worse, together)
            leds = [worst, *(each for each in together if each is not worst)]
            cure = larger_resistor(context, facts, partial(_are_cured, context, leds), _lamp(worst), number)
            yield _finding(context, leds, cure)
    for found in too_much_in_lead(context, partial(_is_overdriven, context), _share_of_maximum):
        yield found if isinstance(found, Undecided) else _finding(context, [found.facts], Cure(), found.state)


def _is_overdriven(context: Context, facts: ElementFacts) -> bool:
    return isinstance(lamp_kind(facts.element), Led) and bool(excess_of(facts, context.settings.margins))


def _lamp(facts: ElementFacts) -> PlacedLamp:
    assert isinstance(facts.element, PlacedLamp)
    return facts.element


def _led(facts: ElementFacts) -> Led:
    kind = lamp_kind(facts.element)
    assert isinstance(kind, Led)
    return kind


def _worse(one: ElementFacts, other: ElementFacts) -> ElementFacts:
    """The one with more of its maximum; the first one where only the last bits differ."""
    return other if is_above(_share_of_maximum(other), _share_of_maximum(one)) else one


def _share_of_maximum(facts: ElementFacts) -> float:
    return facts.current.highest / _led(facts).maximum_current.usual


def _finding(context: Context, leds: list[ElementFacts], cure: Cure, state: State | None = None) -> Finding:
    worst, *others = leds
    lamp, maximum, margins = _lamp(worst), _led(worst).maximum_current, context.settings.margins
    is_over = excess_of(worst, margins) is Excess.ABOVE_LIMIT
    most = maximum.usual if is_over else margins.lamp_current * maximum.usual
    share = "" if is_over else f", of which {say(margins.lamp_current, Dimension.SHARE)} is the margin"
    return Finding(
        lamp.span,
        f"the LED {quoted(lamp.name)} would carry {said_above(worst.current.highest, most, Dimension.CURRENT)}"
        f"{f' {in_state(state)}' if state is not None else ''}; {_maximum(maximum)}{share};"
        f" {at_supply(context.plan, 'highest', worst.basis)}{_corner(worst)}{caveat(worst.weak)}",
        tuple(_notes(maximum, others)),
        cure.fixes,
        {
            "current": worst.current.highest,
            "limit": maximum.usual,
            "margin": margins.lamp_current,
            "corner": worst.corner.data,
            "suggested": cure.suggested,
            **({"state": state_data(state)} if state is not None else {}),
        },
        Severity.WARNING if maximum.origin.is_weak or not is_over else ceiling(worst.weak),
    )


def _maximum(maximum: Figure) -> str:
    value = say(maximum.usual, Dimension.CURRENT)
    if maximum.origin.is_weak:
        return f"its maximum is not stated, and {value} is usual ({maximum.origin.value})"
    return f"its maximum is {value}"


def _notes(maximum: Figure, others: list[ElementFacts]) -> Iterator[Note]:
    for other in others:
        yield Note(other.span, "the same current flows here")
    if maximum.span is not None:
        yield Note(maximum.span, "the maximum is stated here")


def _corner(facts: ElementFacts) -> str:
    """What is in its way, each at the end of its spread that lets most through."""
    usual, hot = facts.corners.usual, facts.corners.highest
    said = []
    if hot.forward_voltage is not None:
        said.append(f"forward voltage {say(hot.forward_voltage, Dimension.VOLTAGE)}")
    if hot.resistance is not None and usual.resistance is not None:
        short = 1 - hot.resistance / usual.resistance
        spread = f" \N{MINUS SIGN} {say(short, Dimension.SHARE, 2)}" if short > 1e-6 else ""
        said.append(say(usual.resistance, Dimension.RESISTANCE) + spread)
    return "".join(f", {part}" for part in said)


def _are_cured(context: Context, leds: list[ElementFacts], facts: OutputFacts) -> bool:
    return all(_is_cured(context, facts_of(facts, each.element), _led(each)) for each in leds)


def _is_cured(context: Context, found: ElementFacts | None, led: Led) -> bool:
    wish = led.wish.usual if led.wish is not None else inf
    return (
        found is not None and not is_above(found.current.usual, wish) and not excess_of(found, context.settings.margins)
    )
