"""Fixes that put in or change a resistor, each proved by computing the output again with the value that is offered.

Proved means: the fault is gone, and nothing else on the output has too much that had not before.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import islice
from math import isfinite, isqrt

from lampwright.analysis.electrical.facts import OutputFacts
from lampwright.analysis.resistors.rewiring import Gap, Slot, chains_to
from lampwright.analysis.resistors.sizing import (
    facts_of,
    proposed,
    rating_needed,
    smallest_resistance,
    with_resistor,
)
from lampwright.diagnostics import Fix
from lampwright.model.circuit import PlacedLamp, Resistor, leaves
from lampwright.model.lighting import LightingPlan, Output
from lampwright.model.settings import Margins
from lampwright.records import dataclass
from lampwright.rule.alternatives import Wish, alternatives
from lampwright.rule.context import Context
from lampwright.rule.limits import Excess, excess_of, times_too_much, times_too_much_of_output
from lampwright.rule.worsening import Change, is_no_worse
from lampwright.rule.writing import changed, put_in, resistor_text

MOST_WORK = 1200
"""Squares of elements, times the cures that are looked for: three of a rule in a circuit of 24 elements."""


@dataclass(frozen=True, slots=True)
class Cure:
    """What is offered: the fixes, and the ohms that they write. Both are nothing where no preferred resistor cures."""

    fixes: tuple[Fix, ...] = ()
    suggested: float | None = None


def larger_resistor(
    context: Context,
    before: OutputFacts,
    fits: Callable[[OutputFacts], bool],
    near: PlacedLamp | None = None,
    number: int = 0,
) -> Cure:
    """The next preferred resistor up with which the facts of the output fit, where those of `before` do not.

    `near` is the lamp that it is for: a resistor of its own chain is changed first, one is put in before it last.
    `number` is how many cures the same rule has looked for on this output (see `is_worth_a_search`).
    """
    plan, output, margins = context.plan, before.output, context.settings.margins
    for slot in _slots(output, near) if is_worth_a_search(plan, output, number) else ():
        resistance = smallest_resistance(plan, output, slot, fits, guess=_guess(before, slot, near, margins))
        if resistance is None:
            continue
        resistor = proposed(plan, slot, resistance)
        after = with_resistor(plan, output, slot, resistor)
        if isinstance(after, OutputFacts) and is_no_worse(Change(before, slot, resistor), after, margins):
            cure = written(context, slot, resistor, after)
            found = facts_of(after, resistor)
            if found is not None and number == 0:
                wish = Wish(before, slot, resistance, found.power.highest, fits)
                cure = Cure((*cure.fixes, *alternatives(context, wish)), cure.suggested)
            if cure.fixes:
                return cure
    return Cure()


def is_worth_a_search(plan: LightingPlan, output: Output, number: int) -> bool:
    """Whether a cure is looked for behind `number` others: of few elements for all, of hundreds for one.

    Each search computes the output some four times, at a cost that grows with the square of its elements. None is
    looked for where readings would stay behind that are of the old circuit: that is to be measured again.
    """
    if plan.has_readings_of(output):
        return False
    if number == 0 or output.circuit is None:
        return True
    most = isqrt(MOST_WORK // number)
    return sum(1 for _ in islice(leaves(output.circuit), most + 1)) <= most


def _guess(before: OutputFacts, slot: Slot, near: PlacedLamp | None, margins: Margins) -> float | None:
    """About what cures: the resistance on the way, as many times as the current is too much."""
    found = facts_of(before, near) if near is not None else None
    if found is not None:
        way, times = found.corner.resistance or 0.0, times_too_much(found, margins)
    else:
        way, times = before.supply.highest / before.current.highest, times_too_much_of_output(before, margins)
    old = slot.resistance.usual if isinstance(slot, Resistor) else 0.0
    guess = old + way * (times - 1)
    return guess if isfinite(guess) else None


def written(context: Context, slot: Slot, resistor: Resistor, after: OutputFacts, *, is_rated: bool = False) -> Cure:
    """The cure that writes `resistor` into `slot`, where `after` are the facts with it.

    Its rating is written where it needs more than what is stated or meant there, and anyway if `is_rated`.
    """
    found, margin = facts_of(after, resistor), context.settings.margins.resistor_power
    if found is None:
        return Cure()
    rating = rating_needed(found.power.highest, found.derating * margin)
    if rating is None:
        return Cure()
    is_needed = is_rated or excess_of(found, context.settings.margins) > Excess.NONE
    return _cure(context, slot, resistor.resistance.usual, rating if is_needed else None)


def _cure(context: Context, slot: Slot, resistance: float, rating: float | None) -> Cure:
    text = resistor_text(resistance, rating)
    if isinstance(slot, Gap):
        title, edits = f"Put in {text}", put_in(context.tree, slot.chain, slot.index, text)
    else:
        title, edits = f"Use {text}", changed(context.tree, slot, resistance, rating)
    return Cure((Fix(title, edits),), resistance) if edits else Cure()


def _slots(output: Output, near: PlacedLamp | None) -> Iterator[Slot]:
    if output.circuit is None:
        return
    chains = list(chains_to(output.circuit, near)) if near is not None else [output.circuit]
    for chain in reversed(chains):
        yield from (element for element in chain.elements if isinstance(element, Resistor))
    inner = chains[-1]
    at = next((index for index, element in enumerate(inner.elements) if element is near), 0)
    yield Gap(inner, at)
