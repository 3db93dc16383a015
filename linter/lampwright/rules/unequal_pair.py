"""Two lamps that belong together and do not give the same light, by more than 2 : 1.

Lamps belong together whose names differ only by left and right, and those that one entry turns on. The light is that
of the usual corner: of an LED it goes with the current, so that only LEDs of one colour are compared; of a bulb it goes
with its rated power and the power of 3.5 of its voltage over the rated one. An LED and a bulb cannot be compared. A
brightness counts, of the output or of the entry; so a pair may be made equal by it.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder:
      common: {drop: 1.4 V}
      outputs: {green: {number: 3, limit: 100 mA}, violet: {number: 4, limit: 100 mA}}
    lamps:
      left ditch lamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
      right ditch lamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      green: {circuit: [1.2 kohm 1/4 W, left ditch lamp]}
      violet: {circuit: [3.3 kohm 1/4 W, right ditch lamp]}
      #                                  ^^^^^^^^^^^^^^^^ "right ditch lamp" would give 36 % of the light of
      #  "left ditch lamp", and 50 % is the least for lamps that belong together; at your 14.5 V on the track
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder:
      common: {drop: 1.4 V}
      outputs: {green: {number: 3, limit: 100 mA}, violet: {number: 4, limit: 100 mA}}
    lamps:
      left ditch lamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
      right ditch lamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      green: {circuit: [1.2 kohm 1/4 W, left ditch lamp]}
      violet: {circuit: [1.2 kohm 1/4 W, right ditch lamp]}
    keys: {}

Source: common practice; the light of bulbs by the re-rating formulas of lamp handbooks, read second-hand (Fink and
Beaty, Standard Handbook for Electrical Engineers, 11th ed., p. 22-8).
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from lampwright.analysis.facts import ElementFacts
from lampwright.analysis.law import lamp_kind
from lampwright.analysis.light import LightKind, lamp_light, light_kind
from lampwright.analysis.sizing import facts_of
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.circuit import PlacedLamp, placed_lamps
from lampwright.model.keys import Entry
from lampwright.model.lighting import LightingPlan, Output
from lampwright.model.values import is_above
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import at_supply, caveat
from lampwright.rule.phrases import quoted
from lampwright.text import Span
from lampwright.units import Dimension, say

MOST_DIFFERENCE = 2.0
"""Of the brighter lamp's light over the darker one's (common practice)."""

_SIDE = re.compile(r"\b(left|right)\b", re.IGNORECASE)


@rule(Severity.WARNING, needs_plan=True)
def unequal_pair(context: Context) -> Iterator[Verdict]:
    """Lamps that belong together and differ in light by more than 2 : 1."""
    plan = context.plan
    shining = {each.lamp.name: each for each in _shining(context)}
    said: set[Span] = set()
    for group in (*_by_name(plan, shining), *_by_entry(plan, shining)):
        for verdict in _verdicts(context, group):
            if verdict.span not in said:
                said.add(verdict.span)
                yield verdict


@dataclass(frozen=True, slots=True)
class _Shining:
    """A lamp in the circuit of `output`, with its facts, or why it has none; `brightness` is a share of 1."""

    lamp: PlacedLamp
    kind: LightKind
    output: Output
    facts: ElementFacts | Undecided
    brightness: float = 1.0

    @property
    def light(self) -> float:
        """In no unit; zero where it cannot be told."""
        light = lamp_light(self.facts) if isinstance(self.facts, ElementFacts) else None
        return light.amount * self.brightness if light is not None else 0.0


def _shining(context: Context) -> Iterator[_Shining]:
    judged = context.judged_outputs("unequal-pair")
    for output, facts in zip(context.plan.outputs.values(), judged, strict=True):
        for lamp in placed_lamps(output.circuit) if output.circuit is not None else ():
            kind = lamp_kind(lamp)
            if kind is not None:
                found = facts if isinstance(facts, Undecided) else facts_of(facts, lamp)
                lacks = Undecided(lamp.span, found.lacks) if isinstance(found, Undecided) else found
                yield _Shining(lamp, light_kind(kind), output, lacks or Undecided(lamp.span, "its current"))


# --- Which belong together --------------------------------------------------------------------------------------------

_Group = list[_Shining]


def _by_name(plan: LightingPlan, shining: Mapping[str, _Shining]) -> Iterator[_Group]:
    """Those whose names differ only by left and right, each as bright as the plan ever makes it."""
    entries = [*plan.always, *(entry for key in plan.keys.values() for entry in key.entries)]
    sides: dict[str, dict[str, str]] = defaultdict(dict)
    for name in shining:
        if len(found := _SIDE.findall(name)) == 1:
            sides[_SIDE.sub("?", name)].setdefault(found[0].casefold(), name)
    for names in sides.values():
        if len(names) == 2:
            yield [_at_brightest(shining[name], entries) for name in names.values()]


def _at_brightest(each: _Shining, entries: Iterable[Entry]) -> _Shining:
    turning_on = [entry for entry in entries if any(name.text == each.output.name for name in entry.outputs)]
    brightest = max((_brightness(each.output, entry) for entry in turning_on), default=_brightness(each.output, None))
    return replace(each, brightness=brightest)


def _by_entry(plan: LightingPlan, shining: Mapping[str, _Shining]) -> Iterator[_Group]:
    """Those that one entry turns on."""
    by_output: dict[str, _Group] = defaultdict(list)
    for each in shining.values():
        by_output[each.output.name].append(each)
    for entry in (*(entry for key in plan.keys.values() for entry in key.entries), *plan.always):
        together = [each for name in dict.fromkeys(name.text for name in entry.outputs) for each in by_output[name]]
        yield [replace(each, brightness=_brightness(each.output, entry)) for each in together]


def _brightness(output: Output, entry: Entry | None) -> float:
    """What the entry names, else the output's own, else all of it."""
    named = (entry.look.brightness if entry is not None else None) or output.look.brightness
    return named.usual if named is not None else 1.0


# --- What is wrong with them ------------------------------------------------------------------------------------------


def _verdicts(context: Context, group: _Group) -> Iterator[Verdict]:
    by_kind: dict[LightKind, _Group] = defaultdict(list)
    for each in group:
        by_kind[each.kind].append(each)
    for alike in by_kind.values():
        if len(alike) < 2:
            continue
        yield from (each.facts for each in alike if isinstance(each.facts, Undecided))
        known = [each for each in alike if isinstance(each.facts, ElementFacts)]
        darkest, brightest = min(known, key=_light, default=None), max(known, key=_light, default=None)
        if darkest is not None and brightest is not None and is_above(brightest.light, MOST_DIFFERENCE * darkest.light):
            yield _finding(context, darkest, brightest)


def _light(each: _Shining) -> float:
    return each.light


def _finding(context: Context, darker: _Shining, brighter: _Shining) -> Finding:
    share = darker.light / brighter.light
    weak = tuple(
        fact for each in (darker, brighter) if isinstance(each.facts, ElementFacts) for fact in each.facts.weak
    )
    return Finding(
        darker.lamp.span,
        f"{quoted(darker.lamp.name)} would give {say(share, Dimension.SHARE, 2)} of the light of"
        f" {quoted(brighter.lamp.name)}, and {say(1 / MOST_DIFFERENCE, Dimension.SHARE)} is the least for lamps that"
        f" belong together; {at_supply(context.plan, 'usual')}{caveat(weak, 'usual')}",
        (Note(brighter.lamp.span, "this is the brighter one"),),
        data={"light": share, "limit": 1 / MOST_DIFFERENCE},
    )
