"""Where each lamp returns to, the common or a rail, and which ways join the two while an output is off.

By the wiring alone: nothing is computed, and what a diode or an LED lets through backwards is nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice

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
    lamp_kind,
    leaves,
)
from lampwright.model.lighting import LightingPlan, Output
from lampwright.records import dataclass


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


MOST_ELEMENTS = 1000
"""In one circuit: many times what a model has room for. Ways are looked for in the square of it, a second at most."""


@dataclass(frozen=True, slots=True)
class SneakPath:
    """A way from the common to a rail that stays when the output is off: forwards through one branch, back by another.

    `rail` is the chain that returns to a rail. `lamps` are those on the way, in reading order, `against` the LEDs among
    them that hold the current off; without any it flows. `lack` is the element of which nobody can tell what it lets
    through, None if all can be told.
    """

    rail: Chain
    lamps: tuple[PlacedLamp, ...]
    against: tuple[PlacedLamp, ...]
    lack: Element | None = None

    @property
    def glows(self) -> bool:
        """Whether a current flows through lamps on it, so that nobody knows how many volts are left beside it."""
        return self.lack is None and bool(self.lamps) and not self.against


def sneak_paths(plan: LightingPlan, output: Output) -> Iterator[SneakPath]:
    """The ways in the circuit of `output`, one at most for each chain in it that returns to a rail.

    In a circuit of more than MOST_ELEMENTS nothing is looked for: one way is given that lacks the circuit itself.
    """
    if output.circuit is None or output.circuit.rail_span is not None:
        return
    if output.circuit.leaves is output.circuit.elements:
        # Most have nothing side by side.
        return
    if sum(1 for _ in islice(leaves(output.circuit), MOST_ELEMENTS + 1)) > MOST_ELEMENTS:
        yield from (SneakPath(rail, (), (), output.circuit) for rail in islice(rail_chains(output.circuit), 1))
        return
    lead = plan.common_circuit.elements if plan.common_circuit is not None else ()
    for rail, joints in _rails(output.circuit, lead, (), ()):
        if (path := _best(_paths(rail, joints))) is not None:
            yield path


def _best(paths: Iterable[SneakPath]) -> SneakPath | None:
    """The first one that can be told, else the first."""
    doubtful = None
    for path in paths:
        if path.lack is None:
            return path
        doubtful = doubtful or path
    return doubtful


@dataclass(frozen=True, slots=True)
class _Joint:
    """The lower end of a parallel, where its branches meet, as seen from one of them.

    `before` is what is in series before the parallel, None where that is fed from a rail itself; `after` is what is
    behind it up to the next joint or the output.
    """

    parallel: Parallel
    branch: Chain
    before: tuple[Element, ...] | None
    after: tuple[Element, ...]


def _rails(
    chain: Chain, before: tuple[Element, ...] | None, after: tuple[Element, ...], outer: tuple[_Joint, ...]
) -> Iterator[tuple[Chain, tuple[_Joint, ...]]]:
    """Each chain in `chain` that returns to a rail, with the joints on its way to the output, the nearest first."""
    for index, element in enumerate(chain.elements):
        above = (*before, *chain.elements[:index]) if before is not None else None
        below = (*chain.elements[index + 1 :], *after)
        if isinstance(element, Chain):
            yield from _rails(element, above, below, outer)
        elif isinstance(element, Parallel):
            for branch in element.branches:
                joints = (_Joint(element, branch, above, below), *outer)
                if branch.rail_span is not None:
                    yield branch, joints
                yield from _rails(branch, above if branch.rail_span is None else None, (), joints)


def _paths(rail: Chain, joints: tuple[_Joint, ...]) -> Iterator[SneakPath]:
    """By way of each joint: forwards through another branch that hangs on the common, and back to the rail."""
    back = rail.elements
    for joint in joints:
        others = [branch for branch in joint.parallel.branches if branch is not joint.branch and uses_common(branch)]
        feeds = [(*joint.before, branch) for branch in others] if joint.before is not None else []
        is_open = not _is_blocked(back, back=True)
        yield from (_path(rail, feed, back) for feed in feeds if is_open and not _is_blocked(feed, back=False))
        back = (*back, *joint.after)


def _path(rail: Chain, feed: tuple[Element, ...], back: tuple[Element, ...]) -> SneakPath:
    is_held_off = any(map(_holds_off, back))
    leds = tuple(lamp for lamp in _lamps(back) if _is_led(lamp))
    # Beside a resistor an LED holds nothing off; the current passes it by.
    returning = tuple(lamp for lamp in _lamps(back) if is_held_off or lamp not in leds)
    lacks = (*_unknown(feed, back=False), *_unknown(back, back=True))
    return SneakPath(rail, (*_lamps(feed), *returning), leds if is_held_off else (), next(iter(lacks), None))


def _in_series(elements: Iterable[Element]) -> Iterator[Element]:
    """Every element that a current through all of `elements` may pass; a branch that returns to a rail is no way on."""
    for element in elements:
        inner = [chain for chain in chains_below(element) if chain.rail_span is None]
        if not inner or any(not chain.elements for chain in inner):
            yield element
        for chain in inner:
            yield from _in_series(chain.elements)


def _lamps(elements: Iterable[Element]) -> Iterator[PlacedLamp]:
    return (element for element in _in_series(elements) if isinstance(element, PlacedLamp))


def _is_blocked(elements: Iterable[Element], *, back: bool) -> bool:
    return any(_blocks(element, back=back) for element in elements)


def _blocks(element: Element, *, back: bool) -> bool:
    """Whether nothing passes: a driver is off with its output, a diode holds off what comes back."""
    match element:
        case Driver():
            return True
        case Diode():
            return back
        case Chain(elements=elements):
            return _is_blocked(elements, back=back)
        case Parallel(branches=branches) if branches:
            return all(branch.rail_span is not None or _blocks(branch, back=back) for branch in branches)
    return False


def _holds_off(element: Element) -> bool:
    """Whether LEDs let nothing back through `element`."""
    match element:
        case PlacedLamp():
            return _is_led(element)
        case Diode() | Driver():
            return True
        case Chain(elements=elements):
            return any(map(_holds_off, elements))
        case Parallel(branches=branches) if branches:
            return all(branch.rail_span is not None or _holds_off(branch) for branch in branches)
    return False


def _unknown(elements: Iterable[Element], *, back: bool) -> Iterator[Element]:
    """What nobody can tell of: elements that could not be read, reversed LEDs, a board or a regulator backwards."""
    for element in _in_series(elements):
        match element:
            case Unreadable() | Chain() | Parallel():
                yield element
            case PlacedLamp(reversed=is_reversed) if lamp_kind(element) is None or (is_reversed and _is_led(element)):
                yield element
            case Board() | Regulator() if back:
                yield element


def _is_led(lamp: PlacedLamp) -> bool:
    return isinstance(lamp_kind(lamp), Led)
