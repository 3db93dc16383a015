"""Two returns on one output, with a way from one to the other that stays when the output is off.

Where one branch of a parallel hangs on the common and another returns to a rail (`return: rail`), the two meet at the
output. While that is on it draws both down, and all is well. While it is off, the current of the first branch has
another way: from the common through that branch to where both meet, and back through the other one to its rail,
whenever that rail is the negative one, half of the time. What happens depends on the branch at the rail:

- only bulbs and resistors in it let the current pass: lamps glow in both branches;
- an LED in it holds the current off, but has nearly the whole track voltage against it, and stands about 5 V;
- a plain diode in it, pointing as its LED does, holds the current off and takes that voltage: nothing happens.

Nothing happens either where both branches return to a rail (a plan says of none which one; the same is meant), where
the whole output does, between two outputs, and where the branch hangs on a driver, which is off with its output.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
      number board: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white:
        circuit:
          - parallel:
              - [1.5 kohm 1/4 W, front headlamp]
              # lampwright: allow reverse-voltage -- this page is about the way that it comes
              - {series: [1.5 kohm 1/4 W, number board], return: rail}
              #                                                  ^^^^ while the output "white" is off, nearly the
              #  whole track voltage stands against the LED "number board", between a rail and the common of "front
              #  headlamp"
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
      number board: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white:
        circuit:
          - parallel:
              - [1.5 kohm 1/4 W, front headlamp]
              - {series: [1.5 kohm 1/4 W, {diode: 0.7 V}, number board], return: rail}
    keys: {}

Source: Kirchhoff's laws, for outputs that are open when they are off; 5 V as what an LED stands against it was read
second-hand.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lampwright.analysis.returns import MOST_ELEMENTS, SneakPath, sneak_paths
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.circuit import PlacedLamp
from lampwright.model.lighting import Output
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.phrases import all_quoted, quoted


@rule(Severity.WARNING, needs_plan=True)
def sneak_path(context: Context) -> Iterator[Verdict]:
    """Two returns on one output."""
    for output in context.plan.outputs.values():
        paths = list(sneak_paths(context.plan, output))
        # Where a current flows it leaves the LEDs at a rail beside it less than the whole voltage.
        any_glows = any(path.glows for path in paths)
        for path in paths:
            if path.lack is output.circuit:
                yield Undecided(output.span, f"a circuit of at most {MOST_ELEMENTS} elements")
            elif path.lack is not None:
                yield Undecided(path.lack.span, "what this lets through while the output is off")
            elif path.lamps and (path.glows or not any_glows):
                yield _finding(output, path)


def _finding(output: Output, path: SneakPath) -> Finding:
    assert path.rail.rail_span is not None
    return Finding(
        path.rail.rail_span,
        f"while the output {quoted(output.name)} is off, {_happens(path)}",
        tuple(Note(lamp.span, "on this way while the output is off") for lamp in path.lamps),
    )


def _happens(path: SneakPath) -> str:
    others = [lamp for lamp in path.lamps if lamp not in path.against]
    if not path.against:
        glow = "glows" if len(others) == 1 else "glow"
        return f"a current flows from the common to the rail through {_named(others)}, which {glow}"
    led = "LED" if len(path.against) == 1 else "LEDs"
    common = f"the common of {_named(others)}" if others else "the common"
    return (
        f"nearly the whole track voltage stands against the {led} {_named(path.against)}, between a rail and {common}"
    )


def _named(lamps: Sequence[PlacedLamp]) -> str:
    return all_quoted(lamp.name for lamp in lamps)
