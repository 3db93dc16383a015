"""A key that means something else than the club's convention in `lampwright.yaml`.

Whoever takes over a strange engine presses the keys that all engines have. Capitals and spaces do not count; a key that
the convention does not name is free.

The fix writes the convention's label and moves nothing. It is for a label that says the same in other words, so it is
never sure, and not offered where the convention has the label for another key: there the entries are on the wrong key.

Settings:

    lampwright: 1
    keys: {F3: Ditch lamps, F7: Cab, F8: Firebox}

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {brown: {number: 5}}}
    lamps:
      cab lamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      brown: {circuit: [cab lamp]}
    keys:
      F7: {label: Cab light, turns-on: [{output: brown}]}
      #           ^^^^^^^^^ F7 is "Cab" by the club's convention, not "Cab light"

Fixed:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {brown: {number: 5}}}
    lamps:
      cab lamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      brown: {circuit: [cab lamp]}
    keys:
      F7: {label: Cab, turns-on: [{output: brown}]}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {brown: {number: 5}}}
    lamps:
      cab lamp: {bulb: {voltage: 14 V, current: 30 mA}}
    outputs:
      brown: {circuit: [cab lamp]}
    keys:
      F7: {label: Cab, turns-on: [{output: brown}]}
      F12: {label: Coupler, momentary: true}

Source: the club's convention.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Fix, Severity, Undecided
from lampwright.model.keys import mean_the_same
from lampwright.model.values import Name
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.phrases import listed, quoted
from lampwright.syntax import as_value
from lampwright.text import Edit


@rule(Severity.WARNING, needs_plan=True, has_fix=True)
def key_off_convention(context: Context) -> Iterator[Verdict]:
    """A key that means something else than the club's convention."""
    convention = context.settings.keys
    for key in context.plan.keys.values():
        meant = convention.get(key.number)
        if meant is None:
            continue
        if key.label is None:
            yield Undecided(key.span, "a label")
        elif not mean_the_same(key.label.text, meant):
            others = [f"F{number}" for number, label in convention.items() if mean_the_same(label, key.label.text)]
            yield _finding(key.name, key.label, meant, others)


def _finding(key: str, label: Name, meant: str, others: list[str]) -> Finding:
    hint = f"; {quoted(label.text)} is {listed(others, 'or')}" if others else ""
    fix = Fix(f"Write {meant}", (Edit(label.span, as_value(meant)),))
    return Finding(
        label.span,
        f"{key} is {quoted(meant)} by the club's convention, not {quoted(label.text)}{hint}",
        fixes=() if others else (fix,),
    )
