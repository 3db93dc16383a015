"""All that the keys can turn on together is more than the decoder carries.

Each output may be within its own limit and the decoder still be overloaded: its rectifier and its regulator carry the
sum, and of the whole decoder's limit the motor takes its share. Judged is the worst state that the keys can reach, not
the sum of everything: what never burns together does not add up.

Bad:

    vehicle: {name: Quarry switcher 7, motor: 500 mA}
    supply: {track: 14.5 V}
    decoder:
      common: {drop: 1.4 V}
      limits: {whole-decoder: 650 mA}
      outputs: {white: {number: 1, limit: 100 mA, surge: 1 A}, yellow: {number: 2, limit: 100 mA, surge: 1 A}}
    lamps:
      front lamp: {bulb: {voltage: 14 V, current: 80 mA}}
      rear lamp: {bulb: {voltage: 14 V, current: 80 mA}}
    outputs:
      white: {circuit: [front lamp]}
    # ^^^^^ the decoder would carry 654 mA with F1 on, forward, 500 mA of it for the motor; the limit of the whole
    #  decoder is 650 mA; at your 14.5 V on the track
      yellow: {circuit: [rear lamp]}
    keys:
      F1: {turns-on: [{output: [white, yellow]}]}

Good:

    vehicle: {name: Quarry switcher 7, motor: 500 mA}
    supply: {track: 14.5 V}
    decoder:
      common: {drop: 1.4 V}
      limits: {whole-decoder: 700 mA}
      outputs: {white: {number: 1, limit: 100 mA, surge: 1 A}, yellow: {number: 2, limit: 100 mA, surge: 1 A}}
    lamps:
      front lamp: {bulb: {voltage: 14 V, current: 80 mA}}
      rear lamp: {bulb: {voltage: 14 V, current: 80 mA}}
    outputs:
      white: {circuit: [front lamp]}
      yellow: {circuit: [rear lamp]}
    keys:
      F0: {turns-on: [{output: white, when: forward}, {output: yellow, when: reverse}]}

Source: the decoder's sheet; the margin is common practice.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.electrical.facts import OutputFacts, Undetermined
from lampwright.analysis.together import Together
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.values import Figure
from lampwright.records import dataclass
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import at_supply_or_measured, caveat, ceiling, in_state, state_data
from lampwright.rule.limits import Excess, excess
from lampwright.rule.phrases import listed, said_above
from lampwright.units import Dimension, say


@dataclass(frozen=True, slots=True)
class _Limit:
    """One of the two limits of a decoder, and what the motor takes of it, amperes."""

    figure: Figure
    motor: Figure | None
    words: str


@rule(Severity.ERROR, needs_plan=True)
def overloaded_decoder(context: Context) -> Iterator[Verdict]:
    """The worst state that the keys can reach, summed, above what the decoder carries."""
    limits = list(_limits(context))
    yield from (each for each in limits if isinstance(each, Undecided))
    known = [each for each in limits if isinstance(each, _Limit)]
    if not known or not context.plan.outputs:
        return
    if context.first_cures:
        rules = listed(sorted(set(context.first_cures.values())))
        yield Undecided(context.plan.span, f"a cure for the {rules} of its outputs first")
    elif isinstance(context.together, Undetermined):
        yield Undecided(context.together.span, context.together.lacks)
    else:
        yield from _judged(context, context.together, known)


def _limits(context: Context) -> Iterator[_Limit | Undecided]:
    """The limits that the sheet states. One that it does not state limits nothing that could be told."""
    decoder, vehicle = context.plan.decoder, context.plan.vehicle
    if decoder is None:
        return
    for field in sorted(decoder.unreadable & {"outputs_together", "whole_decoder"}):
        yield Undecided(decoder.span, f"a readable limit of the decoder ({field.replace('_', '-')})")
    if decoder.outputs_together is not None:
        yield _Limit(decoder.outputs_together, None, "all its outputs together")
    if decoder.whole_decoder is None:
        return
    if "motor" in vehicle.unreadable:
        yield Undecided(context.plan.span, "a readable current of the motor")
    else:
        yield _Limit(decoder.whole_decoder, vehicle.motor, "the whole decoder")


def _judged(context: Context, together: Together, limits: list[_Limit]) -> Iterator[Verdict]:
    margin = context.settings.margins.output_current
    judged = [(limit, excess(_current(together, limit), limit.figure.usual, margin)) for limit in limits]
    worst = max(judged, key=lambda pair: (pair[1], _current(together, pair[0]) / pair[0].figure.usual))
    if worst[1]:
        yield _finding(context, together, *worst)
        return
    yield from (Undecided(each.span, each.lacks) for each in together.without)
    shared = together.at_most - together.current.highest
    if any(excess(_current(together, limit) + shared, limit.figure.usual, margin) for limit in limits):
        yield Undecided(context.plan.span, "which outputs draw most through the common lead")


def _current(together: Together, limit: _Limit) -> float:
    return together.current.highest + (limit.motor.highest if limit.motor is not None else 0.0)


def _finding(context: Context, together: Together, limit: _Limit, found: Excess) -> Finding:
    margin, current = context.settings.margins.output_current, _current(together, limit)
    is_over = found is Excess.ABOVE_LIMIT
    most = limit.figure.usual if is_over else margin * limit.figure.usual
    share = "" if is_over else f", of which {say(margin, Dimension.SHARE)} is the margin"
    outputs = sorted(together.outputs, key=lambda name: -_alone(context, name))
    state = in_state(together.state) if together.state is not None else "with all outputs on, as far as can be told"
    motor = f", {say(limit.motor.highest, Dimension.CURRENT)} of it for the motor" if limit.motor is not None else ""
    decided = ceiling(together.weak) if together.state is not None else Severity.WARNING
    carried, stated = said_above(current, most, Dimension.CURRENT), say(limit.figure.usual, Dimension.CURRENT)
    if not outputs:
        assert limit.motor is not None
        return Finding(
            limit.motor.span or context.plan.span,
            f"for the motor alone the decoder would carry {carried}; the limit of {limit.words} is {stated}{share}",
            tuple(_notes(context, outputs, limit)),
            data={"current": current, "limit": limit.figure.usual, "margin": margin},
            ceiling=Severity.ERROR if is_over else Severity.WARNING,
        )
    return Finding(
        context.plan.outputs[outputs[0]].span,
        f"the decoder would carry {carried} {state}{motor}; the limit of {limit.words} is {stated}{share};"
        f" {at_supply_or_measured(context.plan, 'highest', together.outputs, together.basis)}{caveat(together.weak)}",
        tuple(_notes(context, outputs, limit)),
        data={
            "current": current,
            "limit": limit.figure.usual,
            "margin": margin,
            "corner": {"supply": _supply(context, outputs[0]), "forward-voltage": None, "resistance": None},
            "state": state_data(together.state) if together.state is not None else None,
        },
        ceiling=decided if is_over else Severity.WARNING,
    )


def _notes(context: Context, outputs: list[str], limit: _Limit) -> Iterator[Note]:
    for name in outputs[1:]:
        yield Note(context.plan.outputs[name].span, f"{say(_alone(context, name), Dimension.CURRENT)} of it flow here")
    if limit.figure.span is not None:
        yield Note(limit.figure.span, "the limit is stated here")


def _facts(context: Context, name: str) -> OutputFacts:
    facts = context.electrical.outputs[name]
    assert isinstance(facts, OutputFacts)
    return facts


def _alone(context: Context, name: str) -> float:
    return _facts(context, name).current.highest


def _supply(context: Context, name: str) -> float:
    return _facts(context, name).supply.highest
