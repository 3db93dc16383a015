"""An effect that is made for two outputs, on one alone, on two that are no pair, or not alike on the two.

Alternating lamps need two outputs that know of each other: the decoder keeps them in step only where its sheet pairs
them, and where both are turned on by the same conditions and flash at the same rate.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder:
      common: {drop: 1.4 V}
      outputs: {green: {number: 3}, violet: {number: 4}}
      effects: {alternating flash: {codes: {first: 8, second: 9}, pairs: [[green, violet]], rate: 30 to 120 per minute}}
    lamps:
      left ditch lamp: {bulb: {voltage: 14 V, current: 30 mA}}
      right ditch lamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      green: {circuit: [left ditch lamp], effect: alternating flash}
      #                                           ^^^^^^^^^^^^^^^^^ "alternating flash" is made for two outputs, but
      #  "green" shows it alone with F3 on, forward; its partner on this decoder is "violet"
      violet: {circuit: [right ditch lamp]}
    keys:
      F3: {turns-on: [{output: [green, violet]}]}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder:
      common: {drop: 1.4 V}
      outputs: {green: {number: 3}, violet: {number: 4}}
      effects: {alternating flash: {codes: {first: 8, second: 9}, pairs: [[green, violet]], rate: 30 to 120 per minute}}
    lamps:
      left ditch lamp: {bulb: {voltage: 14 V, current: 30 mA}}
      right ditch lamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      green: {circuit: [left ditch lamp], effect: alternating flash}
      violet: {circuit: [right ditch lamp], effect: alternating flash}
    keys:
      F3: {turns-on: [{output: [green, violet]}]}

Source: the decoder sheet; logic.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.logic.looks import Lack, Wish
from lampwright.analysis.logic.pairs import PairFault, Unpaired, User, partners_of
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.decoder import EffectSheet
from lampwright.model.keys import STEADY
from lampwright.model.values import Figure, Name
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import in_state, lacking, state_data
from lampwright.rule.phrases import all_quoted, quoted
from lampwright.text import Span
from lampwright.units import Dimension, say

_MOST_PAIRS = 3


@rule(Severity.ERROR, needs_plan=True)
def unpaired_effect(context: Context) -> Iterator[Verdict]:
    """An effect for a pair on a lone output, on no pair of the sheet, or with different rates or conditions."""
    named = _named_effects(context)
    effects = context.plan.decoder.effects if context.plan.decoder is not None else None
    if effects is None:
        yield from (Undecided(name.span, "the effects of the decoder") for name in list(named.values())[:1])
        return
    for name in named.values():
        effect = effects.get(name.text)
        if effect is not None and effect.is_for_pairs:
            yield from (_verdict(effect, each, name) for each in context.logic.unpaired[effect.name])


def _named_effects(context: Context) -> dict[str, Name]:
    """Each effect that is asked for, where it first is."""
    looks = [look for of_one_output in context.logic.stated_looks.values() for look in of_one_output]
    names = [look.effect for look in looks if look.effect is not None and look.effect.text != STEADY]
    first = sorted(names, key=lambda name: name.span.start, reverse=True)
    return dict(reversed([(name.text, name) for name in {name.text: name for name in first}.values()]))


def _verdict(effect: EffectSheet, fault: Unpaired | Lack, first: Name) -> Verdict:
    if isinstance(fault, Lack):
        return Undecided(first.span, lacking(fault))
    match fault.fault:
        case PairFault.PAIRS_UNKNOWN:
            return Undecided(first.span, f"the pairs of {quoted(effect.name)} on the decoder sheet")
        case PairFault.RATES_UNKNOWN:
            return Undecided(first.span, f"the rates of {quoted(effect.name)} on the decoder sheet")
    return _finding(effect, fault)


def _finding(effect: EffectSheet, fault: Unpaired) -> Finding:
    place, other = _places(fault)
    notes = [Note(other, "the other one is here")] if other is not None else []
    if effect.is_readable and effect.pairs:
        notes.append(Note(effect.span, "the sheet says for which outputs it is"))
    return Finding(
        place,
        f"{quoted(effect.name)} is made for two outputs, but {_what(effect, fault)}",
        tuple(notes),
        data={"state": state_data(fault.state)} if fault.state is not None else {},
    )


def _places(fault: Unpaired) -> tuple[Span, Span | None]:
    """The later of the two places in the text, and the earlier one if it is another."""
    spans = {_span(fault.user, fault.rates[0] if fault.rates else None)}
    if fault.other is not None:
        spans.add(_span(fault.other, fault.rates[1] if fault.rates else None))
    first, last = min(spans, key=_start), max(spans, key=_start)
    return last, first if first != last else None


def _start(span: Span) -> int:
    return span.start


def _span(user: User, rate: Wish[Figure] | None) -> Span:
    """Where a rate is stated, else where the effect is."""
    if rate is not None and rate.value is not None and rate.value.span is not None:
        return rate.value.span
    assert user.wish.value is not None
    return user.wish.value.span


def _what(effect: EffectSheet, fault: Unpaired) -> str:
    user, other = quoted(fault.user.output), quoted(fault.other.output) if fault.other is not None else ""
    when = f" {in_state(fault.state)}" if fault.state is not None else ""
    match fault.fault:
        case PairFault.NO_PAIR:
            return f"{other} and {user} are no pair{when}{_possible(effect)}"
        case PairFault.CONDITIONS:
            return f"{user} shows it without {other}{when}"
        case PairFault.RATES:
            rates = [_rate(effect, rate) for rate in fault.rates or ()]
            return f"{user} shows it at {rates[0]} and {other} at {rates[1]}{when}"
    own = partners_of(effect, [fault.user.output])
    partner = f"; its partner on this decoder is {all_quoted(own, 'or')}" if own else _possible(effect)
    return f"{user} shows it alone{when}{partner}"


def _possible(effect: EffectSheet) -> str:
    """`; the pairs of this decoder are "green" with "violet"`."""
    pairs = [f"{quoted(one.text)} with {quoted(other.text)}" for one, other in effect.pairs or ()]
    if not pairs:
        return ""
    more = f" and {len(pairs) - _MOST_PAIRS} more" if len(pairs) > _MOST_PAIRS else ""
    return f"; this decoder pairs {', '.join(pairs[:_MOST_PAIRS])}{more}"


def _rate(effect: EffectSheet, wish: Wish[Figure]) -> str:
    if wish.value is not None:
        return say(wish.value.usual, Dimension.RATE)
    slowest = say(effect.rate.lowest, Dimension.RATE) if effect.rate is not None else "a rate that is not known"
    return f"its slowest, {slowest}"
