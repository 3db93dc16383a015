"""Whether anything limits the current of each LED, by the wiring alone: nothing is computed.

What limits stands in series on the LED's own way from the common to the output, the common lead included; a plain diode
does not, nor does anything beside that way.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import accumulate

from lampwright.analysis.electrical.outside import Lack, first_unreadable
from lampwright.analysis.resistors.rewiring import Gap
from lampwright.model.circuit import (
    Bulb,
    Chain,
    Element,
    Led,
    Parallel,
    PlacedLamp,
    Regulator,
    Resistor,
    Unreadable,
    lamp_kind,
)
from lampwright.model.lighting import LightingPlan, Output
from lampwright.records import dataclass


@dataclass(frozen=True, slots=True)
class LedProtection:
    """One LED in a circuit. `is_protected` is None where only what could not be read may protect it: see `lack`.

    `gap` is where a resistor of its own can be put in. `output` is None for an LED in the common lead.
    """

    output: Output | None
    led: PlacedLamp
    is_protected: bool | None
    gap: Gap
    lack: Lack | None = None


def _anew(_: Output, make: Callable[[], tuple[LedProtection, ...]]) -> tuple[LedProtection, ...]:
    return make()


def led_protections(
    plan: LightingPlan,
    once: Callable[[Output, Callable[[], tuple[LedProtection, ...]]], tuple[LedProtection, ...]] = _anew,
) -> Iterator[LedProtection]:
    """One for each LED of the outputs, in order, then of the common lead.

    `once` may know those of an output already, and need not make them.
    """
    lead = _rest(plan.common_circuit) if plan.common_circuit is not None else None
    for output in plan.outputs.values():
        yield from once(output, lambda: tuple(_behind(lead, output)))  # noqa: B023  # is called at once or never
    if plan.common_circuit is not None and plan.common_circuit.lamps:
        yield from _in_chain(plan.common_circuit, _rest(_all_circuits(plan)), None)


def output_protections(plan: LightingPlan, output: Output) -> Iterator[LedProtection]:
    """One for each LED in the circuit of `output`, none where that circuit could not be read."""
    return _behind(_rest(plan.common_circuit) if plan.common_circuit is not None else None, output)


def _behind(lead: _Rest | None, output: Output) -> Iterator[LedProtection]:
    """The same, given the common lead; None where that could not be read."""
    if output.circuit is not None:
        yield from _in_chain(output.circuit, lead or _rest(Unreadable(output.span)), output)


def _all_circuits(plan: LightingPlan) -> Parallel:
    """What is behind the common lead. An output with nothing on it is no way."""
    circuits = (output.circuit or Chain(output.span, (Unreadable(output.span),)) for output in plan.outputs.values())
    return Parallel(plan.span, tuple(circuit for circuit in circuits if circuit.elements))


@dataclass(frozen=True, slots=True)
class _Rest:
    """Something in series with a chain: whether it limits the current, and the first of it that could not be read."""

    limits: bool | None
    lack: Lack | None


def _rest(element: Element) -> _Rest:
    # A resistor and a lamp with data can be read as they are.
    if isinstance(element, Resistor):
        return _Rest(element.resistance.usual > 0, None)
    kind = lamp_kind(element)
    return _Rest(limits(element), first_unreadable(element)) if kind is None else _Rest(_lamp_limits(kind), None)


def _both(one: _Rest, other: _Rest) -> _Rest:
    limits = True if one.limits or other.limits else one.limits if one.limits is None else other.limits
    return _Rest(limits, one.lack or other.lack)


def _in_chain(chain: Chain, outside: _Rest, output: Output | None) -> Iterator[LedProtection]:
    # Each element is asked once, not once for each other one: a circuit may be written without measure.
    rests = [_rest(element) for element in chain.elements]
    is_nested = chain.leaves is not chain.elements
    before = list(accumulate(rests, _both, initial=_Rest(limits=False, lack=None))) if is_nested else []
    after = list(accumulate(reversed(rests), lambda rest, element: _both(element, rest), initial=outside))[::-1]
    # What limits one LED of a chain limits all of them.
    way = after[0]
    for index, element in enumerate(chain.elements):
        if isinstance(element, PlacedLamp) and isinstance(lamp_kind(element), Led):
            lack = way.lack if way.limits is None else None
            yield LedProtection(output, element, way.limits, Gap(chain, index), lack)
        for inner in _chains_in(element) if is_nested else ():
            yield from _in_chain(inner, _both(before[index], after[index + 1]), output)


def _chains_in(element: Element) -> tuple[Chain, ...]:
    match element:
        case Chain():
            return (element,)
        case Parallel(branches=branches):
            return branches
    return ()


def _any(answers: Iterable[bool | None]) -> bool | None:
    given = set(answers)
    return True if True in given else None if None in given else False


def limits(element: Element) -> bool | None:
    """Whether `element` limits the current through itself; None where that could not be read."""
    match element:
        case Resistor(resistance=resistance):
            return resistance.usual > 0
        case Regulator():
            return True
        case PlacedLamp():
            return _lamp_limits(lamp_kind(element))
        case Chain(elements=elements):
            return _any(map(limits, elements))
        case Parallel(branches=branches):
            return _all_limit(branches)
        case Unreadable():
            return None
    return False


def _lamp_limits(kind: Led | Bulb | None) -> bool | None:
    match kind:
        case Led(built_in_resistor=resistance):
            return resistance.usual > 0
        case Bulb():
            return True
    return None


def _all_limit(branches: tuple[Chain, ...]) -> bool | None:
    """A branch with nothing in it, or no branch at all, says neither wire nor gap."""
    answers = [limits(branch) if branch.elements else None for branch in branches] or [None]
    return False if False in answers else None if None in answers else True
