"""The tables of a bench sheet in words: what may be wrong, what burns then, what to press to measure. Knows no form."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import isfinite

from lampwright.account.bench_faults import Cause, Excess, MeterFault, reading, said_current
from lampwright.account.bench_meter import MeasuredOutput, MeterTable
from lampwright.model.circuit import Resistor
from lampwright.records import dataclass
from lampwright.rule.circumstances import in_state
from lampwright.rule.phrases import listed
from lampwright.units import Dimension, say


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
            current = said_current(fault.current)
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
    said = listed(list(dict.fromkeys(_amount(value, dimension) for value in values)), "or")
    owner = "the output" if place is None else _called(table, place)
    match dimension:
        case Dimension.VOLTAGE:
            return f"{owner} would get {said}"
        case Dimension.POWER:
            return f"{owner} would turn {said} into heat"
    return f"{owner} would carry {said}"


def _amount(value: float, dimension: Dimension) -> str:
    return say(value, dimension) if isfinite(value) else "a current that nothing limits"


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
