"""Whether anything limits the current of each LED, by the wiring alone: nothing is computed.

What limits stands in series on the LED's own way from the common to the output, the common lead included; a plain diode
does not, nor does anything beside that way.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from lampwright.analysis.law import lamp_kind
from lampwright.analysis.outside import Lack, first_unreadable
from lampwright.analysis.rewiring import Gap
from lampwright.model.circuit import Bulb, Chain, Element, Led, Parallel, PlacedLamp, Regulator, Resistor, Unreadable
from lampwright.model.lighting import LightingPlan, Output


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


def led_protections(plan: LightingPlan) -> Iterator[LedProtection]:
    """One for each LED of the outputs, in order, then of the common lead."""
    for output in plan.outputs.values():
        if output.circuit is not None:
            yield from output_protections(plan, output)
    if plan.common_circuit is not None:
        yield from _in_chain(plan.common_circuit, (_all_circuits(plan),), None)


def output_protections(plan: LightingPlan, output: Output) -> Iterator[LedProtection]:
    """One for each LED in the circuit of `output`, none where that circuit could not be read."""
    lead = Unreadable(output.span) if plan.common_circuit is None else plan.common_circuit
    return _in_chain(output.circuit, (lead,), output) if output.circuit is not None else iter(())


def _all_circuits(plan: LightingPlan) -> Parallel:
    """What is behind the common lead. An output with nothing on it is no way."""
    circuits = (output.circuit or Chain(output.span, (Unreadable(output.span),)) for output in plan.outputs.values())
    return Parallel(plan.span, tuple(circuit for circuit in circuits if circuit.elements))


def _in_chain(chain: Chain, outside: tuple[Element, ...], output: Output | None) -> Iterator[LedProtection]:
    # What limits one LED of a chain limits all of them.
    is_protected = _any_limits((*chain.elements, *outside))
    unreadable = map(first_unreadable, (*chain.elements, *outside))
    lack = next(filter(None, unreadable), None) if is_protected is None else None
    for index, element in enumerate(chain.elements):
        if isinstance(element, PlacedLamp) and isinstance(lamp_kind(element), Led):
            yield LedProtection(output, element, is_protected, Gap(chain, index), lack)
        inner = _chains_in(element)
        others = (*chain.elements[:index], *chain.elements[index + 1 :], *outside) if inner else ()
        for chain_in_it in inner:
            yield from _in_chain(chain_in_it, others, output)


def _chains_in(element: Element) -> tuple[Chain, ...]:
    match element:
        case Chain():
            return (element,)
        case Parallel(branches=branches):
            return branches
    return ()


def _any_limits(elements: tuple[Element, ...]) -> bool | None:
    answers = [_limits(element) for element in elements]
    return True if True in answers else None if None in answers else False


def _limits(element: Element) -> bool | None:
    """Whether `element` limits the current through itself; None where that could not be read."""
    match element:
        case Resistor(resistance=resistance):
            return resistance.usual > 0
        case Regulator():
            return True
        case PlacedLamp():
            return _lamp_limits(lamp_kind(element))
        case Chain(elements=elements):
            return _any_limits(elements)
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
    answers = [_limits(branch) if branch.elements else None for branch in branches] or [None]
    return False if False in answers else None if None in answers else True
