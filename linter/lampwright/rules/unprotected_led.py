"""An LED with nothing that limits its current burns out the moment it is switched on.

An LED has almost no resistance of its own above its forward voltage: whatever the decoder can give flows through it.
A resistor above zero, a current regulator, a resistor built into the LED, or a bulb limits it, if it stands in series
on the LED's own way from the common wire to the output; in the common lead or outside a parallel is as good. A plain
diode does not, nor does anything beside the LED, a reduced brightness, or a regulated common.

The fix puts in the next preferred resistor up, for the current that the plan wishes, else for 10 mA.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, current: 7 mA, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [front headlamp]}
      #                 ^^^^^^^^^^^^^^ nothing limits the current of the LED "front headlamp"
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, current: 7 mA, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, front headlamp]}
    keys: {}

Fixed:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, current: 7 mA, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, front headlamp]}
    keys: {}

Source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from lampwright.analysis.facts import OutputFacts
from lampwright.analysis.protection import LedProtection
from lampwright.analysis.sizing import MostCurrent, proposed, rating_needed, size_resistor, with_resistor
from lampwright.diagnostics import Finding, Fix, Note, Severity, Undecided
from lampwright.model.circuit import Led, Resistor
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.phrases import quoted
from lampwright.rule.writing import put_in, resistor_text

USUAL_CURRENT = 0.010
"""Amperes that an LED is sized for if the plan wishes nothing: usually bright enough in a model (common practice)."""


@rule(Severity.ERROR, needs_plan=True, has_fix=True)
def unprotected_led(context: Context) -> Iterator[Verdict]:
    """An LED with nothing that limits its current."""
    by_chain: dict[int, list[LedProtection]] = {}
    for protection in context.protections:
        if protection.is_protected is None:
            lacks = protection.lack.lacks if protection.lack is not None else "a circuit that can be read"
            yield Undecided(protection.led.span, lacks)
        elif not protection.is_protected:
            by_chain.setdefault(id(protection.gap.chain), []).append(protection)
    for first, *others in by_chain.values():
        # One resistor cures all LEDs of a chain, so they are one mistake.
        yield Finding(
            first.led.span,
            f"nothing limits the current of the LED {quoted(first.led.name)}",
            tuple(Note(other.led.span, f"nor that of {quoted(other.led.name)}") for other in others),
            _fixes(context, first),
        )


def _fixes(context: Context, protection: LedProtection) -> tuple[Fix, ...]:
    lamp = protection.led.lamp
    if protection.output is None or lamp is None or not isinstance(lamp.kind, Led):
        return ()
    # The chain is sized as if it were alone on its output: what stands beside it has no protection either.
    alone = replace(protection.output, circuit=protection.gap.chain)
    margin = context.settings.margins.lamp_current
    wish = lamp.kind.wish.usual if lamp.kind.wish is not None else USUAL_CURRENT
    wanted = MostCurrent(wish, lamp.kind.maximum_current.highest * margin)
    resistance = size_resistor(context.plan, alone, protection.gap, protection.led, wanted)
    if resistance is None:
        return ()
    resistor = proposed(context.plan, protection.gap, resistance)
    facts = with_resistor(context.plan, alone, protection.gap, resistor)
    rating = _rating(context, facts, resistor) if isinstance(facts, OutputFacts) else None
    text = resistor_text(resistance, rating)
    edits = put_in(context.tree, protection.gap.chain, protection.gap.index, text)
    return (Fix(f"Put in {text}", edits),) if edits and rating else ()


def _rating(context: Context, facts: OutputFacts, resistor: Resistor) -> float | None:
    power = next((each.power.highest for each in facts.elements if each.element is resistor), None)
    return rating_needed(power, context.settings.margins.resistor_power) if power is not None else None
