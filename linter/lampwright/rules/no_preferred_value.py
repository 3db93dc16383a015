"""A resistor of a value that is not in the club's series, and not in the catalogue either.

Nobody sells it, or not where the club buys. The fix takes the next value up, where that makes nothing else worse.

The series is that of the settings (`resistors: E24`), E12 where they name none. What the catalogue stocks is fine.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.4 kohm 1/4 W, front headlamp]}
      #                 ^^^^^^^^^^^^^^ the resistor "1.4 kohm" is no value of E12, and no catalogue lists it; the
      #  next ones are 1.2 kohm and 1.5 kohm
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, front headlamp]}
    keys: {}

Fixed:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, front headlamp]}
    keys: {}

Source: IEC 60063, E6 to E24 read in two reference pages, E48 and E96 by its formula.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.electrical.facts import OutputFacts
from lampwright.analysis.resistors.preferred import is_preferred, next_down, next_up
from lampwright.analysis.resistors.sizing import proposed, with_resistor
from lampwright.analysis.returns import circuits
from lampwright.diagnostics import Finding, Severity, Undecided
from lampwright.model.circuit import Resistor, Unreadable, leaves
from lampwright.model.lighting import Output
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.cures import Cure, is_worth_a_search, written
from lampwright.rule.dimness import is_dim
from lampwright.rule.phrases import quoted
from lampwright.rule.worsening import Change, overdoes_more
from lampwright.units import Dimension, say


@rule(Severity.NOTE, needs_plan=True, has_fix=True)
def no_preferred_value(context: Context) -> Iterator[Verdict]:
    """A resistor that is not in the club's series."""
    series = context.plan.settings.series
    for output, circuit in context.not_quiet("no-preferred-value", circuits(context.plan)):
        odd = [each for each in leaves(circuit) if isinstance(each, Resistor) and _is_odd(context, each)]
        if odd and any(isinstance(each, Unreadable) for each in leaves(circuit)):
            # In `[1, 5 kohm]` there is no resistor of 5 kohm.
            yield from (Undecided(each.span, "a circuit that can all be read") for each in odd)
            continue
        for number, resistor in enumerate(odd):
            if not (resistor.rating_is_readable and context.plan.settings.resistors_are_readable):
                yield Undecided(resistor.span, "a readable catalogue and settings for resistors")
            else:
                yield _finding(resistor, series, _cure(context, output, resistor, number))


def _is_odd(context: Context, resistor: Resistor) -> bool:
    """Whether neither the series nor the catalogue has it. A link of zero ohm is no matter of values."""
    value, plan = resistor.resistance.usual, context.plan
    if value <= 0 or is_preferred(plan.settings.series, value):
        return False
    return not any(abs(each.resistance - value) <= 1e-9 * value for each in plan.stock)


def _finding(resistor: Resistor, series: str, cure: Cure) -> Finding:
    value = resistor.resistance.usual
    below, above = (say(each, Dimension.RESISTANCE) for each in (next_down(series, value), next_up(series, value)))
    return Finding(
        resistor.span,
        f"the resistor {quoted(say(value, Dimension.RESISTANCE, 6))} is no value of {series}, and no catalogue lists"
        f" it; the next ones are {below} and {above}",
        fixes=cure.fixes,
        data={"resistance": value, "suggested": cure.suggested},
    )


def _cure(context: Context, output: Output | None, resistor: Resistor, number: int) -> Cure:
    """The next value up, if the output can be computed with it and nothing has too much that had not, or too little.

    In the common lead that would be a question about all outputs together: there is no fix.
    """
    if output is None or not is_worth_a_search(context.plan, output, number):
        return Cure()
    plan, margins = context.plan, context.settings.margins
    new = proposed(plan, resistor, next_up(plan.settings.series, resistor.resistance.usual))
    before, after = context.electrical.outputs[output.name], with_resistor(plan, output, resistor, new)
    if not isinstance(before, OutputFacts) or not isinstance(after, OutputFacts):
        return Cure()
    # The new resistor itself may get as hot as it will: its rating is chosen behind this.
    has_more = overdoes_more(Change(before, resistor, new), after, margins)
    return Cure() if has_more or any(map(is_dim, after.elements)) else written(context, resistor, new, after)
