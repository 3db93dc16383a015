"""A resistor turns more power into heat than it is rated for, or more than the club's margin of that.

A resistor at its rating is too hot to touch, and a shell of plastic is close; half of the rating is the usual margin.
Where no rating is stated, a resistor is judged as one of 1/8 W, and the message says which rating it needs.

The fix writes the rating that is needed.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      left ditch lamp: {bulb: {voltage: 1.5 V, current: 15 mA}}
    outputs:
      white: {circuit: [820 ohm 1/8 W, left ditch lamp]}
      #                 ^^^^^^^^^^^^^ this resistor would turn 173 mW into heat; it is rated for 1/8 W and needs 1/2 W;
      #  at your 14.5 V on the track
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      left ditch lamp: {bulb: {voltage: 1.5 V, current: 15 mA}}
    outputs:
      white: {circuit: [820 ohm 1/2 W, left ditch lamp]}
    keys: {}

Fixed:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      left ditch lamp: {bulb: {voltage: 1.5 V, current: 15 mA}}
    outputs:
      white: {circuit: [820 ohm 1/2 W, left ditch lamp]}
    keys: {}

Source: the resistor's rating; half of it is the design rule of the handbooks (attributed there to IPC-2221).
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.facts import ElementFacts, Undetermined
from lampwright.analysis.sizing import rating_needed
from lampwright.diagnostics import Finding, Fix, Severity, Undecided
from lampwright.model.circuit import Resistor
from lampwright.model.values import Figure
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import at_supply, caveat, ceiling
from lampwright.rule.cures import UNSTATED_RATING
from lampwright.rule.writing import changed
from lampwright.units import Dimension, say, say_rating


@rule(Severity.ERROR, needs_plan=True, has_fix=True)
def overheated_resistor(context: Context) -> Iterator[Verdict]:
    """Hot dissipation above the rating, or above the margin of it."""
    for facts in context.judged_outputs("overheated-resistor"):
        if isinstance(facts, Undecided):
            yield facts
        else:
            yield from _judged(context, facts.elements)
    yield from _common(context)


def _common(context: Context) -> Iterator[Verdict]:
    """The resistors in the common lead, which carry the current of all outputs that burn together."""
    facts = context.electrical.common
    if isinstance(facts, Undetermined):
        yield Undecided(facts.span, facts.lacks)
    elif facts is not None and context.first_cures:
        yield from (Undecided(each.span, "a cure for its outputs first") for each in facts.elements)
    elif facts is not None:
        for verdict in _judged(context, facts.elements):
            # With all outputs on it may get too hot; whether they ever burn together is another question.
            yield Undecided(verdict.span, "which outputs burn together") if facts.is_upper_bound else verdict


def _judged(context: Context, elements: tuple[ElementFacts, ...]) -> Iterator[Finding]:
    margin = context.settings.margins.resistor_power
    for each in elements:
        if isinstance(each.element, Resistor):
            rating = each.element.rating.usual if each.element.rating is not None else UNSTATED_RATING
            if each.power.highest > margin * rating:
                yield _finding(context, each, each.element, rating)


def _finding(context: Context, facts: ElementFacts, resistor: Resistor, rating: float) -> Finding:
    power, margin = facts.power.highest, context.settings.margins.resistor_power
    needed = rating_needed(power, margin)
    stated = resistor.rating
    is_over = stated is not None and power > rating
    needs = f"needs {say_rating(needed)}" if needed is not None else "needs more than any leaded resistor stands"
    edits = changed(context.tree, resistor, rating=needed) if needed is not None else ()
    return Finding(
        resistor.span,
        f"this resistor would turn {say(power, Dimension.POWER)} into heat;"
        f" {_rated(stated, is_over, margin)} and {needs};"
        f" {at_supply(context.plan, 'highest')}{caveat(facts.weak)}",
        fixes=(Fix(f"Use one of {say_rating(needed)}", edits),) if edits and needed is not None else (),
        data={"power": power, "limit": rating, "margin": margin, "current": facts.current.highest, "suggested": needed},
        ceiling=ceiling(facts.weak) if is_over else Severity.WARNING,
    )


def _rated(stated: Figure | None, is_over: bool, margin: float) -> str:  # noqa: FBT001  # a verdict and its figures
    if stated is None:
        return "it has no stated rating"
    share = "" if is_over else f", of which {say(margin, Dimension.SHARE)} is the margin,"
    return f"it is rated for {say_rating(stated.usual)}{share}"
