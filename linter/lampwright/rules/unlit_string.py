"""LEDs in series that need more voltage than there is, so that they stay dark.

The usual forward voltages are added up and held against the usual supply behind the decoder: if they come to more, the
string stays dark (error); if only the highest against the lowest do, it may stay dark on a bad day (warning).

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      lamp a: {led: {forward-voltage: 3.3 V, maximum-current: 20 mA}}
      lamp b: {led: {forward-voltage: 3.3 V, maximum-current: 20 mA}}
      lamp c: {led: {forward-voltage: 3.3 V, maximum-current: 20 mA}}
      lamp d: {led: {forward-voltage: 3.3 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [100 ohm, lamp a, lamp b, lamp c, lamp d]}
    # ^^^^^ the forward voltages on "white" add up to 13.2 V, more than the 13.1 V behind the decoder;
    #  the LEDs of this string stay dark
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      lamp a: {led: {forward-voltage: 3.3 V, maximum-current: 20 mA}}
      lamp b: {led: {forward-voltage: 3.3 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1 kohm 1/4 W, lamp a, lamp b]}
    keys: {}

Source: Kirchhoff's voltage law.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.electrical.facts import LedString, OutputFacts
from lampwright.analysis.precedence import may_stay_dark, stays_dark
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.circuit import PlacedLamp
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import caveat, ceiling
from lampwright.rule.phrases import quoted, said_above
from lampwright.units import Dimension, say


@rule(Severity.ERROR, needs_plan=True)
def unlit_string(context: Context) -> Iterator[Verdict]:
    """Forward voltages that add up to more than the supply."""
    for facts in context.doubtful_outputs("unlit-string"):
        if isinstance(facts, Undecided):
            yield facts
            continue
        dark = [string for string in facts.forward_voltages if stays_dark(string)]
        doubtful = [string for string in facts.forward_voltages if may_stay_dark(string)]
        if dark:
            worst = max(dark, key=lambda string: string.total.usual)
            total, supply = worst.total.usual, worst.supply.usual
            yield _finding(facts, worst, (total, supply), ceiling(worst.weak))
        elif doubtful:
            worst = max(doubtful, key=lambda string: string.total.highest)
            total, supply = worst.total.highest, worst.supply.lowest
            yield _finding(facts, worst, (total, supply), Severity.WARNING)


def _finding(facts: OutputFacts, string: LedString, voltages: tuple[float, float], highest: Severity | None) -> Finding:
    total, supply = voltages
    is_certain = stays_dark(string)
    may = "" if is_certain else "may "
    adds_up = f"{may}add up to {said_above(total, supply, Dimension.VOLTAGE)}"
    return Finding(
        facts.output.span,
        f"the forward voltages on {quoted(facts.output.name)} {adds_up}, more than the"
        f" {say(supply, Dimension.VOLTAGE)} behind the decoder; the LEDs of this string {may}stay dark"
        f"{caveat(string.weak, 'usual' if is_certain else 'lowest')}",
        tuple(_notes(string)),
        data={
            "voltage": total,
            "limit": supply,
            "corner": {"supply": supply, "forward-voltage": total, "resistance": None},
        },
        ceiling=highest,
    )


def _notes(string: LedString) -> Iterator[Note]:
    for element in string.elements:
        if isinstance(element, PlacedLamp):
            yield Note(element.span, f"{quoted(element.name)} takes its share")
        else:
            yield Note(element.span, "the diode takes its share")
