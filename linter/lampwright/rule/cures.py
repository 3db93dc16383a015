"""Fixes that change a resistor, each proved by computing the output again with the value that is offered."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from lampwright.analysis.facts import OutputFacts
from lampwright.analysis.rewiring import Gap, Slot
from lampwright.analysis.sizing import proposed, rating_needed, smallest_resistance, with_resistor
from lampwright.diagnostics import Fix
from lampwright.model.circuit import Chain, Parallel, PlacedLamp, Resistor, placed_lamps
from lampwright.model.lighting import Output
from lampwright.rule.context import Context
from lampwright.rule.writing import changed, put_in, resistor_text

UNSTATED_RATING = 0.125
"""Watts that a resistor without a stated rating is judged as: the smallest leaded kind (common practice)."""


def larger_resistor(
    context: Context, output: Output, fits: Callable[[OutputFacts], bool], near: PlacedLamp | None = None
) -> tuple[Fix, ...]:
    """The fix that takes the next preferred resistor up with which the facts of `output` fit; none if there is none.

    `near` is the lamp that it is for: a resistor of its own chain is changed first, one is put in before it last.
    """
    for slot in _slots(output, near):
        resistance = smallest_resistance(context.plan, output, slot, fits)
        if resistance is None:
            continue
        resistor = proposed(context.plan, slot, resistance)
        facts = with_resistor(context.plan, output, slot, resistor)
        if isinstance(facts, OutputFacts):
            return _fix(context, slot, resistance, _rating_to_write(context, facts, resistor))
    return ()


def _fix(context: Context, slot: Slot, resistance: float, rating: float | None) -> tuple[Fix, ...]:
    text = resistor_text(resistance, rating)
    if isinstance(slot, Gap):
        edits = put_in(context.tree, slot.chain, slot.index, text)
        return (Fix(f"Put in {text}", edits),) if edits else ()
    edits = changed(context.tree, slot, resistance, rating)
    return (Fix(f"Use {text}", edits),) if edits else ()


def _rating_to_write(context: Context, facts: OutputFacts, resistor: Resistor) -> float | None:
    """The rating that the resistor needs, if what is stated for it (or for the house) does not do."""
    power = max((each.power.highest for each in facts.elements if each.element is resistor), default=0.0)
    share = context.settings.margins.resistor_power
    stated = resistor.rating.usual if resistor.rating is not None else UNSTATED_RATING
    return rating_needed(power, share) if power > share * stated else None


def _slots(output: Output, near: PlacedLamp | None) -> Iterator[Slot]:
    if output.circuit is None:
        return
    chains = list(_chains_to(output.circuit, near)) if near is not None else [output.circuit]
    for chain in reversed(chains):
        yield from (element for element in chain.elements if isinstance(element, Resistor))
    inner = chains[-1]
    at = next((index for index, element in enumerate(inner.elements) if element is near), 0)
    yield Gap(inner, at)


def _chains_to(chain: Chain, lamp: PlacedLamp) -> Iterator[Chain]:
    """The chains around `lamp`, outermost first; only the outermost if it is not found."""
    yield chain
    for element in chain.elements:
        inner = element.branches if isinstance(element, Parallel) else (element,) if isinstance(element, Chain) else ()
        for each in inner:
            if any(found is lamp for found in placed_lamps(each)):
                yield from _chains_to(each, lamp)
                return
