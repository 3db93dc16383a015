"""A headlamp that burns only against its direction: the front one in reverse, the rear one forward.

White is the wire of the front headlamp and yellow that of the rear one. A lamp that its name calls a front or a rear
headlamp is meant on any wire, and a tail or marker lamp on those two is not. Two swapped wires or two swapped words are
the usual stories. Where the vehicle is `reversed: true` nobody can tell from the plan which end leads.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [front headlamp]}
    keys:
      F0: {turns-on: [{output: white, when: reverse}]}
      #                                     ^^^^^^^ "white" feeds "front headlamp" but burns in reverse only, as with
      #  F0 on, reverse

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [front headlamp]}
    keys:
      F0: {turns-on: [{output: white, when: forward}]}

Source: NMRA RP-9.1.1 and NEM 650 for the colours; that a lamp is what its name says is common practice.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from lampwright.analysis.logic.questions import UNDECIDED, State
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.circuit import placed_lamps
from lampwright.model.lighting import Output
from lampwright.model.wires import WIRES, Wire
from lampwright.patterns import pattern
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import TOO_LONG, in_state, state_data
from lampwright.rule.phrases import quoted

_END = pattern(r"\b(front|rear)\b")
_HEADLAMP = pattern(r"\bhead[ -]?(?:lamp|light)s?\b")
_OTHER_LAMP = pattern(r"\b(?:tail|marker)\b")
_END_OF_WIRE = {Wire.FRONT_LIGHT: "front", Wire.REAR_LIGHT: "rear"}


class _Headlamp(NamedTuple):
    """Which end an output lights, and the words that say so."""

    is_front: bool
    words: str


@rule(Severity.WARNING, needs_plan=True)
def wrong_way_headlamp(context: Context) -> Iterator[Verdict]:
    """A headlamp wire lit only against its direction."""
    for output in context.plan.outputs.values():
        headlamp = _headlamp(output)
        if headlamp is not None:
            yield from _verdict(context, output, headlamp)


def _headlamp(output: Output) -> _Headlamp | None:
    names = [lamp.name for lamp in placed_lamps(output.circuit)] if output.circuit is not None else []
    ends = {end: name for name in names if _HEADLAMP.search(name.casefold()) for end in _END.findall(name.casefold())}
    if ends:
        end, name = next(iter(ends.items()))
        return _Headlamp(end == "front", f"feeds {quoted(name)}") if len(ends) == 1 else None
    wire_end = _END_OF_WIRE.get(WIRES.get(output.name, Wire.COMMON))
    if wire_end is None or any(_OTHER_LAMP.search(name.casefold()) for name in names):
        return None
    return _Headlamp(wire_end == "front", f"is the wire of the {wire_end} headlamp")


def _verdict(context: Context, output: Output, headlamp: _Headlamp) -> Iterator[Verdict]:
    logic, vehicle = context.logic, context.plan.vehicle
    facing = logic.directions.get(output.name)
    if facing is None:
        return
    right, wrong = facing.forward, facing.reverse
    if not headlamp.is_front:
        right, wrong = wrong, right
    if UNDECIDED in (right, wrong):
        yield Undecided(output.span, TOO_LONG)
    elif vehicle.reversed or "reversed" in vehicle.unreadable:
        # Decoder and motor may be turned round together, or only one of them.
        if (right is None) is not (wrong is None):
            yield Undecided(output.span, "the end that leads where the decoder runs the other way")
    elif right is None and isinstance(wrong, State):
        told = logic.is_told(output.name)
        yield _finding(context, output, headlamp, wrong) if told else Undecided(output.span, "entries that can be read")


def _finding(context: Context, output: Output, headlamp: _Headlamp, state: State) -> Finding:
    entries = [fact.entry for fact in context.logic.entries_of[output.name] if fact.is_possible]
    places = [entry.condition_span or entry.span for entry in entries]
    way = "forward" if state.forward else "in reverse"
    return Finding(
        places[0],
        f"{quoted(output.name)} {headlamp.words} but burns {way} only, as {in_state(state)}",
        tuple(Note(place, "and so it does here") for place in places[1:]),
        data={"state": state_data(state)},
    )
