"""A circuit with one element put in, put in the place of another, or without what stands beside a lamp.

Each is a new tree, the old one stays as it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lampwright.model.circuit import Chain, Element, Parallel, PlacedLamp, Resistor, leaves, placed_lamps
from lampwright.model.lighting import LightingPlan, Output
from lampwright.records import dataclass, replace


@dataclass(frozen=True, slots=True)
class Gap:
    """A place in `chain` where an element can be put in: before its element number `index`, from 0."""

    chain: Chain
    index: int


Slot = Resistor | Gap
"""Where a resistor can go: in the place of one, or into a gap. Both are known by identity, not by their values."""


def put(chain: Chain, slot: Slot, element: Element) -> Chain:
    """`chain` with `element` in `slot`, at any depth; all other elements are the same objects."""
    return replace(chain, elements=tuple(_put(chain, slot, element)))


def rewired(plan: LightingPlan, output: Output, slot: Slot, element: Element) -> tuple[LightingPlan, Output]:
    """Both with `element` in `slot`, which may be in the output's circuit or in the common lead."""
    if output.circuit is not None:
        # What a meter showed of the old circuit says nothing of the new one; what feeds both stays.
        of_supply = output.measured.of_supply if output.measured is not None else None
        output = replace(output, circuit=put(output.circuit, slot, element), measured=of_supply)
    if plan.common_circuit is not None:
        plan = replace(plan, common_circuit=put(plan.common_circuit, slot, element))
    lead = plan.common_measured.of_supply if plan.common_measured is not None else None
    return replace(plan, outputs={**plan.outputs, output.name: output}, common_measured=lead), output


def chains_to(chain: Chain, lamp: PlacedLamp) -> Iterator[Chain]:
    """The chains around `lamp`, outermost first; only `chain` if the lamp is not in it."""
    yield chain
    for element in chain.elements:
        inner = element.branches if isinstance(element, Parallel) else (element,) if isinstance(element, Chain) else ()
        for each in inner:
            if _holds(each, lamp):
                yield from chains_to(each, lamp)
                return


def beside(chain: Chain, slot: Slot) -> Sequence[Element] | None:
    """All elements of `chain` in branches beside the one that `slot` is in; None if it is not in the chain."""
    if any(element is slot for element in chain.elements) or (isinstance(slot, Gap) and slot.chain is chain):
        return []
    for element in chain.elements:
        inner = element.branches if isinstance(element, Parallel) else (element,) if isinstance(element, Chain) else ()
        for each in inner:
            found = beside(each, slot)
            if found is not None:
                return [*found, *(leaf for other in inner if other is not each for leaf in leaves(other))]
    return None


def narrowed(chain: Chain, lamp: PlacedLamp) -> Chain:
    """`chain` with each parallel on the way to `lamp` reduced to the branch on that way; its own chain is the same."""
    if any(element is lamp for element in chain.elements):
        return chain
    return replace(chain, elements=tuple(_narrowed(element, lamp) for element in chain.elements))


def _narrowed(element: Element, lamp: PlacedLamp) -> Element:
    if isinstance(element, Parallel):
        return next((narrowed(branch, lamp) for branch in element.branches if _holds(branch, lamp)), element)
    return narrowed(element, lamp) if isinstance(element, Chain) and _holds(element, lamp) else element


def _holds(chain: Chain, lamp: PlacedLamp) -> bool:
    return any(found is lamp for found in placed_lamps(chain))


def _put(chain: Chain, slot: Slot, element: Element) -> Iterator[Element]:
    gap = slot.index if isinstance(slot, Gap) and slot.chain is chain else None
    for index, old in enumerate(chain.elements):
        if index == gap:
            yield element
        yield element if old is slot else _put_below(old, slot, element)
    if gap == len(chain.elements):
        yield element


def _put_below(old: Element, slot: Slot, element: Element) -> Element:
    match old:
        case Chain():
            return put(old, slot, element)
        case Parallel(branches=branches):
            return replace(old, branches=tuple(put(branch, slot, element) for branch in branches))
    return old
