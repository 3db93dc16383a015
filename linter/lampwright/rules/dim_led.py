"""An LED gets far less current than the plan wishes for it.

Below half of the wished current with all usual values, or below a quarter of it in the cold corner, the lamp is not
what was meant. Twice the current is about twice the light: to the eye that is a visible step, no more.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, current: 7 mA, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [4.7 kohm 1/4 W, front headlamp]}
      #                                 ^^^^^^^^^^^^^^ the LED "front headlamp" gets 2.18 mA, less than 50 % of the 7
      #  mA that is wished for it; at your 14.5 V on the track
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, current: 7 mA, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, front headlamp]}
    keys: {}

Source: the wish is the plan's own; the shares are common practice.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.electrical.facts import ElementFacts
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.circuit import Led, PlacedLamp, lamp_kind
from lampwright.model.values import Figure
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import at_supply, caveat
from lampwright.rule.dimness import COLD_SHARE, USUAL_SHARE, dim_corner
from lampwright.rule.phrases import quoted
from lampwright.units import Dimension, say


@rule(Severity.WARNING, needs_plan=True)
def dim_led(context: Context) -> Iterator[Verdict]:
    """Usual current below half of the wished one, or cold current below a quarter of it."""
    for facts in context.doubtful_outputs("dim-led"):
        if isinstance(facts, Undecided):
            yield facts
            continue
        for each in facts.elements:
            kind = lamp_kind(each.element)
            if isinstance(kind, Led) and kind.wish is not None and (corner := dim_corner(each)):
                yield _finding(context, each, kind.wish, corner)


def _finding(context: Context, each: ElementFacts, wish: Figure, corner: str) -> Finding:
    lamp = each.element
    assert isinstance(lamp, PlacedLamp)
    current: float = getattr(each.current, corner)
    share = USUAL_SHARE if corner == "usual" else COLD_SHARE
    verb = "gets" if corner == "usual" else "may get no more than"
    return Finding(
        lamp.span,
        f"the LED {quoted(lamp.name)} {verb} {say(current, Dimension.CURRENT)}, less than {say(share, Dimension.SHARE)}"
        f" of the {say(wish.usual, Dimension.CURRENT)} that is wished for it;"
        f" {at_supply(context.plan, corner, each.basis)}{caveat(each.weak, corner)}",
        (Note(wish.span, "the wish is stated here"),) if wish.span is not None else (),
        data={
            "current": current,
            "limit": share * wish.usual,
            "corner": getattr(each.corners, corner).data,
        },
    )
