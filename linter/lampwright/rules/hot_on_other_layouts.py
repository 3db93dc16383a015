"""An LED is safe at home, but overdriven on a layout with the highest track voltage that is allowed.

A vehicle that visits other layouts meets other boosters. S-9.1 allows up to 22 V at the track in every scale. A club
whose vehicles never leave home sets this rule to ignore.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [680 ohm 1 W, front headlamp]}
      #                              ^^^^^^^^^^^^^^ the LED "front headlamp" would carry 26.9 mA on a layout with 22 V
      #  on the track, the most that S-9.1 allows; its maximum is 20 mA
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.5 kohm 1/2 W, front headlamp]}
    keys: {}

Source: NMRA S-9.1 (2020), Table 3: 22 V at most from the power station, in each column of scales (read).
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.electrical import tried_facts
from lampwright.analysis.electrical.facts import ElementFacts, OutputFacts, Undetermined
from lampwright.diagnostics import Finding, Severity, Undecided
from lampwright.model.circuit import Diode, Led, PlacedLamp, Resistor, lamp_kind
from lampwright.model.lighting import Supply
from lampwright.model.values import Figure
from lampwright.records import replace
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import caveat
from lampwright.rule.limits import Excess, excess_of
from lampwright.rule.phrases import quoted, said_above
from lampwright.units import Dimension, say

HIGHEST_TRACK = 22.0
"""Volts at the track that S-9.1 allows."""


@rule(Severity.NOTE, needs_plan=True)
def hot_on_other_layouts(context: Context) -> Iterator[Verdict]:
    """Overdriven at 22 V on the track, though not at home."""
    if context.plan.supply.common is not None and context.plan.outputs:
        yield Undecided(context.plan.span, "the common on another layout: it was measured at home")
        return
    elsewhere = replace(context.plan, supply=Supply(Figure.exact(HIGHEST_TRACK), None), common_measured=None)
    for facts in context.doubtful_outputs("hot-on-other-layouts"):
        if isinstance(facts, Undecided):
            yield facts
            continue
        if any(excess_of(each, context.settings.margins) for each in _leds(facts)):
            yield Undecided(facts.output.span, "a cure for its overdriven-led first")
            continue
        if _is_simple(facts) and all(map(_stays_within, _leds(facts))):
            continue
        # What was measured was measured at home.
        there = tried_facts(elsewhere, replace(facts.output, measured=None))
        if isinstance(there, Undetermined):
            yield Undecided(there.span, there.lacks)
        elif (worst := _worst(context, there)) is not None:
            yield _finding(worst)


def _leds(facts: OutputFacts) -> list[ElementFacts]:
    return [each for each in facts.elements if isinstance(lamp_kind(each.element), Led)]


def _is_simple(facts: OutputFacts) -> bool:
    """Whether there are only resistors and junctions: the figures of all else are those at its rating."""
    return all(isinstance(each.element, Resistor | Diode | PlacedLamp) for each in facts.elements) and all(
        isinstance(lamp_kind(each.element), Led) for each in facts.elements if isinstance(each.element, PlacedLamp)
    )


def _stays_within(facts: ElementFacts) -> bool:
    """Whether nothing need be computed to tell that an LED stays within its maximum there.

    In a network of resistors and junctions the current through an element grows no faster with the voltage than through
    the resistors on its own way alone, and no more than the whole rise can come to them.
    """
    resistance = facts.corner.resistance
    if not resistance:
        return False
    rise = max(0.0, HIGHEST_TRACK - facts.corner.supply)
    return facts.current.highest + rise / resistance <= _maximum(facts).usual


def _worst(context: Context, there: OutputFacts) -> ElementFacts | None:
    """The LED that is furthest above its maximum there."""
    margins = context.settings.margins
    leds = [each for each in _leds(there) if excess_of(each, margins) is Excess.ABOVE_LIMIT]
    return max(leds, key=lambda each: each.current.highest / _maximum(each).usual, default=None)


def _maximum(facts: ElementFacts) -> Figure:
    kind = lamp_kind(facts.element)
    assert isinstance(kind, Led)
    return kind.maximum_current


def _finding(worst: ElementFacts) -> Finding:
    lamp, maximum = worst.element, _maximum(worst)
    assert isinstance(lamp, PlacedLamp)
    weak = f" ({maximum.origin.value})" if maximum.origin.is_weak else ""
    return Finding(
        lamp.span,
        f"the LED {quoted(lamp.name)} would carry"
        f" {said_above(worst.current.highest, maximum.usual, Dimension.CURRENT)} on a layout with"
        f" {say(HIGHEST_TRACK, Dimension.VOLTAGE)} on the track, the most that S-9.1 allows; its maximum is"
        f" {say(maximum.usual, Dimension.CURRENT)}{weak}{caveat(worst.weak)}",
        data={"current": worst.current.highest, "limit": maximum.usual, "corner": worst.corner.data},
    )
