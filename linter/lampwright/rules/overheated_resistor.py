"""A resistor turns more power into heat than it is rated for, or more than the club's margin of that.

A resistor at its rating is too hot to touch, and a shell of plastic is close; half of the rating is the usual margin.
Where no rating is stated, a resistor is judged as one of 1/8 W, and the message says which rating it needs. Above 70 °C
in the shell (`inside:` of the vehicle, else of the club) a resistor stands less than its rating, and nothing at 155 °C.
One in the common lead carries the outputs that the keys can turn on together, and the message names the state. One that
returns to a rail is sized as if it conducted all the time, which it would on a layout with direct current.

The fix writes the rating that is needed, or the larger size of a chip.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      left ditch lamp: {bulb: {voltage: 1.5 V, current: 15 mA}}
    outputs:
      white: {circuit: [820 ohm 1/8 W, left ditch lamp]}
      #                 ^^^^^^^^^^^^^ the resistor "820 ohm" would turn 173 mW into heat; it is rated for 1/8 W and
      #  needs 1/2 W; at your 14.5 V on the track
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

Source: the resistor's rating; half of it is the design rule of the handbooks (attributed there to IPC-2221). The share
that is left above 70 °C is that of film and chip resistors' data sheets, read.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from lampwright.analysis.electrical.derating import temperature_inside
from lampwright.analysis.electrical.facts import ElementFacts, OutputFacts
from lampwright.analysis.resistors.sizing import rating_needed
from lampwright.diagnostics import Finding, Fix, Severity, Undecided
from lampwright.model.circuit import Resistor
from lampwright.model.values import is_above
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.alternatives import Wish, alternatives
from lampwright.rule.circumstances import at_supply, caveat, ceiling, in_state, state_data
from lampwright.rule.common_lead import InLead, too_much_in_lead
from lampwright.rule.limits import Excess, excess_of, rating_of
from lampwright.rule.phrases import quoted, said_above
from lampwright.rule.writing import changed
from lampwright.units import Dimension, say, say_rating

LEAST_KEPT = 0.8
"""Of its current that an output keeps with another resistor: a fifth less is hardly seen (common practice)."""


@rule(Severity.ERROR, needs_plan=True, has_fix=True)
def overheated_resistor(context: Context) -> Iterator[Verdict]:
    """Hot dissipation above the rating, or above the margin of it."""
    for facts in context.doubtful_outputs("overheated-resistor"):
        if isinstance(facts, Undecided):
            yield facts
            continue
        yield from (_verdict(context, InLead(each), facts) for each in facts.elements if _is_too_hot(context, each))
    for found in too_much_in_lead(context, partial(_is_too_hot, context), lambda each: each.power.highest):
        yield found if isinstance(found, Undecided) else _verdict(context, found)


def _is_too_hot(context: Context, facts: ElementFacts) -> bool:
    return isinstance(facts.element, Resistor) and bool(excess_of(facts, context.settings.margins))


def _verdict(context: Context, heat: InLead, whole: OutputFacts | None = None) -> Verdict:
    resistor = heat.facts.element
    assert isinstance(resistor, Resistor)
    if not resistor.rating_is_readable:
        return Undecided(resistor.span, "a readable rating of this resistor")
    return _finding(context, heat, resistor, tuple(_fixes(context, heat, resistor, whole)))


def _fixes(context: Context, heat: InLead, resistor: Resistor, whole: OutputFacts | None) -> Iterator[Fix]:
    """One that stands the heat; where none is sold or in stock that does, another value, or two that share it."""
    margin = context.settings.margins.resistor_power
    needed = rating_needed(heat.facts.power.highest, heat.facts.derating * margin)
    edits = changed(context.tree, resistor, rating=needed) if needed is not None else ()
    if edits and needed is not None:
        yield Fix(f"Use one rated for {say_rating(needed)}", edits)
    if whole is not None:
        wish = Wish(whole, resistor, resistor.resistance.usual, heat.facts.power.highest, partial(_is_alike, whole))
        yield from alternatives(context, wish)


def _is_alike(before: OutputFacts, after: OutputFacts) -> bool:
    """Whether the lamps get about what they had, and no more."""
    usual = before.current.usual
    return not is_above(after.current.usual, usual) and after.current.usual >= LEAST_KEPT * usual


# --- Words ------------------------------------------------------------------------------------------------------------


def _finding(context: Context, heat: InLead, resistor: Resistor, fixes: tuple[Fix, ...]) -> Finding:
    facts, margin = heat.facts, context.settings.margins.resistor_power
    power, rating = facts.power.highest, facts.derating * rating_of(resistor)
    needed = rating_needed(power, facts.derating * margin)
    is_over = resistor.rating is not None and excess_of(facts, context.settings.margins) is Excess.ABOVE_LIMIT
    most = rating if is_over else margin * rating
    ohms = say(resistor.resistance.usual, Dimension.RESISTANCE)
    state = f" {in_state(heat.state)}" if heat.state is not None else ""
    return Finding(
        resistor.span,
        f"the resistor {quoted(ohms)} would turn {said_above(power, most, Dimension.POWER)} into heat{state};"
        f" {_rated(context, facts, is_over)} and {_needs(needed)};"
        f" {at_supply(context.plan, 'highest', facts.basis)}{caveat(facts.weak)}",
        fixes=fixes,
        data={
            "power": power,
            "current": facts.current.highest,
            "resistance": facts.hottest_resistance,
            "limit": rating,
            "margin": margin,
            "corner": facts.corner.data,
            "suggested": needed,
            **({"state": state_data(heat.state)} if heat.state is not None else {}),
        },
        ceiling=ceiling(facts.weak) if is_over else Severity.WARNING,
    )


def _rated(context: Context, facts: ElementFacts, is_over: bool) -> str:  # noqa: FBT001  # a verdict and its figures
    resistor, margin = facts.element, context.settings.margins.resistor_power
    assert isinstance(resistor, Resistor)
    rating = say_rating(rating_of(resistor))
    share = "" if is_over else f", of which {say(margin, Dimension.SHARE)} is the margin,"
    if facts.derating < 1:
        warmth = say(temperature_inside(context.plan), Dimension.TEMPERATURE)
        share = f", of which {say(facts.derating, Dimension.SHARE, 2)} is left at {warmth} in the shell{share}"
    if resistor.rating is None:
        return f"no rating is stated, so that it is judged as one of {rating}{share}"
    return f"it is rated for {rating}{share}"


def _needs(rating: float | None) -> str:
    return f"needs {say_rating(rating)}" if rating is not None else "needs more than any leaded resistor stands"
