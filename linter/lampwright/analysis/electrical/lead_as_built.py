"""The common lead as it was measured: by the readings in their own state, elsewhere within what they leave open.

An output that comes on adds no more than it draws alone, since behind a lead each takes from the others, and no less
than nothing. So a measured current bounds that of every other state: itself with all that comes on, itself without all
that goes off. A bound counts where it is closer than the plan's.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from math import inf

from lampwright.analysis.electrical import ElectricalFacts, common_facts
from lampwright.analysis.electrical.built import facts_as_built, times, with_volts
from lampwright.analysis.electrical.facts import Basis, CommonFacts, ElementFacts, OutputFacts, Range, Undetermined
from lampwright.analysis.electrical.outside import Lack
from lampwright.analysis.electrical.read_at_output import Named
from lampwright.analysis.electrical.read_in_lead import lead_readings, named_in_lead, names_on
from lampwright.analysis.electrical.supply import measured_common
from lampwright.model.circuit import Board, Chain, Regulator, returns_to_rail
from lampwright.model.decoder import DecoderOutput
from lampwright.model.keys import Look
from lampwright.model.lighting import LightingPlan, Output, Supply
from lampwright.model.measured import Across, Readings
from lampwright.model.values import Figure
from lampwright.records import dataclass, replace


@dataclass(frozen=True, slots=True)
class LeadAsBuilt:
    """What counts of the readings of a lead, with the outputs `on`, and what the plan comes to in that state.

    `current` is that through the lead, by a meter or by the volts across a resistor that all of it flows through; None
    where neither was measured.
    """

    facts: ElectricalFacts
    on: frozenset[str]
    across: Named
    planned: CommonFacts
    current: Range | None

    def shared(self, names: Collection[str]) -> CommonFacts | Undetermined:
        """The lead and the current of the outputs `names` on together."""
        plan = self.facts.plan
        planned = common_facts(plan, names)
        circuits = {name: plan.outputs[name].circuit for name in names}
        rails = [name for name, circuit in circuits.items() if circuit is not None and circuit.rail_span is not None]
        behind = [name for name in names if name not in rails]
        if isinstance(planned, Undetermined) or not behind or any(_splits(circuits[name]) for name in behind):
            return planned
        if rails:
            # What returns to a rail is beside the lead, and neither adds to what a meter shows there nor takes from it.
            shared, beside = self.shared(behind), [self._alone(name) for name in rails]
            if isinstance(shared, Undetermined) or shared.basis not in _OF_LEAD or None in beside:
                return planned
            return replace(shared, current=_sum([shared.current, *(each for each in beside if each is not None)]))
        return self._in_state(frozenset(behind), planned)

    def read_at(self, output: Output) -> Output:
        """`output` with what was measured of the lead while it was on alone; what was measured at itself is first."""
        measured = self.facts.plan.common_measured
        assert measured is not None
        own = output.measured or Readings(measured.span)
        current = own.current if own.current is not None else measured.current
        return replace(output, measured=replace(own, current=current, across=(*measured.across, *own.across)))

    def _in_state(self, names: frozenset[str], planned: CommonFacts) -> CommonFacts:
        current = self._current(names, planned)
        if current is None:
            return replace(planned, elements=tuple(self._told(each, names) for each in planned.elements))
        across = tuple(across for _, across in self.across) if names == self.on else ()
        driven = _driven(self.facts.plan, planned.supply, current, across)
        if not isinstance(driven, OutputFacts) or driven.basis != "current":
            return planned
        if names == self.on:
            elements = tuple(map(_as_driven, planned.elements, driven.elements))
            return replace(planned, current=current, elements=elements, of_supplies=(), behind=(), basis="lead")
        pairs = zip(planned.elements, driven.elements, strict=True)
        elements = tuple(self._told(_bounded(each, other), names) for each, other in pairs)
        basis: Basis | None = "bounded" if current.highest < planned.current.highest else planned.basis
        return replace(planned, current=current, elements=elements, basis=basis)

    # --- The sum ------------------------------------------------------------------------------------------------------

    def _current(self, names: frozenset[str], planned: CommonFacts) -> Range | None:
        """Amperes with `names` on; None where the readings leave no closer bound than the plan has, or none at all."""
        read = self.current
        if read is None or names == self.on:
            return read
        more, less = self._alone_together(names - self.on), self._alone_together(self.on - names)
        if more is None or less is None:
            return None
        lead = self.facts.plan.common_circuit
        is_shared = lead is None or bool(lead.elements)
        # Without anything in the lead none takes from another, and each adds what it draws alone.
        least = read.lowest - less.highest + (0.0 if is_shared else more.lowest)
        most = read.highest + more.highest - (0.0 if is_shared else less.lowest)
        lowest, highest = max(planned.current.lowest, least), min(planned.current.highest, most)
        # With more on, there is no less than was read; and no more with less.
        if names >= self.on:
            highest = max(highest, read.highest)
        elif names <= self.on:
            lowest = min(lowest, read.lowest)
        if highest == inf or lowest > highest:
            return None
        return Range(lowest, min(max(self._usual(names, planned), lowest), highest), highest)

    def _usual(self, names: frozenset[str], planned: CommonFacts) -> float:
        """What was measured counts as it is, for the share of it that is on; the rest is as planned."""
        assert self.current is not None
        both = names & self.on
        common = common_facts(self.facts.plan, both) if both else None
        if not isinstance(common, CommonFacts) or not self.planned.current.usual:
            return planned.current.usual
        share = common.current.usual / self.planned.current.usual
        return planned.current.usual + share * (self.current.usual - self.planned.current.usual)

    def _alone_together(self, names: Iterable[str]) -> Range | None:
        found = [self._alone(name) for name in names]
        return _sum(each for each in found if each is not None) if None not in found else None

    def _alone(self, name: str) -> Range | None:
        facts = self.facts.outputs[name]
        return facts.current if isinstance(facts, OutputFacts) else None

    # --- What stands in the lead --------------------------------------------------------------------------------------

    def _told(self, facts: ElementFacts, names: frozenset[str]) -> ElementFacts:
        """With the volts that were measured across it; with fewer on there are no more, with more no fewer."""
        volts = next((across.voltage for part, across in self.across if part is facts.element), None)
        if volts is None:
            return facts
        if names == self.on:
            return with_volts(facts, volts)
        voltage = facts.voltage
        if names < self.on:
            voltage = Range(*(min(each, volts.highest) for each in (voltage.lowest, voltage.usual, voltage.highest)))
        elif names > self.on:
            voltage = Range(*(max(each, volts.lowest) for each in (voltage.lowest, voltage.usual, voltage.highest)))
        return replace(facts, voltage=voltage)


_OF_LEAD = ("lead", "bounded")


def lead_as_built(facts: ElectricalFacts) -> LeadAsBuilt | None:
    """What counts of what was measured of the lead; None where nothing was, or where it contradicts the plan."""
    plan = facts.plan
    measured = plan.common_measured
    if measured is None or not measured.of_parts:
        return None
    named, readings = named_in_lead(plan, measured), lead_readings(plan, measured)
    is_odd = measured.voltage is not None and measured_common(plan) is None
    if isinstance(readings, Lack) or is_odd or not all(reading.fits for reading in readings):
        return None
    on = frozenset(names_on(plan, measured))
    planned = common_facts(plan, on)
    assert isinstance(planned, CommonFacts)
    counting = tuple((part, across) for part, across in named if across.voltage.usual > 0)
    across = tuple(across for _, across in counting)
    read = measured.current if measured.current is not None and measured.current.usual > 0 else None
    driven = _driven(plan, planned.supply, read, across)
    current = driven.current if isinstance(driven, OutputFacts) and driven.basis == "current" else None
    return LeadAsBuilt(facts, on, counting, planned, current)


# --- Driven by a current ----------------------------------------------------------------------------------------------


def _driven(
    plan: LightingPlan, supply: Range, current: Range | Figure | None, across: tuple[Across, ...]
) -> OutputFacts | Undetermined:
    """The lead as if it were the circuit of an output at which this was measured."""
    lead = plan.common_circuit
    assert lead is not None
    through = Figure(current.lowest, current.usual, current.highest) if current is not None else None
    sheet, readings = DecoderOutput("", lead.span), Readings(lead.span, through, None, across)
    fed = Figure(supply.lowest, supply.usual, supply.highest)
    bare = replace(plan, common_circuit=Chain(lead.span, ()), common_measured=None, supply=Supply(None, fed))
    return facts_as_built(bare, Output("", lead.span, lead, sheet, Look(), readings))


def _as_driven(planned: ElementFacts, driven: ElementFacts) -> ElementFacts:
    if isinstance(planned.element, _OPEN_ENDED):
        power = times(planned.voltage, driven.current)
        return replace(planned, current=driven.current, power=power, of_supply=(), basis="lead")
    return replace(driven, path=planned.path, basis="lead")


_OPEN_ENDED = (Board, Regulator)
"""What takes the volts that all else leaves, of which the lead alone does not tell."""


def _bounded(planned: ElementFacts, driven: ElementFacts) -> ElementFacts:
    current = _closer(planned.current, driven.current)
    if isinstance(planned.element, _OPEN_ENDED):
        return replace(planned, current=current, basis="bounded")
    voltage, power = _closer(planned.voltage, driven.voltage), _closer(planned.power, driven.power)
    return replace(planned, current=current, voltage=voltage, power=power, basis="bounded")


def _closer(planned: Range, driven: Range) -> Range:
    """What both leave open; as planned where that is nothing."""
    lowest, highest = max(planned.lowest, driven.lowest), min(planned.highest, driven.highest)
    return Range(lowest, min(max(driven.usual, lowest), highest), highest) if lowest <= highest else planned


def _splits(circuit: Chain | None) -> bool:
    """Whether a part of it returns to a rail, so that the lead carries only some of its current."""
    return circuit is not None and returns_to_rail(circuit)


def _sum(ranges: Iterable[Range]) -> Range:
    found = list(ranges)
    return Range(*(sum(getattr(each, end) for each in found) for end in ("lowest", "usual", "highest")))
