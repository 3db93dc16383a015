"""The facts of an output at which something was measured: the readings count, and the rest is computed around them.

A measured voltage is what feeds the circuit. A measured current, or the volts across a resistor that all of it flows
through, drives the circuit, whatever feeds it. The volts across a lamp are its own. Only what is on all the time can be
read off a meter, so that nothing counts that was measured where anything returns to a rail.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from lampwright.analysis.electrical import output_facts
from lampwright.analysis.electrical.characteristics import RISE
from lampwright.analysis.electrical.facts import (
    Corner,
    Corners,
    ElementFacts,
    OutputFacts,
    Range,
    Undetermined,
)
from lampwright.analysis.electrical.supply import CommonSupply, common_supply
from lampwright.analysis.electrical.weakness import LawfulElement
from lampwright.model.circuit import (
    Board,
    Bulb,
    Chain,
    Element,
    Lamp,
    Led,
    Parallel,
    PlacedLamp,
    Regulator,
    Resistor,
    Unreadable,
    lamp_kind,
    leaves,
    returns_to_rail,
)
from lampwright.model.defaults import TEST_CURRENT
from lampwright.model.lighting import LightingPlan, Output, Supply
from lampwright.model.measured import Across
from lampwright.model.values import Figure
from lampwright.records import dataclass, replace

_NO_FACTS = (Chain, Parallel, Unreadable)

DRIVING = 200.0
"""Volts behind the regulator that stands for a measured current: more than any circuit of a model can need."""


def facts_as_built(plan: LightingPlan, output: Output) -> OutputFacts | Undetermined:
    """The facts of `output`, at which something was measured."""
    circuit, readings = output.circuit, output.measured
    planned = replace(output, measured=None)
    if circuit is None or readings is None or returns_to_rail(circuit):
        return _named(output_facts(plan, planned), output)
    voltage = readings.voltage if readings.voltage is not None and readings.voltage.usual > 0 else None
    if voltage is not None:
        plan = replace(plan, supply=Supply(plan.supply.track, voltage), common_measured=None)
    built = _Built(plan, output, circuit, {id(part): each.voltage for part, each in read_across(plan, output)})
    facts = built.driven() or built.fed()
    if isinstance(facts, OutputFacts) and facts.basis is None and voltage is not None:
        elements = tuple([replace(each, basis=voltage) for each in facts.elements])
        facts = replace(facts, basis=voltage, elements=elements)
    return _named(facts, output)


def read_across(plan: LightingPlan, output: Output) -> Iterator[tuple[LawfulElement, Across]]:
    """Each reading across an element of the circuit or of the common lead; not one that fits none or several."""
    for across in output.measured.across if output.measured is not None else ():
        found = elements_named([output.circuit, plan.common_circuit], across)
        if len(found) == 1 and across.voltage.usual > 0:
            yield found[0], across


def elements_named(chains: Iterable[Chain | None], across: Across) -> list[LawfulElement]:
    """The elements of these circuits that a reading may be of."""
    parts = [part for chain in chains if chain is not None for part in leaves(chain)]
    if across.ohms is None:
        return [part for part in parts if isinstance(part, PlacedLamp) and part.name == across.name.text]
    resistors = [part for part in parts if isinstance(part, Resistor)]
    return [part for part in resistors if abs(part.resistance.usual - across.ohms) <= 1e-9 * across.ohms]


def _named(facts: OutputFacts | Undetermined, output: Output) -> OutputFacts | Undetermined:
    """As facts of `output` itself, not of the one with its readings left out."""
    return replace(facts, output=output)


@dataclass(frozen=True, slots=True)
class _Built:
    """One circuit with the volts across its elements by their identity."""

    plan: LightingPlan
    output: Output
    circuit: Chain
    across: Mapping[int, Figure]

    # --- Where the current is known -----------------------------------------------------------------------------------

    def driven(self) -> OutputFacts | Undetermined | None:
        """By the current that was measured; None where none was, or where the circuit leaves no room for it."""
        current = self._current()
        if current is None:
            return None
        open_ended = [part for part in in_series(self.circuit) if self._is_open_ended(part)]
        if len(open_ended) > 1:
            return None
        # An element that takes what the others leave is a wire for as long as it takes to find out what that is.
        wires = {id(part): Resistor(part.span, Figure.exact(0.0), None) for part in open_ended}
        found = self._driven_by(current, wires, {})
        if isinstance(found, OutputFacts) and self.across:
            found = self._driven_by(current, wires, self._flows(found))
        return found if isinstance(found, Undetermined) else self._as_driven(found, current, open_ended)

    def _current(self) -> Figure | None:
        readings = self.output.measured
        if readings is not None and readings.current is not None:
            return readings.current if readings.current.usual > 0 else None
        lead = self.plan.common_circuit
        parts = [*in_series(self.circuit), *(in_series(lead) if lead is not None else ())]
        of_resistors = (_by_ohm(part, self.across[id(part)]) for part in parts if id(part) in self.across)
        return next((current for current in of_resistors if current is not None), None)

    def _is_open_ended(self, part: Element) -> bool:
        """Whether no law, or no good one, says which voltage `part` takes at a current."""
        is_unknown = isinstance(part, PlacedLamp) and part.lamp is not None and part.lamp.kind is None
        return id(part) not in self.across and (is_unknown or isinstance(part, Regulator | Board))

    def _driven_by(
        self, current: Figure, wires: Mapping[int, Element], flows: Mapping[int, float]
    ) -> OutputFacts | Undetermined:
        # Behind so many volts a regulator lets a little more through than it is made for.
        share = 1 / (1 + RISE * DRIVING)
        limited = Figure(share * current.lowest, share * current.usual, share * current.highest, current.span)
        regulator = Regulator(self.circuit.span, limited, None)
        circuit = exchanged(self.circuit, {**wires, **self._lamps(flows, current.usual)})
        plan = replace(self.plan, supply=Supply(None, Figure.exact(DRIVING)), common_measured=None)
        return self._computed(plan, Chain(circuit.span, (*circuit.elements, regulator)))

    def _as_driven(self, found: OutputFacts, current: Figure, open_ended: Sequence[Element]) -> OutputFacts:
        *elements, regulator = found.elements
        # All but what the regulator keeps from the circuit.
        left = regulator.voltage
        whole = Range(DRIVING - left.highest, DRIVING - left.usual, DRIVING - left.lowest)
        fed = common_supply(self.plan, (self.output.name,))
        supply = fed.voltage if isinstance(fed, CommonSupply) else None
        flows, in_row = Range(current.lowest, current.usual, current.highest), set(map(id, in_series(self.circuit)))
        told = []
        for before, each in self._with_parts(replace(found, elements=tuple(elements))):
            if any(before is part for part in open_ended):
                if supply is None:
                    continue
                rest = _minus(supply, whole)
                each = replace(each, voltage=rest, power=times(rest, flows))  # noqa: PLW2901
            others = 0.0
            if id(before) in in_row:
                each, others = replace(each, current=flows, of_supply=(), beside=()), whole.lowest - each.voltage.lowest  # noqa: PLW2901
            told.append(self._driven(replace(each, element=before), supply or whole, others))
        return replace(
            found,
            current=flows,
            supply=supply or whole,
            elements=tuple(told),
            forward_voltages=(),
            of_supplies=(),
            behind=(),
            basis="current",
        )

    # --- Where only the supply is -------------------------------------------------------------------------------------

    def fed(self) -> OutputFacts | Undetermined:
        """By what feeds the output, with lamps that take what was measured across them."""
        found = self._computed(self.plan, exchanged(self.circuit, self._lamps({}, TEST_CURRENT)))
        if isinstance(found, OutputFacts) and self.across:
            found = self._computed(self.plan, exchanged(self.circuit, self._lamps(self._flows(found), TEST_CURRENT)))
        if isinstance(found, Undetermined):
            return found
        own = [self._told(replace(each, element=part)) for part, each in self._with_parts(found)]
        return replace(found, elements=tuple(own))

    def _flows(self, found: OutputFacts) -> dict[int, float]:
        """The usual current of each element: the volts across a lamp are those at this, which is known only now."""
        elements = found.elements[: sum(1 for _ in leaves(self.circuit))]
        return {id(part): each.current.usual for part, each in self._with_parts(replace(found, elements=elements))}

    def _with_parts(self, found: OutputFacts) -> Iterator[tuple[LawfulElement, ElementFacts]]:
        """What is computed of each element, beside the element that it is of."""
        for part, each in zip(leaves(self.circuit), found.elements, strict=True):
            assert not isinstance(part, _NO_FACTS)
            yield part, each

    # --- What both share ----------------------------------------------------------------------------------------------

    def _computed(self, plan: LightingPlan, circuit: Chain) -> OutputFacts | Undetermined:
        return output_facts(plan, replace(self.output, circuit=circuit, measured=None))

    def _lamps(self, flows: Mapping[int, float], usual: float) -> dict[int, Element]:
        """LEDs, and lamps of which nothing is known, that take the volts measured across them, by what they stand for.

        The resistor in the lead of an LED is between the meter's tips: such an LED is left as the plan has it.
        """
        found: dict[int, Element] = {}
        for part in leaves(self.circuit):
            kind, volts = lamp_kind(part), self.across.get(id(part))
            if volts is None or not isinstance(part, PlacedLamp) or isinstance(kind, Bulb):
                continue
            if kind is None or not kind.built_in_resistor.highest:
                current = max(flows.get(id(part), usual), 1e-6)
                led = Led(volts, current, None, Figure.exact(current), Figure.exact(0.0))
                found[id(part)] = replace(part, lamp=Lamp(part.name, part.span, led))
        return found

    def _told(self, facts: ElementFacts) -> ElementFacts:
        """With the volts that were measured across it."""
        volts = self.across.get(id(facts.element))
        return facts if volts is None else with_volts(facts, volts)

    def _driven(self, facts: ElementFacts, supply: Range, others: float) -> ElementFacts:
        """The same, and never with more volts than the supply leaves it, of which the `others` in its way take some.

        A current that does not fit the plan would else heat a resistor of the plan as no supply can.
        """
        left = supply.highest - others if 0 < others < supply.highest else supply.highest
        most = Range(left, left, left)
        facts = self._told(facts)
        return replace(
            facts,
            voltage=_least(facts.voltage, most),
            power=_least(facts.power, times(most, facts.current)),
            corners=Corners(*(Corner(each, None, None) for each in (supply.lowest, supply.usual, supply.highest))),
            basis="current",
        )


def in_series(element: Element) -> Iterator[LawfulElement]:
    """What all of the current through `element` flows through."""
    match element:
        case Chain(elements=parts):
            for part in parts:
                yield from in_series(part)
        case Parallel():
            return
        case _:
            if not isinstance(element, Unreadable):
                yield element


def _by_ohm(part: Element, volts: Figure) -> Figure | None:
    """I = V / R."""
    if not isinstance(part, Resistor) or not part.resistance.lowest:
        return None
    ohms = part.resistance
    return Figure(volts.lowest / ohms.highest, volts.usual / ohms.usual, volts.highest / ohms.lowest, volts.span)


def with_volts(facts: ElementFacts, volts: Figure) -> ElementFacts:
    """The same with the volts that were measured across it, and of a resistor the current by them if that is closer."""
    voltage = Range(volts.lowest, volts.usual, volts.highest)
    by_ohm = _by_ohm(facts.element, volts)
    current = Range(by_ohm.lowest, by_ohm.usual, by_ohm.highest) if by_ohm is not None else facts.current
    if facts.current.highest - facts.current.lowest < current.highest - current.lowest:
        current = facts.current
    others = tuple(element for element in facts.beside if element is not facts.element)
    return replace(facts, current=current, voltage=voltage, power=times(voltage, current), beside=others)


def exchanged(chain: Chain, parts: Mapping[int, Element]) -> Chain:
    """`chain` with other elements in the place of some, which are known by identity."""
    return replace(chain, elements=tuple(_swapped(element, parts) for element in chain.elements))


def _swapped(element: Element, parts: Mapping[int, Element]) -> Element:
    match element:
        case Chain():
            return exchanged(element, parts)
        case Parallel(branches=branches):
            return replace(element, branches=tuple(exchanged(branch, parts) for branch in branches))
    return parts.get(id(element), element)


def times(one: Range, other: Range) -> Range:
    """Volts times amperes, say, end by end."""
    return Range(one.lowest * other.lowest, one.usual * other.usual, one.highest * other.highest)


def _minus(one: Range, other: Range) -> Range:
    ends = (one.lowest - other.highest, one.usual - other.usual, one.highest - other.lowest)
    low, usual, high = (max(end, 0.0) for end in ends)
    return Range(low, usual, high)


def _least(one: Range, most: Range) -> Range:
    return Range(min(one.lowest, most.lowest), min(one.usual, most.usual), min(one.highest, most.highest))
