"""A lamp straight on an output of logic level, which commands other things but feeds nothing.

Such an output gives half a milliampere or so: a lamp on it stays dark, and the output may be gone. It needs a driver, a
transistor that the output commands and the lamp hangs on: `{driver: {limit: 200 mA}}` in series with it.

Which outputs these are the decoder's sheet says (`logic-level:`). Where it does not, and states no `limit:` either,
AUX3 to AUX6 of NEM 660 and Next18 cannot be told: the editions of the standards differ, or were not read.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {aux4: {number: 6, logic-level: 5 V, limit: 0.5 mA}}}
    lamps:
      cab lamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      aux4: {circuit: [1.5 kohm 1/4 W, cab lamp]}
      #                                ^^^^^^^^ the lamp "cab lamp" hangs straight on the output "aux4", which has a
      #  logic level of 5 V and feeds no lamp without a driver
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {aux4: {number: 6, logic-level: 5 V, limit: 0.5 mA}}}
    lamps:
      cab lamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      aux4: {circuit: [1.5 kohm 1/4 W, cab lamp, {driver: {limit: 200 mA}}]}
    keys: {}

Source: the decoder's sheet; AUX3 to AUX6 by second-hand reports of NEM 660 and NEM 662.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.circuit import Board, Chain, Driver, Element, Parallel, PlacedLamp, Unreadable
from lampwright.model.interfaces import INTERFACES, output_wire
from lampwright.model.lighting import LightingPlan, Output
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.phrases import quoted
from lampwright.units import Dimension, say


@rule(Severity.ERROR, needs_plan=True)
def lamp_on_logic_output(context: Context) -> Iterator[Verdict]:
    """A lamp straight on a logic-level output."""
    for output in context.plan.outputs.values():
        has_level = _has_logic_level(output)
        if output.circuit is None or not (has_level or _may_have_logic_level(context.plan, output)):
            continue
        straight = list(_without_driver(output.circuit))
        loads = [element for element in straight if isinstance(element, PlacedLamp | Board)]
        unread = [element for element in straight if isinstance(element, Unreadable)]
        if loads and unread and has_level:
            yield Undecided(unread[0].span, "a readable element, which may be a driver")
        elif loads and has_level:
            yield _finding(output, loads)
        elif loads:
            yield Undecided(output.span, "a logic level or a limit of this output on the decoder sheet")


def _has_logic_level(output: Output) -> bool:
    return output.decoder_output is not None and output.decoder_output.logic_level is not None


def _may_have_logic_level(plan: LightingPlan, output: Output) -> bool:
    known = output.decoder_output
    if plan.decoder is None or plan.decoder.interface is None or (known is not None and known.limit is not None):
        return False
    interface = INTERFACES.get(plan.decoder.interface.text)
    return interface is not None and output_wire(output.name) in interface.may_be_logic


def _finding(output: Output, loads: list[PlacedLamp | Board]) -> Finding:
    assert output.decoder_output is not None
    level = output.decoder_output.logic_level
    assert level is not None
    first, *others = loads
    what = f"lamp {quoted(first.name)}" if isinstance(first, PlacedLamp) else f"board {quoted(first.span.text)}"
    notes = [Note(other.span, "this hangs on it as well") for other in others]
    if level.span is not None:
        notes.append(Note(level.span, "the logic level is stated here"))
    return Finding(
        first.span,
        f"the {what} hangs straight on the output {quoted(output.name)}, which has a logic level of"
        f" {say(level.usual, Dimension.VOLTAGE)} and feeds no lamp without a driver",
        tuple(notes),
        data={"voltage": level.usual},
    )


def _without_driver(chain: Chain) -> Iterator[Element]:
    """What has no driver in series on its way, within `chain`, that something could hang on."""
    if any(map(_drives, chain.elements)):
        return
    for element in chain.elements:
        match element:
            case Chain():
                yield from _without_driver(element)
            case Parallel(branches=branches):
                for branch in branches:
                    yield from _without_driver(branch)
            case _:
                yield element


def _drives(element: Element) -> bool:
    """Whether all that passes `element` passes a driver."""
    match element:
        case Driver():
            return True
        case Chain(elements=elements):
            return any(map(_drives, elements))
        case Parallel(branches=branches) if branches:
            return all(map(_drives, branches))
    return False
