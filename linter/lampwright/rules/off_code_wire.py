"""A wire colour that is used for something other than the colour code says.

The next one who opens the vehicle goes by the colours: red and black are the rails, orange and grey the motor, blue is
the common, white the front light and yellow the rear one. Green, violet and further wires are free.

Only what is plain is noted: a lamp switched by a wire that is for no lamp; and on the white or the yellow wire lamps
that by their names are all headlamps of the other end. A tail lamp burns at the other end than the headlamp of the same
direction, so nothing is said of tail lamps and markers, nor where the vehicle is `reversed: true`.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}, orange: {number: 5, limit: 100 mA}}}
    lamps:
      rear headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
      cab lamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, rear headlamp]}
    # ^^^^^ the lamp "rear headlamp" hangs on the wire "white", which is the front light in the colour code
      orange: {circuit: [1.5 kohm 1/4 W, cab lamp]}
    # ^^^^^^ the lamp "cab lamp" hangs on the wire "orange", which is the motor plus in the colour code
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {yellow: {number: 2, limit: 100 mA}, brown: {number: 5, limit: 100 mA}}}
    lamps:
      rear headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
      cab lamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      yellow: {circuit: [1.5 kohm 1/4 W, rear headlamp]}
      brown: {circuit: [1.5 kohm 1/4 W, cab lamp]}
    keys: {}

Source: NMRA RP-9.1.1 and NEM 650 to 652, read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from lampwright.diagnostics import Finding, Note, Severity
from lampwright.model.circuit import PlacedLamp, placed_lamps
from lampwright.model.lighting import LightingPlan, Output
from lampwright.model.wires import WIRES, Wire
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.phrases import all_quoted, quoted

_END = {Wire.FRONT_LIGHT: "front", Wire.REAR_LIGHT: "rear"}
_OTHER_END = {Wire.FRONT_LIGHT: {"rear", "back"}, Wire.REAR_LIGHT: {"front"}}
_LIGHT = {"headlamp", "headlamps", "headlight", "headlights", "head", "light", "lights", "lamp", "lamps"}
# Lamps that may burn away from the direction of travel, or belong to neither end.
_OTHER_LIGHT = {"tail", "marker", "markers", "red", "end", "classification", "cab", "step", "number", "board", "boards"}


@rule(Severity.NOTE, needs_plan=True)
def off_code_wire(context: Context) -> Iterator[Verdict]:
    """A wire colour used for something other than the colour code says."""
    for output in context.plan.outputs.values():
        wire = WIRES.get(output.name.casefold())
        lamps = list(placed_lamps(output.circuit)) if output.circuit is not None else []
        if wire is None or not lamps or _is_unknown(context.plan, output):
            continue
        if _is_off_code(context.plan, wire, lamps):
            yield _finding(output, wire, lamps)


def _is_unknown(plan: LightingPlan, output: Output) -> bool:
    """Whether the sheet lists outputs and not this one, which another rule says with its colour."""
    return plan.decoder is not None and plan.decoder.outputs_are_listed and output.decoder_output is None


def _is_off_code(plan: LightingPlan, wire: Wire, lamps: Sequence[PlacedLamp]) -> bool:
    if not wire.is_output:
        return True
    return wire in _END and not plan.vehicle.reversed and all(_is_of_other_end(wire, lamp.name) for lamp in lamps)


def _is_of_other_end(wire: Wire, name: str) -> bool:
    words = set(re.findall(r"\w+", name.casefold()))
    other = _OTHER_END[wire]
    return bool(words & other) and bool(words & _LIGHT) and not words & ({_END[wire]} | _OTHER_LIGHT)


def _finding(output: Output, wire: Wire, lamps: Sequence[PlacedLamp]) -> Finding:
    names = all_quoted(lamp.name for lamp in lamps)
    hangs = f"lamp {names} hangs" if len(lamps) == 1 else f"lamps {names} hang"
    return Finding(
        output.span,
        f"the {hangs} on the wire {quoted(output.name)}, which is the {wire.value} in the colour code",
        tuple(Note(lamp.span, "this hangs on it") for lamp in lamps),
    )
