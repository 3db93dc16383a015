"""More current than a contact of the plug carries for good.

A plug has one contact for each output that it has at all, some for the common, and some for each rail. Through the
common goes what all lamps take together that return to it; through each rail the same and that of the motor, where the
plan states one (`motor:`). Which outputs burn together is told from the keys, and the state with the largest sum is
named.

What the contacts carry is the interface's that the sheet states, else the vehicle's (`socket:`). Loose wires beside a
plug have no contact.

Bad:

    vehicle: {name: Crane, motor: 450 mA}
    #                             ^^^^^^ for the motor and the outputs each rail would carry 508 mA with F0 on,
    #  forward; "NEM 651" allows 500 mA there; at your 12 V of the regulated common
    supply: {track: 14.5 V}
    decoder: {interface: NEM 651, common: {regulated: 12 V}, outputs: {white: {number: 1, limit: 100 mA, surge: 1 A}}}
    lamps:
      jib lamp: {bulb: {voltage: 12 V, current: 58 mA}}
    outputs:
      white: {circuit: [jib lamp]}
    keys: {F0: {turns-on: [{output: white}]}}

Good:

    vehicle: {name: Crane, motor: 400 mA}
    supply: {track: 14.5 V}
    decoder: {interface: NEM 651, common: {regulated: 12 V}, outputs: {white: {number: 1, limit: 100 mA, surge: 1 A}}}
    lamps:
      jib lamp: {bulb: {voltage: 12 V, current: 58 mA}}
    outputs:
      white: {circuit: [jib lamp]}
    keys: {F0: {turns-on: [{output: white}]}}

Source: NEM 651 (2017), 0.5 A, and NEM 652 (2017), 1.5 A a contact, read; Next18, 0.5 A, read second-hand and so a
warning at most.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lampwright.analysis.electrical.facts import Basis, OutputFacts, Undetermined
from lampwright.analysis.electrical.weakness import WeakFact
from lampwright.analysis.logic.questions import State
from lampwright.analysis.plugs import Plug, plug_is_readable, stated_plug
from lampwright.analysis.returns import uses_common
from lampwright.analysis.together import Together, worst_together
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.interfaces import Interface, output_wire
from lampwright.model.values import Figure, is_above
from lampwright.records import dataclass
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import at_supply_or_measured, caveat, ceiling, in_state, state_data
from lampwright.rule.phrases import listed, quoted, said_above
from lampwright.text import Span
from lampwright.units import Dimension, say


@rule(Severity.ERROR, needs_plan=True)
def overloaded_contact(context: Context) -> Iterator[Verdict]:
    """More than the interface's contact carries."""
    plug = stated_plug(context.plan)
    if not plug_is_readable(context.plan):
        yield from (Undecided(output.span, "a readable interface") for output in context.plan.outputs.values())
        return
    if plug is None or plug.interface.contact is None:
        return
    facts: list[OutputFacts] = []
    for each in context.judged_outputs("overloaded-contact"):
        if isinstance(each, Undecided):
            yield each
        else:
            facts.append(each)
    for load in _loads(context, plug.interface, facts):
        if isinstance(load, Undecided):
            yield load
        elif is_above(load.current, load.limit):
            yield _finding(context, plug, load)
            # What is too much for one output is too much for the common and the rails as well.
            return


@dataclass(frozen=True, slots=True)
class _Load:
    """What passes a contact: amperes, in which state if that is not simply that an output is on, or the motor alone."""

    span: Span
    words: str
    current: float
    limit: float
    weak: tuple[WeakFact, ...]
    state: State | None = None
    has_lamps: bool = True
    basis: Basis | None = None


def _loads(context: Context, interface: Interface, facts: Sequence[OutputFacts]) -> Iterator[_Load | Undecided]:
    """What passes the contacts of the outputs, of the common and of a rail."""
    assert interface.contact is not None
    for each in facts:
        if output_wire(each.output.name) in interface.outputs:
            words = f"the contact of the output {quoted(each.output.name)} would carry"
            yield _Load(each.output.span, words, each.current.highest, interface.contact, each.weak)
    at_common = [each for each in facts if each.output.circuit is not None and uses_common(each.output.circuit)]
    if interface.common_contact is not None:
        yield from _together(context, at_common, interface.common_contact, None)
    if interface.rail_contact is not None:
        yield from _together(context, facts, interface.rail_contact, context.plan.vehicle.motor or _NO_MOTOR)
        if "motor" in context.plan.vehicle.unreadable:
            yield from (Undecided(each.output.span, "a readable current of the motor") for each in facts[:1])


_NO_MOTOR = Figure.exact(0.0)


def _together(
    context: Context, facts: Sequence[OutputFacts], limit: float, motor: Figure | None
) -> Iterator[_Load | Undecided]:
    """What the keys can turn on together, through the common, or with the motor through a rail."""
    motors = motor.highest if motor is not None else 0.0
    is_measured = context.electrical.lead is not None
    if not is_measured and not is_above(sum(each.current.highest for each in facts) + motors, limit):
        return
    together = worst_together(context.electrical, context.logic, [each.output.name for each in facts])
    if isinstance(together, Undetermined):
        yield Undecided(together.span, together.lacks)
    elif is_above(together.current.highest + motors, limit) and (together.state is not None or not facts):
        yield _load(context, together, limit, motor)
    elif facts and (together.state is None or is_above(together.at_most + motors, limit)):
        yield Undecided(facts[0].output.span, "which outputs burn together")


def _load(context: Context, together: Together, limit: float, motor: Figure | None) -> _Load:
    current = together.current.highest + (motor.highest if motor is not None else 0.0)
    alone = context.electrical.outputs
    heaviest = max(together.outputs, key=lambda name: _alone(alone[name]), default=None)
    span = motor.span if motor is not None else None
    span = span or (context.plan.outputs[heaviest].span if heaviest is not None else context.plan.span)
    state = together.state if together.outputs else None
    words = _words(together, motor)
    return _Load(span, words, current, limit, together.weak, state, bool(together.outputs), together.basis)


def _alone(facts: OutputFacts | Undetermined) -> float:
    return facts.current.highest if isinstance(facts, OutputFacts) else 0.0


def _words(worst: Together, motor: Figure | None) -> str:
    if motor is None:
        return "the common would carry"
    loads = (["the motor"] if motor.span is not None else []) + (["the outputs"] if worst.outputs else [])
    return f"for {listed(loads)} each rail would carry"


def _finding(context: Context, plug: Plug, load: _Load) -> Finding:
    is_weak = plug.interface.origin.is_weak
    trust = f" ({plug.interface.origin.value})" if is_weak else ""
    state = f" {in_state(load.state)}" if load.state is not None else ""
    supply = at_supply_or_measured(context.plan, "highest", basis=load.basis)
    at = f"; {supply}{caveat(load.weak)}" if load.has_lamps else ""
    return Finding(
        load.span,
        f"{load.words} {said_above(load.current, load.limit, Dimension.CURRENT)}{state};"
        f" {quoted(plug.name)} allows {say(load.limit, Dimension.CURRENT)} there{trust}{at}",
        (Note(plug.span, "the interface is stated here"),),
        data={
            "current": load.current,
            "limit": load.limit,
            **({"state": state_data(load.state)} if load.state is not None else {}),
        },
        ceiling=Severity.WARNING if is_weak else ceiling(load.weak),
    )
