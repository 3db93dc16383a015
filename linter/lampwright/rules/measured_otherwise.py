"""Something was measured that the plan does not come to, whatever its tolerances and the meter's.

One of the two is wrong: what was built is not what was planned, or the plan assumes what is not so. The voltage at an
output is held against the supply less the decoder's drop; the current and the volts across lamps and resistors against
what the measured voltage, else the supply, would drive. What was measured of the common lead is held against the same
supply, and against what all outputs draw, or those that are said to be on. A meter may be off by 2 %, or by what
`meter:` in `lampwright.yaml` says, and by half a step of the last digit that is written: write all that it shows.

Where one single cause would explain all that was measured at the output, it is named. The first is a decimal point that
slipped, or mA that were A, when the reading was written down: read the meter again, and until then the verdicts that
would follow from the reading rest. The others are a resistor that is a decade off or its neighbour in the series, a
lamp that is shorted or open, an LED of another colour or put in the wrong way round, another track voltage. Each is
proved by computing the output again with it. Where more than one would do, look at the first one first. In a circuit
of more than 12 elements none but the first is looked for.

A reading of an output is used all the same, by all other rules, unless it is zero or a point may have slipped in it;
one of the common lead is not, for any of many lamps may not be as planned. A reading holds at the track voltage at
which it was taken: take it where that is highest. Measure on a supply that limits its current, with the shell off:
bulbs and resistors get hot.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 2.8 V to 3.3 V, at: 10 mA, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W 5 %, front headlamp], measured: {voltage: 13.1 V, current: 68.0 mA}}
      #                                                                                           ^^^^^^^ through the
      #  output "white" 68 mA was measured, give or take 2.1 %, where the plan comes to 6.07 mA to 7.48 mA at 13.1 V,
      #  as measured between common and output; a decimal point that slipped in 6.80 mA or 150 ohm in the place of
      #  "1.5 kohm" would explain it
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 2.8 V to 3.3 V, at: 10 mA, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W 5 %, front headlamp], measured: {voltage: 13.1 V, current: 6.80 mA}}
    keys: {}

Fixed:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 2.8 V to 3.3 V, at: 10 mA, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W 5 %, front headlamp], measured: {voltage: 13.1 V, current: 6.80 mA}}
    keys: {}

Source: Ohm's law and the laws of the elements; the meter's 2 % are common practice for the current ranges of hand-held
meters, which are rather better for voltage.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from lampwright.analysis.electrical.facts import Range
from lampwright.analysis.electrical.outside import Lack
from lampwright.analysis.electrical.weakness import LawfulElement
from lampwright.diagnostics import Finding, Fix, Note, Severity, Undecided
from lampwright.model.circuit import Led, PlacedLamp, Resistor, lamp_kind
from lampwright.model.lighting import Output
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import at_supply, caveat
from lampwright.rule.phrases import listed, quoted
from lampwright.units import Dimension, say

if TYPE_CHECKING:
    from lampwright.analysis.contradictions import Cause, Contradiction
    from lampwright.analysis.electrical.reading import Reading
    from lampwright.analysis.electrical.slips import Slip

MOST_CAUSES = 3
"""More would be a riddle, not an explanation."""


@rule(Severity.WARNING, needs_plan=True, has_fix=True)
def measured_otherwise(context: Context) -> Iterator[Verdict]:
    """A reading outside what the plan comes to, widened by the meter's tolerance."""
    measured = [output for output in context.plan.outputs.values() if output.measured is not None]
    if context.plan.common_measured is not None:
        yield from _of_lead(context)
    if not measured:
        return
    from lampwright.analysis.contradictions import contradictions

    for output in measured:
        assert output.measured is not None
        cure = context.first_cures.get(output.name)
        if cure is not None and cure != "measured-otherwise":
            yield Undecided(output.measured.span, f"a cure for its {cure} first")
            continue
        for found in contradictions(context.plan, output):
            if isinstance(found, Lack):
                yield Undecided(found.span, found.lacks)
            else:
                yield _finding(context, output, found)


def _of_lead(context: Context) -> Iterator[Verdict]:
    from lampwright.analysis.lead_readings import lead_contradictions

    assert context.plan.common_measured is not None
    # What was measured at an output is not what its lead is held against.
    cures = set(context.first_cures.values()) - {"measured-otherwise"}
    if cures:
        rules = listed(sorted(cures))
        yield Undecided(context.plan.common_measured.span, f"a cure for the {rules} of its outputs first")
        return
    for found in lead_contradictions(context.plan):
        if isinstance(found, Lack):
            yield Undecided(found.span, found.lacks)
        else:
            yield _finding(context, None, found)


def _finding(context: Context, output: Output | None, found: Contradiction) -> Finding:
    first, *others = found.readings
    span = first.figure.span
    assert span is not None
    at = f" {at_supply(context.plan, 'usual', first.basis)}" if first.what != "voltage" else ""
    return Finding(
        span,
        f"{_where(output, first)} {_said(first, first.figure.usual)} was measured{_give_or_take(first)}, where the plan"
        f" comes to {_range(first)}{at}{_causes(found.causes)}{caveat(first.weak, 'usual')}",
        tuple(_notes(others)),
        tuple(_fixes(found)),
        {
            "current" if first.what == "current" else "voltage": first.figure.usual,
            "suggested": next((cause.value for cause in found.causes or () if cause.what == "resistor"), None),
        },
    )


def _fixes(found: Contradiction) -> Iterator[Fix]:
    """The reading with its decimal point where it fits. Whether it is that, only the meter can tell."""
    if found.slip is not None:
        yield Fix(f"Write {_written(found.slip)}", (found.slip.edit,))


def _written(slip: Slip) -> str:
    """The reading as it would stand there, with the unit that stands there."""
    span, edit = slip.figure.span, slip.edit
    assert span is not None
    return span.text.replace(edit.span.text, edit.text, 1).strip("'\"")


def _notes(others: list[Reading]) -> Iterator[Note]:
    for other in others:
        if other.figure.span is not None:
            yield Note(other.figure.span, f"nor does this fit, where the plan comes to {_range(other)}")


def _where(output: Output | None, reading: Reading) -> str:
    if reading.element is not None:
        return f"across {_name(reading.element)}"
    way = "at" if reading.what == "voltage" else "through"
    if output is None:
        return f'{way} the "common"{" lead" if way == "through" else ""}'
    return f"{way} the output {quoted(output.name)}"


def _said(reading: Reading, value: float) -> str:
    return say(value, Dimension.CURRENT if reading.what == "current" else Dimension.VOLTAGE)


def _give_or_take(reading: Reading) -> str:
    figure = reading.figure
    if not figure.usual:
        return ""
    return f", give or take {say((figure.highest - figure.usual) / figure.usual, Dimension.SHARE, 2)}"


def _range(reading: Reading) -> str:
    expected: Range = reading.expected
    low, high = (_said(reading, value) for value in (expected.lowest, expected.highest))
    return low if low == high else f"{low} to {high}"


def _name(element: LawfulElement) -> str:
    if isinstance(element, Resistor):
        return quoted(say(element.resistance.usual, Dimension.RESISTANCE))
    assert isinstance(element, PlacedLamp)
    return quoted(element.name)


def _causes(causes: tuple[Cause, ...] | None) -> str:
    if causes is None:
        return ""
    if not causes:
        return ", and none of the usual causes explains it"
    return f"; {listed([_cause(cause) for cause in causes[:MOST_CAUSES]], 'or')} would explain it"


def _cause(cause: Cause) -> str:
    element, value = cause.element, cause.value
    if cause.slip is not None:
        return f"a decimal point that slipped in {_written(cause.slip)}"
    if element is None:
        return f"{say(value or 0.0, Dimension.VOLTAGE)} on the track"
    if value is not None:
        return f"{say(value, Dimension.RESISTANCE)} in the place of {_name(element)}"
    if cause.colours:
        return f"a {listed(cause.colours, 'or')} LED in the place of {_name(element)}"
    if cause.what == "shorted":
        return f"a short across {_name(element)}"
    way = ", or put in the wrong way round," if isinstance(lamp_kind(element), Led) else ""
    return f"{_name(element)} without contact{way}"
