"""Lamps that share one resistor and take current from each other.

LEDs in parallel behind one resistor share its current as they like: the one with the lowest forward voltage takes the
most, and two out of one bag differ enough to see it. Lamps that are switched by different keys, behind a resistor in
the common lead, dim whenever the other comes on. One resistor for each lamp or string costs little.

Lamps that never burn together may well share one: which do is told from the keys, and the state in which they do is
named. Outputs that always burn together, each with a resistor of its own besides, hide it and are not spoken of.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      left headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
      right headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1 kohm 1/4 W, {parallel: [[left headlamp], [right headlamp]]}]}
      #                 ^^^^^^^^^^^^ the LEDs "left headlamp" and "right headlamp" share the resistor "1 kohm"
      #  side by side, so that the one with the lowest forward voltage takes the most
    keys: {}

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder:
      common: {drop: 1.4 V}
      outputs: {white: {number: 1, limit: 100 mA}, green: {number: 3, limit: 100 mA}}
    common: {circuit: [1.5 kohm 1/4 W]}
    #                  ^^^^^^^^^^^^^^ the lamps of "white" and "green" share the resistor "1.5 kohm", so that each
    #  takes from the other with F0 and F7 on, forward
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
      cab lamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [front headlamp]}
      green: {circuit: [cab lamp]}
    keys:
      F0: {turns-on: [{output: white, when: forward}]}
      F7: {turns-on: [{output: green}]}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder:
      common: {drop: 1.4 V}
      outputs: {white: {number: 1, limit: 100 mA}, yellow: {number: 2, limit: 100 mA}}
    common: {circuit: [1.5 kohm 1/4 W]}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
      rear headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [front headlamp]}
      yellow: {circuit: [rear headlamp]}
    keys:
      F0: {turns-on: [{output: white, when: forward}, {output: yellow, when: reverse}]}

Source: common practice; that the lowest forward voltage takes the most was read second-hand in LED reference pages.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from lampwright.analysis.logic.decision import FALSE
from lampwright.analysis.logic.questions import UNDECIDED, Answer, Questions, State
from lampwright.analysis.returns import uses_common
from lampwright.analysis.sharing import is_bare, limiter_of, shared_limiters
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.circuit import Board, Chain, Element, PlacedLamp, Resistor, leaves
from lampwright.model.lighting import Output
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import in_state, state_data
from lampwright.rule.phrases import all_quoted, quoted
from lampwright.units import Dimension, say


@rule(Severity.WARNING, needs_plan=True)
def shared_resistor(context: Context) -> Iterator[Verdict]:
    """LEDs in parallel behind one resistor, or lamps of different keys behind one."""
    for shared in shared_limiters(context.plan):
        if shared.lack is not None:
            yield Undecided(shared.lack.span, "a readable branch")
        elif shared.limiter is None:
            yield Undecided(shared.leds[0].span, "a cure for its unprotected-led first")
        else:
            yield _side_by_side(shared.leds, shared.limiter)
    yield from _in_common_lead(context)


def _side_by_side(leds: Sequence[PlacedLamp], limiter: Element) -> Finding:
    names = all_quoted(led.name for led in leds)
    return Finding(
        limiter.span,
        f"the LEDs {names} share {_named(limiter)} side by side, so that the one with the lowest forward voltage"
        " takes the most",
        tuple(Note(led.span, "this shares it") for led in leds),
    )


def _named(limiter: Element) -> str:
    match limiter:
        case Resistor(resistance=resistance):
            return f"the resistor {quoted(say(resistance.usual, Dimension.RESISTANCE))}"
        case PlacedLamp(name=name):
            return f"the lamp {quoted(name)}"
    return f"the regulator {quoted(limiter.span.text)}"


# --- The common lead --------------------------------------------------------------------------------------------------


def _in_common_lead(context: Context) -> Iterator[Verdict]:
    plan = context.plan
    limiter = limiter_of(plan.common_circuit.elements) if plan.common_circuit is not None else None
    if limiter is None:
        return
    answers = [answer for answer in _answers(context) if answer is not None]
    found = next((answer for answer in answers if not isinstance(answer, Answer)), None)
    if found is not None:
        yield _finding(limiter, *found)
    elif answers or not plan.keys_are_complete or not all(fact.is_readable for fact in context.logic.entries):
        yield Undecided(limiter.span, "which outputs burn together")


_Sharing = tuple[Output, Output, State]


def _answers(context: Context) -> Iterator[_Sharing | Answer | None]:
    """For each two outputs in a state of which one takes from the other; None where they do not."""
    circuits = {name: output.circuit for name, output in context.plan.outputs.items()}
    sharing = [name for name, circuit in circuits.items() if circuit is not None and _has_load(circuit)]
    questions = context.logic.questions()
    for one, other in combinations(sharing, 2):
        # Hundreds of outputs have more pairs than there is time for.
        if not questions.is_worth_another():
            yield UNDECIDED
            return
        state = _state_of_sharing(context, questions, one, other)
        yield (context.plan.outputs[one], context.plan.outputs[other], state) if isinstance(state, State) else state


def _has_load(circuit: Chain) -> bool:
    return uses_common(circuit) and any(isinstance(leaf, PlacedLamp | Board) for leaf in leaves(circuit))


def _state_of_sharing(context: Context, questions: Questions, one: str, other: str) -> State | Answer | None:
    lit = [context.logic.lit.get(name, FALSE) for name in (one, other)]
    if lit[0] is None or lit[1] is None:
        return UNDECIDED
    state = questions.witness(lit[0], lit[1])
    circuits = [context.plan.outputs[name].circuit for name in (one, other)]
    if not isinstance(state, State) or any(circuit is not None and is_bare(circuit) for circuit in circuits):
        return state
    # Two that always burn together, each with a resistor of its own: nobody ever sees one without the other.
    always = [questions.implies(lit[0], lit[1]), questions.implies(lit[1], lit[0])]
    return state if False in always else UNDECIDED if None in always else None


def _finding(limiter: Element, one: Output, other: Output, state: State) -> Finding:
    return Finding(
        limiter.span,
        f"the lamps of {quoted(one.name)} and {quoted(other.name)} share {_named(limiter)}, so that each takes from the"
        f" other {in_state(state)}",
        (Note(one.span, "this output shares it"), Note(other.span, "so does this one")),
        data={"state": state_data(state)},
    )
