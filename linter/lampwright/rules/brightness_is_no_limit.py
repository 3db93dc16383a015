"""An LED has too much current at its peak, and a reduced brightness is meant to save it.

A decoder makes less light by switching on and off, hundreds of times a second. While it is on the full current flows,
and it is that which the data sheet limits: 30 mA for a third of the time are not 10 mA. A larger resistor limits.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      # lampwright: allow overdriven-led -- this page is about what does not cure it
      white: {circuit: [330 ohm 1 W, front headlamp], brightness: 30 %}
      #                                                           ^^^^ a brightness of 30 % does not limit the current
      #  of the LED "front headlamp": while it is on it would carry 31.3 mA; its maximum is 20 mA; at your 14.5 V on
      #  the track
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, front headlamp], brightness: 30 %}
    keys: {}

Source: pulse-width modulation changes the share of time, not the peak; how much of a peak an LED stands is for its data
sheet to say.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.electrical.facts import ElementFacts, OutputFacts
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.circuit import Led, PlacedLamp, lamp_kind
from lampwright.model.lighting import LightingPlan
from lampwright.model.values import Figure
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import at_supply, caveat
from lampwright.rule.limits import Excess, excess_of
from lampwright.rule.phrases import quoted, said_above
from lampwright.units import Dimension, say


@rule(Severity.WARNING, needs_plan=True)
def brightness_is_no_limit(context: Context) -> Iterator[Verdict]:
    """A brightness below full on an output with an LED above its maximum."""
    reduced = _reduced(context.plan)
    for facts in context.judged_outputs("brightness-is-no-limit"):
        if isinstance(facts, Undecided):
            yield facts
            continue
        brightness = reduced.get(facts.output.name)
        worst = _most_overdriven(context, facts) if brightness is not None else None
        if worst is not None and brightness is not None:
            yield _finding(context, worst, brightness)


def _reduced(plan: LightingPlan) -> dict[str, Figure]:
    """By output the first brightness below full that it has by itself, or under some key."""
    reduced: dict[str, Figure] = {}
    looks = [(output.look, [output.name]) for output in plan.outputs.values()]
    entries = [*plan.always, *(entry for key in plan.keys.values() for entry in key.entries)]
    looks += [(entry.look, [name.text for name in entry.outputs]) for entry in entries if entry.look.brightness]
    for look, names in looks:
        if look.brightness is not None and look.brightness.usual < 1 and look.brightness.span is not None:
            for name in names:
                reduced.setdefault(name, look.brightness)
    return reduced


def _most_overdriven(context: Context, facts: OutputFacts) -> ElementFacts | None:
    leds = [
        each
        for each in facts.elements
        if isinstance(lamp_kind(each.element), Led) and excess_of(each, context.settings.margins) is Excess.ABOVE_LIMIT
    ]
    return max(leds, key=_share_of_maximum, default=None)


def _share_of_maximum(facts: ElementFacts) -> float:
    return facts.current.highest / _led(facts).maximum_current.usual


def _led(facts: ElementFacts) -> Led:
    kind = lamp_kind(facts.element)
    assert isinstance(kind, Led)
    return kind


def _finding(context: Context, worst: ElementFacts, brightness: Figure) -> Finding:
    lamp, maximum = worst.element, _led(worst).maximum_current
    assert isinstance(lamp, PlacedLamp)
    assert brightness.span is not None
    return Finding(
        brightness.span,
        f"a brightness of {say(brightness.usual, Dimension.SHARE)} does not limit the current of the LED"
        f" {quoted(lamp.name)}: while it is on it would carry"
        f" {said_above(worst.current.highest, maximum.usual, Dimension.CURRENT)}; its maximum is"
        f" {say(maximum.usual, Dimension.CURRENT)}; {at_supply(context.plan, 'highest', worst.basis)}"
        f"{caveat(worst.weak)}",
        (Note(lamp.span, "the LED stands here"),),
        data={"current": worst.current.highest, "limit": maximum.usual, "corner": worst.corner.data},
    )
