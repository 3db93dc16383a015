"""What a voltmeter shows across each element of an output, as planned and with one thing wrong on the bench.

Plain volts and amperes, by the same solver as all else. Knows no keys and no words.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf
from typing import Literal

from lampwright.analysis.electrical import electrical_facts, output_facts
from lampwright.analysis.electrical.facts import ElementFacts, OutputFacts, Range, Undetermined
from lampwright.analysis.returns import uses_common
from lampwright.model.circuit import Chain, Driver, Element, Led, Parallel, PlacedLamp, Resistor, lamp_kind, leaves
from lampwright.model.lighting import LightingPlan, Output
from lampwright.model.values import Figure
from lampwright.records import dataclass, replace
from lampwright.text import Span

METER = 10e6
"""Ohms of a usual digital voltmeter (common practice). Across a gap it closes the circuit, so that an LED in series
takes some volts of what is left for the meter."""

FAINT = 100e-6
"""Amperes below which such a meter, at 20 V, takes more than a fiftieth of what flows: then it is computed with."""

MOST_ELEMENTS = 8
"""In one circuit, for faults to be computed: more would make a table that nobody searches."""

Wrong = Literal["open", "bridged", "turned", "tenfold", "tenth"]
"""Of one element: no way through, a way around it, the wrong way round, and a resistor ten times too large or small, as
when one colour band is misread."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with the element number `place`: usual volts and amperes of every element then, in their order.

    `total` are the amperes of the output. Unlimited ones are `math.inf`.
    """

    wrong: Wrong
    place: int
    voltages: tuple[float, ...]
    currents: tuple[float, ...]
    total: float


@dataclass(frozen=True, slots=True)
class Readings:
    """One output, fully on and alone: its elements in reading order, the first `in_lead` of them in the common lead.

    `supply` are the volts from the common, or the rail, to the output while it is on. `is_measured` where readings
    count for any of this.
    """

    output: Output
    supply: Range
    current: Range
    elements: tuple[ElementFacts, ...]
    in_lead: int
    faults: tuple[Fault, ...]
    is_measured: bool = False


def readings(plan: LightingPlan, facts: OutputFacts) -> Readings | Undetermined:
    """What is to be read at the output of `facts`, which is one of `plan`."""
    bench = _Bench(plan, facts.output)
    lead = bench.lead_facts(plan)
    if isinstance(lead, Undetermined):
        return lead
    elements = (*lead, *facts.elements)
    is_small = 0 < len(elements) <= MOST_ELEMENTS
    faults = tuple(_faults(bench, elements)) if is_small else ()
    is_measured = facts.output.measured is not None or any(each.basis not in (None, "bounded") for each in elements)
    return Readings(facts.output, facts.supply, facts.current, elements, len(lead), faults, is_measured)


def _faults(bench: _Bench, elements: Sequence[ElementFacts]) -> Iterator[Fault]:
    for place, facts in enumerate(elements):
        for wrong, instead in _instead(facts.element):
            found = bench.solved({place: instead})
            if found is None:
                continue
            currents = tuple(each.current.usual for each in found[1])
            voltages = tuple(bench.read(number, place, instead, found[1]) for number in range(len(elements)))
            yield Fault(wrong, place, voltages, currents, found[0])


def _instead(element: Element) -> Iterator[tuple[Wrong, Element]]:
    """What is there in the place of `element` with one thing wrong, the likeliest first."""
    if isinstance(element, Driver):
        # One that does not switch is an output that is off; what one drops is little beside all else.
        return
    if isinstance(element, PlacedLamp) and isinstance(lamp_kind(element), Led) and element.reversed:
        yield "turned", replace(element, reversed=False)
    else:
        # The wrong way round an LED or a diode lets nothing through, so that it reads as an open one does.
        yield "open", _ohms(element.span, inf)
    if not _is_wire(element):
        yield "bridged", _ohms(element.span, 0.0)
    if isinstance(element, Resistor) and not _is_wire(element):
        yield "tenfold", replace(element, resistance=_scaled(element.resistance, 10.0))
        yield "tenth", replace(element, resistance=_scaled(element.resistance, 0.1))


def _is_wire(element: Element) -> bool:
    return isinstance(element, Resistor) and element.resistance.usual == 0.0


def _ohms(span: Span, ohms: float) -> Resistor:
    return Resistor(span, Figure.exact(ohms), None)


def _scaled(figure: Figure, factor: float) -> Figure:
    return Figure(figure.lowest * factor, figure.usual * factor, figure.highest * factor)


class _Bench:
    """One output and its common lead, to be solved again and again with something in the place of an element."""

    def __init__(self, plan: LightingPlan, output: Output) -> None:
        assert output.circuit is not None
        self._plan, self._output, self._circuit = plan, output, output.circuit
        lead = plan.common_circuit
        self._lead = lead if lead is not None and lead.elements and uses_common(output.circuit) else None
        self._in_lead = sum(1 for _ in leaves(self._lead)) if self._lead is not None else 0

    def lead_facts(self, plan: LightingPlan) -> tuple[ElementFacts, ...] | Undetermined:
        """The elements of the common lead with this output on alone; none where it does not matter."""
        if self._lead is None:
            return ()
        found = electrical_facts(plan).shared([self._output.name])
        return found if isinstance(found, Undetermined) else found.elements

    def solved(self, instead: dict[int, Element]) -> tuple[float, tuple[ElementFacts, ...]] | None:
        """Usual amperes of the output, and its elements; None if that cannot be told."""
        numbers = iter(range(10**6))
        lead = _replaced(self._lead, instead, numbers) if self._lead is not None else self._plan.common_circuit
        # What was measured was measured of the circuit as it is.
        output = replace(self._output, circuit=_replaced(self._circuit, instead, numbers), measured=None)
        of_lead = self._plan.common_measured
        plan = replace(
            self._plan,
            common_circuit=lead,
            common_measured=of_lead.of_supply if of_lead is not None else None,
            outputs={output.name: output},
        )
        found, before = output_facts(plan, output), self.lead_facts(plan)
        if isinstance(found, Undetermined) or isinstance(before, Undetermined):
            return None
        return found.current.usual, (*before, *found.elements)

    def read(self, number: int, place: int, instead: Element, found: Sequence[ElementFacts]) -> float:
        """Volts that the meter shows across element `number` with `instead` in the place of another, or of itself."""
        facts = found[number]
        if facts.current.usual >= FAINT:
            return facts.voltage.usual
        probed = instead if number == place else facts.element
        beside = Parallel(probed.span, tuple(Chain(probed.span, (each,)) for each in (probed, _meter(probed.span))))
        measured = self.solved({place: instead, number: beside})
        # Of the two side by side the first is the element.
        return measured[1][number].voltage.usual if measured is not None else facts.voltage.usual


def _meter(span: Span) -> Resistor:
    return _ohms(span, METER)


def _replaced(chain: Chain, instead: dict[int, Element], numbers: Iterator[int]) -> Chain:
    """`chain` with other elements in some places; places are counted in reading order."""
    return replace(chain, elements=tuple(_element(each, instead, numbers) for each in chain.elements))


def _element(element: Element, instead: dict[int, Element], numbers: Iterator[int]) -> Element:
    match element:
        case Chain():
            return _replaced(element, instead, numbers)
        case Parallel(branches=branches):
            return replace(element, branches=tuple(_replaced(each, instead, numbers) for each in branches))
    return instead.get(next(numbers), element)
