"""What a plan's electrical facts come to, ready to be printed: each output with its elements, and the worst state.

Says how much of its limit each thing takes, by the same limits as the rules. Knows no form of print.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Literal

from lampwright.analysis.electrical import ElectricalFacts, electrical_facts
from lampwright.analysis.electrical.facts import CommonFacts, ElementFacts, OutputFacts, Range, Undetermined
from lampwright.analysis.electrical.light import bulb_life, bulb_light
from lampwright.analysis.logic import LogicFacts, logic_facts
from lampwright.analysis.together import Together, worst_together
from lampwright.model.circuit import Board, Bulb, Diode, Driver, Led, PlacedLamp, Regulator, Resistor, lamp_kind
from lampwright.model.lighting import LightingPlan
from lampwright.model.measured import LeadReadings, Readings
from lampwright.model.values import Figure
from lampwright.records import dataclass, replace
from lampwright.rule.limits import load_of, rating_of
from lampwright.text import Span

if TYPE_CHECKING:
    from lampwright.analysis.electrical.reading import Reading


@dataclass(frozen=True, slots=True)
class Limit:
    """What a figure is held against, in SI, and the share of it that is taken in the hot corner."""

    value: float
    share: float


@dataclass(frozen=True, slots=True)
class ElementFigures:
    """One element: its facts, what it is called, and of a bulb the light and the life that it has left, as shares."""

    facts: ElementFacts
    kind: str
    name: str | None
    limit: Limit | None
    light: float | None = None
    life: float | None = None


What = Literal["current", "voltage", "across"]


@dataclass(frozen=True, slots=True)
class ReadingFigures:
    """What was measured: the current or the voltage of an output, or the volts across the element at `place`.

    `computed` is what the plan comes to without it, None where that cannot be told. Of the common lead it holds with
    the outputs `together` on, else they are none.
    """

    what: What
    name: str | None
    place: Span | None
    measured: Range
    computed: Range | None
    together: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class OutputFigures:
    """One output, or the common lead; `lacks` says in short plain words why nothing is known, else it is None."""

    current: Range | None
    limit: Limit | None
    elements: tuple[ElementFigures, ...]
    lacks: str | None = None
    readings: tuple[ReadingFigures, ...] = ()


@dataclass(frozen=True, slots=True)
class PlanFigures:
    """All of a plan. `common` is None where nothing stands in the common lead, and nothing was measured there.

    `together` says why where it is text.
    """

    outputs: Mapping[str, OutputFigures]
    common: OutputFigures | None
    together: Together | str


def plan_figures(
    plan: LightingPlan,
    electrical: ElectricalFacts | None = None,
    logic: LogicFacts | None = None,
    together: Together | Undetermined | None = None,
) -> PlanFigures:
    """The figures of `plan`: each output fully on and alone, the common lead in the worst state.

    Whoever has the facts of that plan already hands them over.
    """
    electrical = electrical or electrical_facts(plan)
    together = together or worst_together(electrical, logic or logic_facts(plan))
    lead = plan.common_circuit
    has_lead = lead is None or bool(lead.elements) or plan.common_measured is not None
    return PlanFigures(
        outputs={name: _output(facts, _readings(plan, name)) for name, facts in electrical.outputs.items()},
        common=_common(plan, electrical, together) if has_lead and plan.outputs else None,
        together=together.lacks if isinstance(together, Undetermined) else together,
    )


def _readings(plan: LightingPlan, name: str) -> tuple[ReadingFigures, ...]:
    readings = plan.outputs[name].measured
    if readings is None:
        return ()
    # Most plans were not measured, and need not load this.
    from lampwright.analysis.contradictions import expected

    return tuple(_told(readings, expected(plan, plan.outputs[name])))


def _readings_of_lead(plan: LightingPlan) -> tuple[ReadingFigures, ...]:
    if plan.common_measured is None:
        return ()
    from lampwright.analysis.lead_readings import expected_of_lead

    on = plan.common_measured.outputs
    names = on if on is not None else tuple(plan.outputs)
    return tuple([replace(each, together=names) for each in _told(plan.common_measured, expected_of_lead(plan))])


def _told(readings: Readings | LeadReadings, expected: Iterable[Reading]) -> Iterator[ReadingFigures]:
    """Each reading, with what the plan comes to where that is among what can be told."""
    computed = {each.figure.span: each for each in expected}

    def told(what: What, figure: Figure, part: str | None = None) -> ReadingFigures:
        found = computed.get(figure.span)
        place = found.element.span if found is not None and found.element is not None else None
        measured = Range(figure.lowest, figure.usual, figure.highest)
        return ReadingFigures(what, part, place, measured, found.expected if found is not None else None)

    if readings.current is not None:
        yield told("current", readings.current)
    if readings.voltage is not None:
        yield told("voltage", readings.voltage)
    yield from (told("across", each.voltage, each.name.text) for each in readings.across)


def _output(facts: OutputFacts | Undetermined, readings: tuple[ReadingFigures, ...]) -> OutputFigures:
    if isinstance(facts, Undetermined):
        return OutputFigures(None, None, (), facts.lacks, readings)
    load = load_of(facts)
    limit = Limit(load.limit.usual, load.current / load.limit.usual) if load.limit is not None else None
    return OutputFigures(facts.current, limit, tuple(map(element_figures, facts.elements)), readings=readings)


def _common(plan: LightingPlan, electrical: ElectricalFacts, together: Together | Undetermined) -> OutputFigures:
    facts = together if isinstance(together, Undetermined) else electrical.shared(together.outputs)
    readings = _readings_of_lead(plan)
    if not isinstance(facts, CommonFacts):
        return OutputFigures(None, None, (), facts.lacks, readings)
    return OutputFigures(facts.current, None, tuple(map(element_figures, facts.elements)), readings=readings)


def element_figures(facts: ElementFacts) -> ElementFigures:
    """One element, with what of its limit it takes."""
    name = facts.element.name if isinstance(facts.element, PlacedLamp) else None
    share = _share_of_voltage(facts)
    return ElementFigures(
        facts=facts,
        kind=_kind(facts),
        name=name,
        limit=next(_limits(facts), None),
        light=bulb_light(share) if share is not None else None,
        life=bulb_life(share) if share else None,
    )


def _kind(facts: ElementFacts) -> str:
    match facts.element:
        case Resistor():
            return "resistor"
        case PlacedLamp():
            kind = lamp_kind(facts.element)
            # What was measured may tell the current of a lamp of which nothing else is known.
            return "lamp" if kind is None else "bulb" if isinstance(kind, Bulb) else "led"
        case Diode():
            return "diode"
        case Regulator():
            return "regulator"
        case Board():
            return "board"
        case Driver():
            return "driver"


def _share_of_voltage(facts: ElementFacts) -> float | None:
    """Of its rated voltage that a bulb gets in the usual corner."""
    kind = lamp_kind(facts.element)
    return facts.effective_voltage.usual / kind.voltage.usual if isinstance(kind, Bulb) else None


def _limits(facts: ElementFacts) -> Iterator[Limit]:
    match lamp_kind(facts.element):
        case Led(maximum_current=maximum):
            yield Limit(maximum.usual, facts.current.highest / maximum.usual)
        case Bulb(maximum_voltage=maximum):
            yield Limit(maximum.usual, facts.effective_voltage.highest / maximum.usual)
    if isinstance(facts.element, Resistor) and facts.element.rating is not None:
        rating = facts.derating * rating_of(facts.element)
        yield Limit(rating, facts.power.highest / rating)
    elif isinstance(facts.element, Driver):
        yield Limit(facts.element.limit.usual, facts.current.highest / facts.element.limit.usual)
