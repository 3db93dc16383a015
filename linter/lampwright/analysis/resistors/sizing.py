"""Which preferred resistor cures an output, each proposal proved by computing the output's facts again.

Knows resistors and what is wanted of the facts; the words and the edits are for the rules.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from functools import cache, partial

from lampwright.analysis.electrical import tried_facts
from lampwright.analysis.electrical.facts import ElementFacts, OutputFacts, Undetermined
from lampwright.analysis.electrical.weakness import LawfulElement
from lampwright.analysis.resistors.preferred import next_rating, next_up
from lampwright.analysis.resistors.rewiring import Gap, Slot, rewired
from lampwright.model.circuit import PlacedLamp, Resistor
from lampwright.model.lighting import LightingPlan, Output
from lampwright.model.stock import resistor_meant
from lampwright.model.values import is_above
from lampwright.records import dataclass

LEAST, MOST = 1.0, 10e6
"""Ohms between which a resistor is looked for: the leaded values of the trade (common practice)."""


@dataclass(frozen=True, slots=True)
class MostCurrent:
    """Amperes that an LED may get at most: with all usual values, and in the hot corner."""

    usual: float
    highest: float


def with_resistor(plan: LightingPlan, output: Output, slot: Slot, resistor: Resistor) -> OutputFacts | Undetermined:
    """The facts of `output` with `resistor` in `slot`, of its circuit or of the common lead, as they are asked for."""
    return tried_facts(*rewired(plan, output, slot, resistor))


def size_resistor(
    plan: LightingPlan, output: Output, slot: Slot, led: PlacedLamp, wanted: MostCurrent, series: str | None = None
) -> float | None:
    """The smallest preferred resistance in `slot` that keeps the current of `led` within what is `wanted`.

    `series` is the club's unless given. None: there is no such resistor, or the LED is not in the circuit of `output`.
    """
    return smallest_resistance(plan, output, slot, partial(_keeps_current, led=led, wanted=wanted), series)


def smallest_resistance(
    plan: LightingPlan,
    output: Output,
    slot: Slot,
    fits: Callable[[OutputFacts], bool],
    series: str | None = None,
    guess: float | None = None,
) -> float | None:
    """The smallest preferred resistance in `slot` with which the facts of `output` fit; None if there is none.

    What fits must stay so with a larger resistance, as every current in series with it and every voltage beyond it do.
    `guess` is about what is looked for, which saves most of the search.
    """

    @cache
    def cures(resistance: float) -> bool:
        facts = with_resistor(plan, output, slot, proposed(plan, slot, resistance))
        return isinstance(facts, OutputFacts) and fits(facts)

    values = _preferred_values(series or plan.settings.series)
    low, high = (0, len(values)) if guess is None else _bracket(values, guess, cures)
    place = bisect_left(values, 1, low, high, key=cures)
    # The search has asked some values only, and trusts `fits` for the rest; the one that it ends at is proved.
    return values[place] if place < len(values) and cures(values[place]) else None


def _bracket(values: Sequence[float], guess: float, cures: Callable[[float], bool]) -> tuple[int, int]:
    """Between which places of `values` the first one that cures is, looked for from `guess` in ever longer steps."""
    place = min(bisect_left(values, guess), len(values) - 1)
    step = 1
    if cures(values[place]):
        while place >= step and cures(values[place - step]):
            place, step = place - step, 2 * step
        return max(place - step, 0), place
    while place + step < len(values) and not cures(values[place + step]):
        place, step = place + step, 2 * step
    return place, min(place + step, len(values))


def proposed(plan: LightingPlan, slot: Slot, resistance: float) -> Resistor:
    """What the plan means by a resistor in `slot` of which the value changes, or nothing but the value is said.

    A tolerance or a rating that is written at the old resistor stays; one that was meant for the old value does not.
    """
    if isinstance(slot, Gap):
        return resistor_meant(plan.stock, plan.settings, slot.chain.span, resistance)
    is_written = slot.rating is not None and slot.rating.span is not None and slot.span.holds(slot.rating.span)
    rating = slot.rating if is_written else None
    return resistor_meant(plan.stock, plan.settings, slot.span, resistance, slot.tolerance, rating)


def rating_needed(power: float, share: float) -> float | None:
    """The smallest rating of the trade, in watts, of which `power` is at most `share`; None above the largest."""
    return next_rating(power / share)


def facts_of(facts: OutputFacts, element: LawfulElement) -> ElementFacts | None:
    """What `facts` says of `element`, which is known by identity; None where it is not in that output's circuit."""
    return next((found for found in facts.elements if found.element is element), None)


def _keeps_current(facts: OutputFacts, *, led: PlacedLamp, wanted: MostCurrent) -> bool:
    found = facts_of(facts, led)
    if found is None or is_above(found.current.usual, wanted.usual):
        return False
    return not is_above(found.current.highest, wanted.highest)


@cache
def _preferred_values(series: str) -> tuple[float, ...]:
    values = [next_up(series, LEAST)]
    while values[-1] < MOST:
        # The closest values of any series are 2 % apart, those of E96.
        values.append(next_up(series, values[-1] * 1.01))
    return tuple(values)
