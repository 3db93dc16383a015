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
      #                              ^^^^^^^^^^^^^^ the LED "front headlamp" would carry 26.4 mA; its maximum is
      #  20 mA; at 16 V on the track, forward voltage 2.8 V, resistance 446 ohm
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
from math import inf

from lampwright.analysis.facts import ElementFacts, HotCorner, OutputFacts
from lampwright.analysis.sizing import facts_of
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.circuit import Led, PlacedLamp
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import at_supply, caveat, ceiling
from lampwright.rule.cures import larger_resistor
from lampwright.rule.phrases import quoted
from lampwright.units import Dimension, say


@rule(Severity.ERROR, needs_plan=True, has_fix=True)
def overdriven_led(context: Context) -> Iterator[Verdict]:
    """Hot current above the LED's maximum, or above the margin of it."""
    margin = context.settings.margins.lamp_current
    for facts in context.judged_outputs("overdriven-led"):
        if isinstance(facts, Undecided):
            yield facts
            continue
        chains: dict[str, list[ElementFacts]] = {}
        for each in facts.elements:
            led = _led(each)
            if led is not None and each.current.highest > margin * led.maximum_current.usual:
                chains.setdefault(each.path.rpartition(".")[0], []).append(each)
        for together in chains.values():
            # The same current flows through all LEDs of a chain: one resistor is wrong, not each lamp.
            worst = max(together, key=_excess)
            others = [each for each in together if each is not worst]
            yield _finding(context, facts, worst, others)


def _led(facts: ElementFacts) -> Led | None:
    element = facts.element
    kind = element.lamp.kind if isinstance(element, PlacedLamp) and element.lamp is not None else None
    return kind if isinstance(kind, Led) else None


def _excess(facts: ElementFacts) -> float:
    led = _led(facts)
    return facts.current.highest / led.maximum_current.usual if led is not None else 0.0


def _finding(context: Context, facts: OutputFacts, worst: ElementFacts, others: list[ElementFacts]) -> Finding:
    led, lamp = _led(worst), worst.element
    assert led is not None
    assert isinstance(lamp, PlacedLamp)
    maximum, margin = led.maximum_current, context.settings.margins.lamp_current
    is_over = worst.current.highest > maximum.usual
    share = "" if is_over else f", of which {say(margin, Dimension.SHARE)} is the margin"
    unstated = " where none is stated" if maximum.origin.is_weak else ""
    highest = ceiling([*worst.weak]) or (Severity.WARNING if maximum.origin.is_weak else None)
    return Finding(
        lamp.span,
        f"the LED {quoted(lamp.name)} would carry {say(worst.current.highest, Dimension.CURRENT)};"
        f" its maximum is {say(maximum.usual, Dimension.CURRENT)}{unstated}{share};"
        f" {at_supply(context.plan, 'highest')}{_corner(worst.corner)}{caveat(worst.weak)}",
        tuple(_notes(led, others)),
        larger_resistor(context, facts.output, lambda new: _is_cured(new, lamp, led, margin), lamp),
        {
            "current": worst.current.highest,
            "limit": maximum.usual,
            "margin": margin,
            "corner": worst.corner.data,
        },
        highest if is_over else Severity.WARNING,
    )


def _notes(led: Led, others: list[ElementFacts]) -> Iterator[Note]:
    for other in others:
        yield Note(other.span, "the same current flows here")
    if led.maximum_current.span is not None:
        yield Note(led.maximum_current.span, "the maximum is stated here")


def _corner(corner: HotCorner) -> str:
    said = []
    if corner.forward_voltage is not None:
        said.append(f"forward voltage {say(corner.forward_voltage, Dimension.VOLTAGE)}")
    if corner.resistance is not None:
        said.append(f"resistance {say(corner.resistance, Dimension.RESISTANCE)}")
    return "".join(f", {part}" for part in said)


def _is_cured(facts: OutputFacts, lamp: PlacedLamp, led: Led, margin: float) -> bool:
    found = facts_of(facts, lamp)
    wish = led.wish.usual if led.wish is not None else inf
    return (
        found is not None
        and found.current.usual <= wish
        and found.current.highest <= margin * led.maximum_current.usual
    )
