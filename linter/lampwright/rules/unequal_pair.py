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
      outputs: {green: {number: 3, limit: 100 mA, surge: 1 A}, violet: {number: 4, limit: 100 mA, surge: 1 A}}
    lamps:
      left ditch lamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
      right ditch lamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      green: {circuit: [1.2 kohm 1/4 W, left ditch lamp]}
      violet: {circuit: [3.3 kohm 1/4 W, right ditch lamp]}
      #                                  ^^^^^^^^^^^^^^^^ "right ditch lamp" would give 37 % of the light of "left
      #  ditch lamp", and 50 % is the least for lamps that belong together; at your 14.5 V on the track
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder:
      common: {drop: 1.4 V}
      outputs: {green: {number: 3, limit: 100 mA, surge: 1 A}, violet: {number: 4, limit: 100 mA, surge: 1 A}}
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
from collections.abc import Iterator, Mapping

from lampwright.analysis.electrical.facts import ElementFacts
from lampwright.analysis.electrical.light import LightKind, lamp_light, light_kind
from lampwright.analysis.resistors.sizing import facts_of
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.circuit import PlacedLamp, lamp_kind, placed_lamps
from lampwright.model.keys import Entry
from lampwright.model.lighting import LightingPlan, Output
from lampwright.model.values import is_above
from lampwright.patterns import pattern
from lampwright.records import dataclass
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.circumstances import at_supply_or_measured, caveat
from lampwright.rule.phrases import quoted
from lampwright.text import Span
from lampwright.units import Dimension, say

MOST_DIFFERENCE = 2.0
"""Of the brighter lamp's light over the darker one's (common practice)."""

_SIDE = pattern(r"\b(left|right)\b", re.IGNORECASE)


@rule(Severity.WARNING, needs_plan=True)
def unequal_pair(context: Context) -> Iterator[Verdict]:
    """Lamps that belong together and differ in light by more than 2 : 1."""
    plan = context.plan
    if not _has_pairs(plan):
        return
    shining = {each.lamp.name: each for each in _shining(context)}
    said: set[Span] = set()
    for group in (*_by_name(plan, shining), *_by_entry(plan, shining)):
        for verdict in _verdicts(context, group):
            if verdict.span not in said:
                said.add(verdict.span)
                yield verdict


def _has_pairs(plan: LightingPlan) -> bool:
    """Whether any lamps may belong together; in most plans one look tells that none do."""
    lamps = [[*placed_lamps(output.circuit)] for output in plan.outputs.values() if output.circuit is not None]
    return (
        any(len(here) > 1 for here in lamps)
        or any(len(entry.outputs) > 1 for entry in _entries(plan))
        or any(_SIDE.search(lamp.name) for here in lamps for lamp in here)
    )


@dataclass(frozen=True, slots=True)
class _Shining:
    """A lamp in the circuit of `output`, with its facts, or why it has none, and its light where that is fully on."""

    lamp: PlacedLamp
    kind: LightKind
    output: Output
    facts: ElementFacts | Undecided
    light: float


def _shining(context: Context) -> Iterator[_Shining]:
    judged = context.judged_outputs("unequal-pair")
    for output, facts in zip(context.plan.outputs.values(), judged, strict=True):
        for lamp in placed_lamps(output.circuit) if output.circuit is not None else ():
            kind = lamp_kind(lamp)
            if kind is not None:
                found = facts if isinstance(facts, Undecided) else facts_of(facts, lamp)
                light = lamp_light(found) if isinstance(found, ElementFacts) else None
                lacks = found.lacks if isinstance(found, Undecided) else "its current"
                known = found if isinstance(found, ElementFacts) else Undecided(lamp.span, lacks)
                yield _Shining(lamp, light_kind(kind), output, known, light.amount if light is not None else 0.0)


# --- Which belong together --------------------------------------------------------------------------------------------

_Group = list[tuple[float, _Shining]]
"""Lamps with the light that they give together with the others."""


def _by_name(plan: LightingPlan, shining: Mapping[str, _Shining]) -> Iterator[_Group]:
    """Those whose names differ only by left and right, each as bright as the plan ever makes it."""
    brightest: dict[str, float] = {}
    for entry in _entries(plan):
        for name in {name.text for name in entry.outputs} & plan.outputs.keys():
            brightest[name] = max(brightest.get(name, 0.0), _brightness(plan.outputs[name], entry))
    sides: dict[str, dict[str, _Shining]] = defaultdict(dict)
    for name, each in shining.items():
        if len(found := _SIDE.findall(name)) == 1:
            sides[_SIDE.sub("?", name)].setdefault(found[0].casefold(), each)
    for pair in sides.values():
        if len(pair) == 2:
            full = ((brightest.get(each.output.name, _brightness(each.output)), each) for each in pair.values())
            yield [(brightness * each.light, each) for brightness, each in full]


def _by_entry(plan: LightingPlan, shining: Mapping[str, _Shining]) -> Iterator[_Group]:
    """Those that one entry turns on."""
    by_output: dict[str, list[_Shining]] = defaultdict(list)
    for each in shining.values():
        by_output[each.output.name].append(each)
    seen: set[tuple[tuple[str, ...], float | None]] = set()
    for entry in _entries(plan):
        outputs = tuple(dict.fromkeys(name.text for name in entry.outputs))
        named = entry.look.brightness.usual if entry.look.brightness is not None else None
        # What was compared once need not be compared again for each of many entries.
        if (outputs, named) not in seen:
            seen.add((outputs, named))
            together = [each for output in outputs for each in by_output.get(output, ())]
            yield [(_brightness(each.output, entry) * each.light, each) for each in together]


def _entries(plan: LightingPlan) -> Iterator[Entry]:
    for key in plan.keys.values():
        yield from key.entries
    yield from plan.always


def _brightness(output: Output, entry: Entry | None = None) -> float:
    """What the entry names, else the output's own, else all of it."""
    named = (entry.look.brightness if entry is not None else None) or output.look.brightness
    return named.usual if named is not None else 1.0


# --- What is wrong with them ------------------------------------------------------------------------------------------


def _verdicts(context: Context, group: _Group) -> Iterator[Verdict]:
    by_kind: dict[LightKind, _Group] = defaultdict(list)
    for light, each in group:
        by_kind[each.kind].append((light, each))
    for alike in by_kind.values():
        if len(alike) < 2:
            continue
        yield from (each.facts for _, each in alike if isinstance(each.facts, Undecided))
        known = sorted((pair for pair in alike if isinstance(pair[1].facts, ElementFacts)), key=lambda pair: pair[0])
        if known and is_above(known[-1][0], MOST_DIFFERENCE * known[0][0]):
            yield _finding(context, known[0], known[-1])


def _finding(context: Context, darker: tuple[float, _Shining], brighter: tuple[float, _Shining]) -> Finding:
    (less, dark), (more, bright) = darker, brighter
    weak = tuple(fact for each in (dark, bright) if isinstance(each.facts, ElementFacts) for fact in each.facts.weak)
    return Finding(
        dark.lamp.span,
        f"{quoted(dark.lamp.name)} would give {say(less / more, Dimension.SHARE, 2)} of the light of"
        f" {quoted(bright.lamp.name)}, and {say(1 / MOST_DIFFERENCE, Dimension.SHARE)} is the least for lamps that"
        f" belong together; {at_supply_or_measured(context.plan, 'usual')}{caveat(weak, 'usual')}",
        (Note(bright.lamp.span, "this is the brighter one"),),
        data={"light": less / more, "limit": 1 / MOST_DIFFERENCE},
    )
