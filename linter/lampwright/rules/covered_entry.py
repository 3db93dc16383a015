"""An entry that another one makes superfluous: it turns on what is on anyway, and asks for no look of its own.

It is left over from an earlier idea, or its condition says less than was meant. Whoever changes the other entry later
finds that this one keeps the lamp on. The finding stands at the later of the two entries; of two that say the same, the
later one adds nothing. An entry that names a brightness, an effect or a rate which the other one does not name is never
superfluous: it dims.

The fix takes the entry out, and is sure where no comment goes with it.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [front headlamp]}
    keys:
      F0:
        turns-on:
          - {output: white, when: forward}
          - {output: white, when: [forward, moving]}
          # ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ this entry adds nothing: whenever it turns on "white", another
          #  one does so anyway, as with F0 on, forward, moving

Fixed:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [front headlamp]}
    keys:
      F0:
        turns-on:
          - {output: white, when: forward}

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [front headlamp]}
    keys:
      F0: {label: Headlamps, turns-on: [{output: white, when: [forward, F6]}]}
      F6: {label: Yard mode, turns-on: [{output: white}]}
      #                                 ^^^^^^^^^^^^^^^ this entry leaves nothing to an earlier one: whenever
      #  that one turns on "white", this one does so anyway, as with F0 and F6 on, forward

Fixed:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}}}
    lamps:
      front headlamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      white: {circuit: [front headlamp]}
    keys:
      F0: {label: Headlamps}
      F6: {label: Yard mode, turns-on: [{output: white}]}

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
      F5: {turns-on: [{output: white, when: [forward, F0], brightness: 40 %}]}

Source: logic.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from lampwright.analysis.logic.coverings import Covering
from lampwright.analysis.logic.entries import EntryFact
from lampwright.diagnostics import Finding, Fix, Note, Severity, Undecided
from lampwright.model.keys import Look
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import TOO_LONG, in_state, state_data
from lampwright.rule.phrases import all_quoted
from lampwright.rule.removing import loses_comments, taken_out
from lampwright.syntax import path_at


@rule(Severity.WARNING, needs_plan=True, has_fix=True)
def covered_entry(context: Context) -> Iterator[Verdict]:
    """An entry that another one makes superfluous."""
    coverings = context.logic.coverings
    found = [covering for covering in coverings.found if not _is_futile(context, covering.covered)]
    found.sort(key=lambda covering: (covering.later.entry.span.start, covering.covered.entry.span.start))
    for _, of_one_place in groupby(found, key=lambda covering: covering.later.entry.span):
        yield _finding(context, list(of_one_place))
    for fact in coverings.undecided:
        yield Undecided(fact.entry.span, TOO_LONG)


def _is_futile(context: Context, fact: EntryFact) -> bool:
    """Whether it stands under a key that cannot turn anything of it off: that is the rule always-lit."""
    is_plain = fact.key is not None and fact.entry.look == Look()
    return is_plain and all(map(context.logic.is_always_lit, fact.outputs))


def _finding(context: Context, coverings: list[Covering]) -> Finding:
    """One finding for a later entry: that it is covered, or that it covers earlier ones."""
    first = coverings[0]
    later = first.later
    outputs = all_quoted(dict.fromkeys(output for covering in coverings for output in covering.covered.outputs))
    if later is first.covered:
        words = f"this entry adds nothing: whenever it turns on {outputs}, another one does so anyway"
        notes = [Note(first.covering.entry.span, "this one does")]
    else:
        is_one = len(coverings) == 1
        number, which = ("an earlier one", "that one") if is_one else (f"{len(coverings)} earlier ones", "one of them")
        words = f"this entry leaves nothing to {number}: whenever {which} turns on {outputs}, this one does so anyway"
        notes = [Note(covering.covered.entry.span, "this one adds nothing") for covering in coverings]
    return Finding(
        later.entry.span,
        f"{words}, as {in_state(first.state)}",
        tuple(notes),
        _fixes(context, coverings),
        {"state": state_data(first.state)},
    )


def _fixes(context: Context, coverings: list[Covering]) -> tuple[Fix, ...]:
    """The fix, unless two entries of one list were to go: what is left of a list depends on what went before."""
    spans = [covering.covered.entry.span for covering in coverings]
    lists = {path_at(context.tree, span)[:-1] for span in spans}
    edits = [edit for span in spans if (edit := taken_out(context.tree, span)) is not None]
    if len(lists) < len(spans) or len(edits) < len(spans):
        return ()
    which = "entry" if coverings[0].later is coverings[0].covered else "earlier entry"
    title = f"Remove the {which}" if len(edits) == 1 else f"Remove the {len(edits)} earlier entries"
    return (Fix(title, tuple(edits), sure=not any(loses_comments(context.tree, edit) for edit in edits)),)
