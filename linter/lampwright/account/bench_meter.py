"""What to measure at each output, in tables: when, across what, how much is right, and what each other reading means.

Outputs that are wired alike share a table. Knows no form of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from math import inf
from typing import NamedTuple

from lampwright.account.figures import ElementFigures, element_figures
from lampwright.account.sayings import element_name, said_range, said_value
from lampwright.analysis.electrical import ElectricalFacts
from lampwright.analysis.electrical.facts import ElementFacts, OutputFacts, Range, Undetermined
from lampwright.analysis.electrical.law import lamp_kind
from lampwright.analysis.logic import LogicFacts
from lampwright.analysis.moments import Moment, moment_of
from lampwright.analysis.readings import Fault, Readings, readings
from lampwright.analysis.returns import uses_common
from lampwright.model.circuit import Bulb, Diode, Driver, Led, PlacedLamp, Resistor
from lampwright.model.lighting import LightingPlan, Output
from lampwright.model.values import is_above
from lampwright.records import dataclass
from lampwright.rule.circumstances import in_state
from lampwright.rule.phrases import listed
from lampwright.rule.writing import resistor_text
from lampwright.units import Dimension, say

_WRONG = {
    "open": "open",
    "bridged": "bridged",
    "turned": "turned round",
    "tenfold": "ten times too large",
    "tenth": "ten times too small",
}


@dataclass(frozen=True, slots=True)
class MeterRow:
    """An element. `average` are the volts that a meter shows of a resistor that is off for a share of the time."""

    name: str
    facts: ElementFacts
    average: float | None


class Cause(NamedTuple):
    """What may be wrong with the element in a row."""

    place: int
    what: str


class Excess(NamedTuple):
    """What has too much: the element in a row, or the output (None); and how much, amperes or, of a bulb, volts."""

    place: int | None
    value: float
    dimension: Dimension


@dataclass(frozen=True, slots=True)
class MeterFault:
    """What may be wrong, what the meter then shows across each element, and the amperes of the output.

    `voltages` are those of `readings`, in volts. What reads alike is one fault with all its causes. `too_much` is what
    does not stand it, None if all does: where there is any, nothing is measured, but switched off.
    """

    causes: tuple[Cause, ...]
    readings: tuple[str, ...]
    voltages: tuple[float, ...]
    current: float
    too_much: Excess | None


@dataclass(frozen=True, slots=True)
class MeasuredOutput:
    """One output with its lamps, and when to measure it; `moment` is None where no key turns it on, for all we know."""

    name: str
    lamps: tuple[str, ...]
    moment: Moment | None


@dataclass(frozen=True, slots=True)
class MeterTable:
    """What is to be read at each of `outputs`, which are wired alike. `supply` is from the feed to the output."""

    outputs: tuple[MeasuredOutput, ...]
    supply: Range
    current: Range
    rows: tuple[MeterRow, ...]
    in_lead: int
    faults: tuple[MeterFault, ...]
    on_rail: bool

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
    return repr((said_range(table.supply, Dimension.VOLTAGE), table.on_rail, rows, faults))


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
        faults=tuple(_faults(found)),
        on_rail=circuit is not None and not uses_common(circuit),
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


# --- Faults -----------------------------------------------------------------------------------------------------------


def _faults(found: Readings) -> Iterator[MeterFault]:
    alike: dict[tuple[tuple[str, ...], Excess | None], MeterFault] = {}
    for fault in found.faults:
        shown = tuple(map(reading, fault.voltages))
        too_much = _too_much(fault, found)
        known = alike.get((shown, too_much))
        causes = (*known.causes, _cause(fault, found)) if known is not None else (_cause(fault, found),)
        alike[shown, too_much] = MeterFault(causes, shown, fault.voltages, fault.total, too_much)
    yield from alike.values()


def _cause(fault: Fault, found: Readings) -> Cause:
    is_led = isinstance(lamp_kind(found.elements[fault.place].element), Led)
    is_directed = is_led or isinstance(found.elements[fault.place].element, Diode)
    return Cause(
        fault.place, "open or the wrong way round" if fault.wrong == "open" and is_directed else _WRONG[fault.wrong]
    )


def reading(volts: float) -> str:
    """Volts as they tell one fault from another: more digits would be a promise that no meter and no lamp keeps."""
    # Contacts and long wires show a few millivolts as well.
    return say(volts, Dimension.VOLTAGE, 2) if 0.005 <= volts < 1 else say(round(volts, 1), Dimension.VOLTAGE, 4)


def _too_much(fault: Fault, found: Readings) -> Excess | None:
    """What carries more than it stands with that fault: a lamp, a driver, or else the output."""
    for place, facts in enumerate(found.elements):
        # What is bridged or has no way through stands anything.
        kind = lamp_kind(facts.element) if place != fault.place else None
        if isinstance(kind, Led) and is_above(fault.currents[place], kind.maximum_current.usual):
            return Excess(place, fault.currents[place], Dimension.CURRENT)
        stands = facts.share_of_time**-0.5
        if isinstance(kind, Bulb) and is_above(fault.voltages[place], stands * kind.maximum_voltage.usual):
            return Excess(place, fault.voltages[place], Dimension.VOLTAGE)
        part = facts.element
        if isinstance(part, Driver) and is_above(fault.currents[place], part.limit.usual):
            return Excess(place, fault.currents[place], Dimension.CURRENT)
    sheet = found.output.decoder_output
    # Of an output that only gives a signal its drivers carry all.
    is_power = sheet is not None and sheet.logic_level is None
    limit = sheet.limit.usual if sheet is not None and sheet.limit is not None and is_power else inf
    is_too_much = fault.total == inf or is_above(fault.total, limit)
    return Excess(None, fault.total, Dimension.CURRENT) if is_too_much else None


# --- In words ---------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class WrongRow:
    """What may be wrong, with what the meter shows then: the supply, each element, the current.

    There is nothing to be read where `too_much` says what has too much: that is to be switched off.
    """

    causes: str
    cells: tuple[str, ...]
    too_much: str = ""


def wrong_rows(table: MeterTable) -> Iterator[WrongRow]:
    """What may be wrong at an output of `table`: what leaves it dark first, what burns something last."""
    supply, dark = reading(table.supply.usual), ["0 V"] * len(table.rows)
    yield WrongRow("output off", ("0 V", *dark, "0 A"))
    yield WrongRow("its wire open", (supply, *dark, "0 A"))
    for fault in table.faults:
        if fault.too_much is None:
            # What goes through a meter is no current of the output.
            current = "0 A" if fault.current < 1e-6 else say(fault.current, Dimension.CURRENT, 2)
            yield WrongRow(said_causes(fault.causes, table), (supply, *fault.readings, current))
    burning: dict[tuple[int | None, Dimension], list[tuple[MeterFault, Excess]]] = {}
    for fault in table.faults:
        if fault.too_much is not None:
            burning.setdefault((fault.too_much.place, fault.too_much.dimension), []).append((fault, fault.too_much))
    for faults in burning.values():
        causes = said_causes([cause for fault, _ in faults for cause in fault.causes], table)
        yield WrongRow(causes, (), _said_excess([excess for _, excess in faults], table))


def said_causes(causes: Iterable[Cause], table: MeterTable) -> str:
    """`the front headlamp open or the wrong way round`; what reads alike with `or` between."""
    grouped: dict[int, list[str]] = {}
    for cause in causes:
        grouped.setdefault(cause.place, []).append(cause.what)
    said = [f"{_called(table, place)} {listed(list(dict.fromkeys(what)), 'or')}" for place, what in grouped.items()]
    return listed(said, "or")


def _said_excess(excesses: Sequence[Excess], table: MeterTable) -> str:
    """`the front headlamp would carry 63.2 or 996 mA`."""
    place, _, dimension = excesses[0]
    values = sorted({excess.value for excess in excesses})
    said = listed(list(dict.fromkeys(said_value(value, dimension) for value in values)), "or")
    carries = "would get" if dimension is Dimension.VOLTAGE else "would carry"
    return f"{'the output' if place is None else _called(table, place)} {carries} {said}"


def _called(table: MeterTable, place: int) -> str:
    row = table.rows[place]
    return f"the {row.name}" if not isinstance(row.facts.element, Resistor) else row.name


# --- When -------------------------------------------------------------------------------------------------------------


def when(output: MeasuredOutput) -> str:
    """What to press, and what to do first where the output does not burn fully then."""
    if output.moment is None:
        return "no key turns it on, as far as can be told; let the decoder's manual say how to"
    said = in_state(output.moment.state)
    if not output.moment.is_full:
        said += "; set it to 100 %, steady, then measure"
    if output.moment.beside:
        said += f"; pull {listed(output.moment.beside)} off first: it shares the lead"
    return said
