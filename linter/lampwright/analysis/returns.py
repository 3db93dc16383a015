"""Where each lamp returns to, the common or a rail, and which ways join the two while an output is off.

By the wiring alone: nothing is computed, and what a diode or an LED lets through backwards is nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from lampwright.analysis.law import lamp_kind
from lampwright.model.circuit import (
    Board,
    Chain,
    Diode,
    Driver,
    Element,
    Led,
    Parallel,
    PlacedLamp,
    Regulator,
    Unreadable,
    placed_lamps,
)
from lampwright.model.lighting import LightingPlan, Output


def circuits(plan: LightingPlan) -> Iterator[tuple[Output | None, Chain]]:
    """Each circuit that could be read, with its output; the common lead, which has none, comes last."""
    for output in plan.outputs.values():
        if output.circuit is not None:
            yield output, output.circuit
    if plan.common_circuit is not None:
        yield None, plan.common_circuit


def chains_below(element: Element) -> Iterator[Chain]:
    """The chains directly in `element`: itself if it is one, the branches of a parallel."""
    match element:
        case Chain():
            yield element
        case Parallel(branches=branches):
            yield from branches


def uses_common(chain: Chain) -> bool:
    """Whether `chain` hangs on the common wire: by its first element, unless that returns to a rail itself."""
    if chain.rail_span is not None or not chain.elements:
        return False
    inner = tuple(chains_below(chain.elements[0]))
    return any(map(uses_common, inner)) if inner else True


def rail_chains(chain: Chain) -> Iterator[Chain]:
    """The outermost chains that return to a rail, in reading order: `chain` itself, or what is inside it."""
    if chain.rail_span is not None:
        yield chain
        return
    for element in chain.elements:
        for inner in chains_below(element):
            yield from rail_chains(inner)


# --- Ways between the common and a rail -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class SneakPath:
    """A way from the common to a rail that stays when the output is off: forwards through one branch, back by another.

    `rail` is the chain that returns to a rail. `lamps` are those on the way, in reading order, `against` the LEDs among
    them that stand against the voltage there; without any a current flows. `lack` is the element of which nobody can
    tell what it lets through, None if all can be told.
    """

    rail: Chain
    lamps: tuple[PlacedLamp, ...]
    against: tuple[PlacedLamp, ...]
    lack: Element | None = None


def sneak_paths(plan: LightingPlan, output: Output) -> Iterator[SneakPath]:
    """The ways in the circuit of `output`, one for each parallel in which two returns meet."""
    if output.circuit is not None and output.circuit.rail_span is None:
        lead = plan.common_circuit.elements if plan.common_circuit is not None else ()
        yield from _meeting(output.circuit, lead)


def _meeting(chain: Chain, before: tuple[Element, ...]) -> Iterator[SneakPath]:
    for index, element in enumerate(chain.elements):
        way = (*before, *chain.elements[:index])
        if isinstance(element, Parallel) and (path := _joined(element, way)) is not None:
            yield path
        for inner in chains_below(element):
            if inner.rail_span is None:
                yield from _meeting(inner, way)


def _joined(parallel: Parallel, before: tuple[Element, ...]) -> SneakPath | None:
    feeds = [_Way((*before, branch), None) for branch in parallel.branches if uses_common(branch)]
    returns = [way for branch in parallel.branches for way in _rail_ways(branch)]
    feed, back = _open_way(feeds), _open_way(returns)
    if feed is None or back is None or back.rail is None:
        return None
    leds = tuple(lamp for lamp in back.lamps() if _is_led(lamp))
    is_held_off = any(map(_holds_off, back.elements))
    # Beside a resistor an LED holds nothing off; the current passes it by.
    lamps = (*feed.lamps(), *(lamp for lamp in back.lamps() if is_held_off or lamp not in leds))
    return SneakPath(back.rail, lamps, leds if is_held_off else (), feed.lack() or back.lack())


@dataclass(frozen=True, slots=True)
class _Way:
    """What a current passes on the way from the common, or, where `rail` is the chain that returns there, to a rail."""

    elements: tuple[Element, ...]
    rail: Chain | None

    def lamps(self) -> Iterator[PlacedLamp]:
        return (lamp for element in self.elements for lamp in placed_lamps(element))

    def is_blocked(self) -> bool:
        return any(_blocks(element, back=self.rail is not None) for element in self.elements)

    def lack(self) -> Element | None:
        return next(_unknown(self.elements, back=self.rail is not None), None)


def _open_way(ways: Iterable[_Way]) -> _Way | None:
    """The first one that nothing blocks; one that nobody can tell of only where there is no other."""
    unblocked = (way for way in ways if not way.is_blocked())
    return min(unblocked, key=lambda way: way.lack() is not None, default=None)


def _rail_ways(chain: Chain) -> Iterator[_Way]:
    """For each chain in `chain` that feeds it from a rail: itself, and what the current passes below it."""
    if chain.rail_span is not None:
        yield _Way(chain.elements, chain)
    elif chain.elements and not uses_common(chain):
        for inner in chains_below(chain.elements[0]):
            for way in _rail_ways(inner):
                yield _Way((*way.elements, *chain.elements[1:]), way.rail)


def _blocks(element: Element, *, back: bool) -> bool:
    """Whether nothing passes: a driver is off with its output, a diode holds off what comes back."""
    match element:
        case Driver():
            return True
        case Diode():
            return back
        case Chain(elements=elements):
            return any(_blocks(each, back=back) for each in elements)
        case Parallel(branches=branches) if branches:
            return all(_blocks(branch, back=back) for branch in branches)
    return False


def _holds_off(element: Element) -> bool:
    """Whether LEDs let nothing back through `element`."""
    match element:
        case PlacedLamp():
            return _is_led(element)
        case Chain(elements=elements):
            return any(map(_holds_off, elements))
        case Parallel(branches=branches) if branches:
            return all(map(_holds_off, branches))
    return False


def _unknown(elements: Iterable[Element], *, back: bool) -> Iterator[Element]:
    """What nobody can tell of: elements that could not be read, reversed LEDs, a board or a regulator backwards."""
    for element in elements:
        match element:
            case Unreadable() | PlacedLamp(lamp=None) | Chain(elements=()) | Parallel(branches=()):
                yield element
            case PlacedLamp(reversed=is_reversed) if lamp_kind(element) is None or (is_reversed and _is_led(element)):
                yield element
            case Board() | Regulator() if back:
                yield element
            case Chain() | Parallel():
                for inner in chains_below(element):
                    yield from _unknown(inner.elements or (inner,), back=back)


def _is_led(lamp: PlacedLamp) -> bool:
    return isinstance(lamp_kind(lamp), Led)
