"""An LED with nothing that limits its current burns out the moment it is switched on.

An LED has almost no resistance of its own above its forward voltage: whatever the decoder can give flows through it.
A resistor above zero, a current regulator, a resistor built into the LED, or a bulb limits it, if it stands in series
on the LED's own way from the common wire to the output; in the common lead or outside a parallel is as good. A plain
diode does not, nor does anything beside the LED, a reduced brightness, or a regulated common.

The fix puts in the next preferred resistor up, for the current that the plan wishes, else for 10 mA.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, current: 7 mA, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [front headlamp]}
      #                 ^^^^^^^^^^^^^^ nothing limits the current of the LED "front headlamp"
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

Fixed:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, current: 7 mA, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, front headlamp]}
    keys: {}

Source: common practice.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from lampwright.analysis.electrical.facts import ElementFacts, OutputFacts
from lampwright.analysis.protection import LedProtection
from lampwright.analysis.resistors.rewiring import narrowed
from lampwright.analysis.resistors.sizing import facts_of, proposed, smallest_resistance, with_resistor
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.circuit import Chain, Led, Parallel, PlacedLamp, lamp_kind
from lampwright.model.lighting import LightingPlan
from lampwright.model.settings import Margins
from lampwright.model.values import is_above
from lampwright.records import replace
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.alternatives import Wish, alternatives
from lampwright.rule.cures import Cure, is_worth_a_search, written
from lampwright.rule.limits import excess_of, has_too_much_beyond
from lampwright.rule.phrases import quoted

USUAL_CURRENT = 0.010
"""Amperes that an LED is sized for if the plan wishes nothing: usually bright enough in a model (common practice)."""


@rule(Severity.ERROR, needs_plan=True, has_fix=True)
def unprotected_led(context: Context) -> Iterator[Verdict]:
    """An LED with nothing that limits its current."""
    wholes = _whole_chains(context.plan)
    by_chain: dict[int, list[LedProtection]] = {}
    for protection in context.protections:
        if protection.is_protected is None:
            lacks = protection.lack.lacks if protection.lack is not None else "a circuit that can be read"
            yield Undecided(protection.led.span, lacks)
        elif not protection.is_protected:
            by_chain.setdefault(wholes[id(protection.gap.chain)], []).append(protection)
    counts: Counter[str] = Counter()
    # One resistor cures all LEDs of a chain, so they are one mistake.
    for first, *others in by_chain.values():
        name = first.output.name if first.output is not None else ""
        cure = _cure(context, first, [first.led, *(other.led for other in others)], counts[name])
        counts[name] += 1
        yield _finding(cure, first, *others)


def _whole_chains(plan: LightingPlan) -> dict[int, int]:
    """By the identity of each chain, that of the one whose part it is: the same current flows through both."""
    wholes: dict[int, int] = {}
    for circuit in (plan.common_circuit, *(output.circuit for output in plan.outputs.values())):
        if circuit is not None:
            _find_wholes(circuit, id(circuit), wholes)
    return wholes


def _find_wholes(chain: Chain, whole: int, wholes: dict[int, int]) -> None:
    wholes[id(chain)] = whole
    for element in chain.elements:
        if isinstance(element, Chain):
            _find_wholes(element, whole, wholes)
        for branch in element.branches if isinstance(element, Parallel) else ():
            _find_wholes(branch, id(branch), wholes)


def _finding(cure: Cure, first: LedProtection, *others: LedProtection) -> Finding:
    return Finding(
        first.led.span,
        f"nothing limits the current of the LED {quoted(first.led.name)}",
        tuple(Note(other.led.span, f"nor that of {quoted(other.led.name)}") for other in others),
        cure.fixes,
        {"suggested": cure.suggested},
    )


def _cure(context: Context, first: LedProtection, leds: list[PlacedLamp], number: int) -> Cure:
    """The smallest resistor with which nothing on the output has too much; else with which these LEDs have not.

    Where others on the output have no protection either, the LEDs are sized as if these were not there: as no
    resistance is shared with them yet, they have no influence.
    """
    output, margins = first.output, context.settings.margins
    if output is None or output.circuit is None or not is_worth_a_search(context.plan, output, number):
        return Cure()

    def are_fine(facts: OutputFacts) -> bool:
        return all(_is_fine(facts_of(facts, led), led, margins) for led in leds)

    def all_is_well(facts: OutputFacts) -> bool:
        # The new resistor itself may get as hot as it will: its rating is chosen behind this.
        return are_fine(facts) and not has_too_much_beyond(facts, margins, {first.gap.chain.span})

    alone = replace(output, circuit=narrowed(output.circuit, first.led))
    enough = smallest_resistance(context.plan, alone, first.gap, are_fine)
    if enough is None:
        return Cure()
    best = smallest_resistance(context.plan, output, first.gap, all_is_well, guess=enough)
    sized, resistance = (output, best) if best is not None else (alone, enough)
    resistor = proposed(context.plan, first.gap, resistance)
    facts = with_resistor(context.plan, sized, first.gap, resistor)
    if not isinstance(facts, OutputFacts):
        return Cure()
    cure = written(context, first.gap, resistor, facts, is_rated=True)
    before, found = context.electrical.outputs[output.name], facts_of(facts, resistor)
    if best is None or number or found is None or not isinstance(before, OutputFacts):
        return cure
    wish = Wish(before, first.gap, resistance, found.power.highest, are_fine)
    return Cure((*cure.fixes, *alternatives(context, wish)), cure.suggested)


def _is_fine(found: ElementFacts | None, led: PlacedLamp, margins: Margins) -> bool:
    """Whether an LED has no more than what is wished for it, and no more than its margin in the hot corner."""
    kind = lamp_kind(led)
    assert isinstance(kind, Led)
    wish = kind.wish.usual if kind.wish is not None else USUAL_CURRENT
    return found is not None and not is_above(found.current.usual, wish) and not excess_of(found, margins)
