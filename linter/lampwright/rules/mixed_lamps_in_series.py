"""An LED and a bulb in series, so that one current has to suit both.

Most bulbs need more than an LED stands, so that the bulb stays dark or the LED burns; and a cold filament lets through
many times its current at first. Each wants a circuit of its own.

In series is what one current passes: a chain with the chains nested in it (`series:`), the common lead, and what stands
before or behind a parallel with each lamp in it. Two branches of a parallel are not in series with each other.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA, surge: 1 A}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 30 mA}}
      cab lamp: {bulb: {voltage: 1.5 V, current: 15 mA}}
    outputs:
      white: {circuit: [680 ohm 1/2 W, front headlamp, cab lamp]}
      #                                                ^^^^^^^^ the bulb "cab lamp", which needs 15 mA, is in series
      #  with the LED "front headlamp", which stands 30 mA; one current has to suit both
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA, surge: 1 A}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 30 mA}}
      cab lamp: {bulb: {voltage: 1.5 V, current: 15 mA}}
    outputs:
      white: {circuit: [{parallel: [[1.2 kohm 1/4 W, front headlamp], [1 kohm 1/2 W, cab lamp]]}]}
    keys: {}

Source: Kirchhoff's current law.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lampwright.analysis.returns import uses_common
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.circuit import Bulb, Chain, Element, Led, Parallel, PlacedLamp, Unreadable, lamp_kind
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.phrases import quoted
from lampwright.units import Dimension, say


@rule(Severity.WARNING, needs_plan=True)
def mixed_lamps_in_series(context: Context) -> Iterator[Verdict]:
    """An LED and a bulb in one chain."""
    common = context.plan.common_circuit
    lead = tuple(_may_be_lamps(_flat(common.elements))) if common is not None else ()
    if common is not None:
        yield from _mixed(common, (), ())
    for output in context.plan.outputs.values():
        if output.circuit is not None:
            yield from _mixed(output.circuit, lead if uses_common(output.circuit) else (), ())


_MayBeLamp = PlacedLamp | Unreadable


def _mixed(chain: Chain, before: tuple[_MayBeLamp, ...], after: tuple[_MayBeLamp, ...]) -> Iterator[Verdict]:
    """What is wrong in `chain`, and with it and the lamps that the same current passes `before` and `after` it."""
    is_flat = chain.leaves is chain.elements
    elements = chain.elements if is_flat else tuple(_flat(chain.elements))
    own = tuple(_may_be_lamps(elements))
    if is_flat and len(before) + len(own) + len(after) < 2:
        return
    if (finding := _finding(own, (*before, *own, *after))) is not None:
        yield finding
        return
    if len(before) + len(own) + len(after) > 1:
        yield from (Undecided(each.span, "readable data of this lamp") for each in own if lamp_kind(each) is None)
    passed = 0
    for element in elements:
        if isinstance(element, Parallel):
            above, below = (*before, *own[:passed]), (*own[passed:], *after)
            for branch in element.branches:
                yield from _mixed(branch, () if branch.rail_span is not None else above, below)
        elif passed < len(own) and element is own[passed]:
            passed += 1


def _finding(own: tuple[_MayBeLamp, ...], way: tuple[_MayBeLamp, ...]) -> Finding | None:
    """The first lamp in `own` and the first on the `way` that is of the other kind."""
    first: dict[type, PlacedLamp] = {}
    for lamp in way:
        if isinstance(lamp, PlacedLamp):
            first.setdefault(type(lamp_kind(lamp)), lamp)
    if Led not in first or Bulb not in first or not any(lamp_kind(lamp) for lamp in own):
        return None
    mine = next(lamp for lamp in own if lamp_kind(lamp) is not None)
    assert isinstance(mine, PlacedLamp)
    other = first[Bulb if isinstance(lamp_kind(mine), Led) else Led]
    later, earlier = (mine, other) if other not in own else (other, mine)
    return Finding(
        later.span,
        f"the {_described(later)}, is in series with the {_described(earlier)}; one current has to suit both",
        (Note(earlier.span, "the same current flows here"),),
    )


def _described(lamp: PlacedLamp) -> str:
    kind = lamp_kind(lamp)
    if isinstance(kind, Led):
        return f"LED {quoted(lamp.name)}, which stands {say(kind.maximum_current.usual, Dimension.CURRENT)}"
    assert isinstance(kind, Bulb)
    return f"bulb {quoted(lamp.name)}, which needs {say(kind.current.usual, Dimension.CURRENT)}"


def _may_be_lamps(elements: Iterable[Element]) -> Iterator[_MayBeLamp]:
    for element in elements:
        if isinstance(element, PlacedLamp) or (isinstance(element, Unreadable) and element.hides_lamps):
            yield element


def _flat(elements: Iterable[Element]) -> Iterator[Element]:
    """The elements with those of chains within the chain in the place of these."""
    for element in elements:
        if isinstance(element, Chain):
            yield from _flat(element.elements)
        else:
            yield element
