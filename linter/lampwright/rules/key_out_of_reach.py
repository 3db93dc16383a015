"""A key above the highest one that the decoder knows: pressing it does nothing.

The same holds for a key that a condition asks to be on, which it never is, and for one that is to obey the consist.
Where the sheet does not say how far the decoder goes, a key above F28 is worth a note: the packets of S-9.2.1 in its
edition of 2012 end there, those up to F68 are of RCN-212, and not every decoder or command station has them.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {brown: {number: 5}}, keys: {highest: 12}}
    lamps:
      cab lamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      brown: {circuit: [cab lamp]}
    keys:
      F13: {label: Cab, turns-on: [{output: brown}]}
    # ^^^ "F13" is above the highest key of this decoder, F12

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {brown: {number: 5}}, keys: {highest: 12}}
    lamps:
      cab lamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      brown: {circuit: [cab lamp]}
    keys:
      F12: {label: Cab, turns-on: [{output: brown}]}

Source: the decoder sheet; NMRA S-9.2.1 (2012) for F28, RCN-212 (read second-hand) for what is above.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.keys import Condition, Entry, Literal
from lampwright.model.lighting import LightingPlan
from lampwright.model.values import Number
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.phrases import all_quoted
from lampwright.text import Span

HIGHEST_OF_PACKETS = 28
"""NMRA S-9.2.1 (2012), read: its packets end at F28, and the codes of F29 to F68 are reserved."""


@rule(Severity.ERROR, needs_plan=True)
def key_out_of_reach(context: Context) -> Iterator[Verdict]:
    """A key above the decoder's highest."""
    plan = context.plan
    used = list(_keys_used(plan))
    highest = plan.decoder.highest_key if plan.decoder is not None else None
    if highest is not None:
        beyond = [(_above(keys, highest.value), span) for keys, span in used]
        yield from (_finding(keys, span, highest) for keys, span in beyond if keys)
        return
    beyond = [(_above(keys, HIGHEST_OF_PACKETS), span) for keys, span in used]
    yield from (_note(keys, span) for keys, span in beyond if keys)
    if used and not any(keys for keys, _ in beyond):
        _, span = max(used, key=lambda each: max(each[0]))
        yield Undecided(span, "the highest key on the decoder sheet")


def _keys_used(plan: LightingPlan) -> Iterator[tuple[list[int], Span]]:
    """The keys that each place of the plan names: where one is defined, in a condition, in the consist."""
    yield from (([key.number], key.span) for key in plan.keys.values())
    entries: list[Entry] = [*plan.always, *(entry for key in plan.keys.values() for entry in key.entries)]
    for entry in entries:
        if entry.condition is not None and entry.condition_span is not None:
            keys = sorted(_keys_needed(entry.condition))
            if keys:
                yield keys, entry.condition_span
    if plan.vehicle.consist is not None:
        yield from (([number], span) for number, span in plan.vehicle.consist.keys)


def _keys_needed(condition: Condition) -> set[int]:
    """The keys that a condition asks to be on, by number; that one is off is true of a key that cannot be on."""
    if isinstance(condition, Literal):
        is_key = condition.positive and condition.variable.startswith("F")
        return {int(condition.variable[1:])} if is_key else set()
    return {number for part in condition.parts for number in _keys_needed(part)}


def _above(keys: list[int], highest: int) -> list[str]:
    return [f"F{number}" for number in keys if number > highest]


def _finding(keys: list[str], span: Span, highest: Number) -> Finding:
    return Finding(
        span,
        f"{_are(keys)} above the highest key of this decoder, F{highest.value}",
        (Note(highest.span, "the sheet says so here"),),
    )


def _note(keys: list[str], span: Span) -> Finding:
    return Finding(
        span,
        f"{_are(keys)} above F{HIGHEST_OF_PACKETS}, where the packets of S-9.2.1 (2012) end, and the sheet does not say"
        " how far this decoder goes",
        ceiling=Severity.NOTE,
    )


def _are(keys: list[str]) -> str:
    return f"{all_quoted(keys)} {'is' if len(keys) == 1 else 'are'}"
