"""What to measure at each output, in tables: when, across what, how much is right, and what each other reading means.

Outputs that are wired alike share a table. Knows no form of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from lampwright.account.bench_faults import MeterFault, faults_of
from lampwright.account.figures import ElementFigures, element_figures
from lampwright.account.sayings import element_name, said_range
from lampwright.analysis.electrical import ElectricalFacts
from lampwright.analysis.electrical.facts import ElementFacts, OutputFacts, Range, Undetermined
from lampwright.analysis.logic import LogicFacts
from lampwright.analysis.moments import Moment, moment_of
from lampwright.analysis.readings import Readings, readings
from lampwright.analysis.returns import uses_common
from lampwright.model.circuit import PlacedLamp, Resistor
from lampwright.model.lighting import LightingPlan, Output
from lampwright.records import dataclass, replace
from lampwright.rule.writing import resistor_text
from lampwright.units import Dimension, say


@dataclass(frozen=True, slots=True)
class MeterRow:
    """An element. `average` are the volts that a meter shows of a resistor that is off for a share of the time."""

    name: str
    facts: ElementFacts
    average: float | None


@dataclass(frozen=True, slots=True)
class MeasuredOutput:
    """One output with its lamps, and when to measure it; `moment` is None where no key turns it on, for all we know."""

    name: str
    lamps: tuple[str, ...]
    moment: Moment | None


@dataclass(frozen=True, slots=True)
class MeterTable:
    """What is to be read at each of `outputs`, which are wired alike. `supply` is from the feed to the output.

    `is_measured` where the plan has readings already, which count instead of what it comes to.
    """

    outputs: tuple[MeasuredOutput, ...]
    supply: Range
    current: Range
    rows: tuple[MeterRow, ...]
    in_lead: int
    faults: tuple[MeterFault, ...]
    on_rail: bool
    is_measured: bool

    @property
    def is_switched(self) -> bool:
        """Whether what the meter shows is an average over moments on and off."""
        return any(row.facts.share_of_time < 1 for row in self.rows)


def meter_tables(
    plan: LightingPlan, electrical: ElectricalFacts, logic: LogicFacts
) -> tuple[tuple[MeterTable, ...], Mapping[str, str]]:
    """The tables, and each output of which nothing can be told with what it lacks."""
    tables: dict[object, MeterTable] = {}
    lacking: dict[str, str] = {}
    for name, facts in electrical.outputs.items():
        found = readings(plan, facts) if isinstance(facts, OutputFacts) else facts
        if isinstance(found, Undetermined):
            lacking[name] = found.lacks
        elif found.elements:
            _add(tables, _table(found, moment_of(name, logic, _beside(plan, found.output))))
    return tuple(tables.values()), lacking


def _beside(plan: LightingPlan, output: Output) -> Sequence[str]:
    """The outputs that change what is read at `output`: all others where they share a lead, else none."""
    lead = plan.common_circuit
    if lead is None or not lead.elements or output.circuit is None or not uses_common(output.circuit):
        return ()
    return [name for name in plan.outputs if name != output.name]


def _add(tables: dict[object, MeterTable], table: MeterTable) -> None:
    """Put `table` to the one that says the same of its outputs, if there is one."""
    alike = _shape(table)
    known = tables.get(alike)
    if known is None:
        tables[alike] = table
        return
    names = [
        mine.name if mine.name == other.name else "lamp" for mine, other in zip(known.rows, table.rows, strict=True)
    ]
    rows = tuple(replace(row, name=name) for row, name in zip(known.rows, _numbered(names), strict=True))
    tables[alike] = replace(known, outputs=(*known.outputs, *table.outputs), rows=rows)


def _numbered(names: Sequence[str]) -> list[str]:
    """Lamps that are only called so, by numbers where there is more than one."""
    if names.count("lamp") < 2:
        return list(names)
    numbers = iter(range(1, len(names) + 1))
    return [f"lamp {next(numbers)}" if name == "lamp" else name for name in names]


def _shape(table: MeterTable) -> object:
    """Equal for two tables that differ in the names of lamps only."""
    rows = [
        ("" if isinstance(row.facts.element, PlacedLamp) else row.name, *_said(row.facts), _way(row, table))
        for row in table.rows
    ]
    faults = [(each.readings, say(each.current, Dimension.CURRENT)) for each in table.faults]
    return repr((said_range(table.supply, Dimension.VOLTAGE), table.on_rail, table.is_measured, rows, faults))


def _way(row: MeterRow, table: MeterTable) -> str:
    """Where the element stands in its circuit, whatever the output is called."""
    return row.facts.path.removeprefix(f"outputs.{table.outputs[0].name}.")


def _said(facts: ElementFacts) -> tuple[str, str]:
    return said_range(facts.voltage, Dimension.VOLTAGE), said_range(facts.current, Dimension.CURRENT)


def _table(found: Readings, moment: Moment | None) -> MeterTable:
    rows = tuple(_told_apart([_row(element_figures(each)) for each in found.elements], found.in_lead))
    lamps = tuple(dict.fromkeys(row.name for row in rows if isinstance(row.facts.element, PlacedLamp)))
    circuit = found.output.circuit
    return MeterTable(
        outputs=(MeasuredOutput(found.output.name, lamps, moment),),
        supply=found.supply,
        current=found.current,
        rows=rows,
        in_lead=found.in_lead,
        faults=tuple(faults_of(found)),
        on_rail=circuit is not None and not uses_common(circuit),
        is_measured=found.is_measured,
    )


def _told_apart(rows: Sequence[MeterRow], in_lead: int) -> Iterator[MeterRow]:
    """What is in the common lead by that; of several of one name each by a lamp in its branch, or by a number."""
    names = [row.name for row in rows]
    for number, row in enumerate(rows):
        if number < in_lead:
            yield replace(row, name=f"{row.name} in the lead")
            continue
        branch = row.facts.path.rpartition(".")[0]
        inside = [each for each in rows if each.facts.path.rpartition(".")[0] == branch]
        lamps = [each.name for each in inside if isinstance(each.facts.element, PlacedLamp)]
        if names.count(row.name) == 1 or row.name in lamps:
            yield row
        elif lamps and [each.name for each in inside].count(row.name) == 1:
            yield replace(row, name=f"{row.name} of {lamps[0]}")
        else:
            yield replace(row, name=f"{row.name} no. {names[: number + 1].count(row.name)}")


def _row(figures: ElementFigures) -> MeterRow:
    facts = figures.facts
    # What a lamp holds back while it is off is no matter of its resistance, so that only a resistor's average is sure.
    is_averaged = facts.share_of_time < 1 and figures.kind == "resistor"
    average = facts.share_of_time * facts.voltage.usual if is_averaged else None
    # What it stands is no matter of volts.
    part = facts.element
    name = resistor_text(part.resistance.usual) if isinstance(part, Resistor) else element_name(figures)
    return MeterRow(name, facts, average)
