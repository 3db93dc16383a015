"""Which LEDs share what limits their current, side by side: by the wiring alone, nothing is computed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lampwright.analysis.protection import limits
from lampwright.analysis.returns import uses_common
from lampwright.model.circuit import Chain, Element, Led, Parallel, PlacedLamp, lamp_kind, placed_lamps
from lampwright.model.lighting import LightingPlan
from lampwright.records import dataclass


@dataclass(frozen=True, slots=True)
class SharedLimiter:
    """Branches side by side with LEDs and nothing of their own that limits, behind one element that does.

    `leds` are all in these branches. `lack` is a branch that could not be read, where it depends on that one. Without a
    `limiter` nothing limits them at all.
    """

    limiter: Element | None
    leds: tuple[PlacedLamp, ...]
    lack: Element | None = None


def shared_limiters(plan: LightingPlan) -> Iterator[SharedLimiter]:
    """One for each parallel in which LEDs share, in the circuits of the outputs, then in the common lead."""
    lead = limiter_of(plan.common_circuit.elements) if plan.common_circuit is not None else None
    for output in plan.outputs.values():
        if output.circuit is not None:
            yield from _in_chain(output.circuit, lead if uses_common(output.circuit) else None)
    if plan.common_circuit is not None:
        yield from _in_chain(plan.common_circuit, None)


def limiter_of(elements: Iterable[Element]) -> Element | None:
    """The first single element that limits the current through all of `elements`; None if nothing does."""
    for element in elements:
        if not limits(element):
            continue
        match element:
            case Chain(elements=inner):
                return limiter_of(inner)
            case Parallel(branches=branches):
                return limiter_of(branches)
        return element
    return None


def is_bare(chain: Chain) -> bool:
    """Whether `chain` has an LED and nothing that limits its current."""
    return limits(chain) is False and bool(_leds(chain))


def _in_chain(chain: Chain, outer: Element | None) -> Iterator[SharedLimiter]:
    limiter = limiter_of(chain.elements) or outer
    for element in chain.elements:
        match element:
            case Chain():
                yield from _in_chain(element, limiter)
            case Parallel(branches=branches):
                yield from _side_by_side(branches, limiter)
                for branch in branches:
                    yield from _in_chain(branch, limiter)


def _side_by_side(branches: tuple[Chain, ...], limiter: Element | None) -> Iterator[SharedLimiter]:
    bare = [branch for branch in branches if is_bare(branch)]
    unread = [branch for branch in branches if limits(branch) is None]
    leds = tuple(led for branch in bare for led in _leds(branch))
    if len(bare) > 1:
        yield SharedLimiter(limiter, leds)
    elif unread and len(bare) + len(unread) > 1:
        yield SharedLimiter(limiter, leds, unread[0])


def _leds(chain: Chain) -> list[PlacedLamp]:
    return [lamp for lamp in placed_lamps(chain) if isinstance(lamp_kind(lamp), Led)]
