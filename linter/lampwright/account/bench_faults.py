"""What may be wrong at an output: which faults read alike, and which of them burn something.

Knows elements by their places only; their names are a matter of tables.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import NamedTuple

from lampwright.analysis.readings import Fault, Readings
from lampwright.model.circuit import Bulb, Diode, Driver, Led, Resistor, lamp_kind
from lampwright.model.values import is_above
from lampwright.records import dataclass
from lampwright.rule.limits import rating_of
from lampwright.units import Dimension, say

_WRONG = {
    "open": "open",
    "bridged": "bridged",
    "turned": "turned round",
    "tenfold": "ten times too large",
    "tenth": "ten times too small",
}


class Cause(NamedTuple):
    """What may be wrong with the element in a row."""

    place: int
    what: str


class Excess(NamedTuple):
    """What has too much: the element in a row, or the output (None).

    How much are amperes, of a bulb volts, of a resistor watts.
    """

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


def faults_of(found: Readings) -> Iterator[MeterFault]:
    """The faults of an output, each reading once."""
    alike: dict[tuple[tuple[str, ...], str, Excess | None], MeterFault] = {}
    for fault in found.faults:
        shown = tuple(map(reading, fault.voltages))
        too_much = _too_much(fault, found)
        read = (shown, said_current(fault.total), too_much)
        known = alike.get(read)
        causes = (*known.causes, _cause(fault, found)) if known is not None else (_cause(fault, found),)
        alike[read] = MeterFault(causes, shown, fault.voltages, fault.total, too_much)
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


def said_current(amperes: float) -> str:
    """Amperes of an output, as many digits as a reading has; what goes through a meter is no current of the output."""
    return "0 A" if amperes < 1e-6 else say(amperes, Dimension.CURRENT, 2)


def _too_much(fault: Fault, found: Readings) -> Excess | None:
    """What carries more than it stands with that fault: a lamp, a resistor, a driver, or else the output."""
    for place, facts in enumerate(found.elements):
        # What is bridged or has no way through stands anything.
        kind = lamp_kind(facts.element) if place != fault.place else None
        if isinstance(kind, Led) and is_above(fault.currents[place], kind.maximum_current.usual):
            return Excess(place, fault.currents[place], Dimension.CURRENT)
        stands = facts.share_of_time**-0.5
        if isinstance(kind, Bulb) and is_above(fault.voltages[place], stands * kind.maximum_voltage.usual):
            return Excess(place, fault.voltages[place], Dimension.VOLTAGE)
        part = facts.element
        watts = fault.voltages[place] * fault.currents[place] * facts.share_of_time
        if isinstance(part, Resistor) and place != fault.place and is_above(watts, rating_of(part)):
            return Excess(place, watts, Dimension.POWER)
        if isinstance(part, Driver) and is_above(fault.currents[place], part.limit.usual):
            return Excess(place, fault.currents[place], Dimension.CURRENT)
    sheet = found.output.decoder_output
    # Of an output that only gives a signal its drivers carry all.
    is_power = sheet is not None and sheet.logic_level is None
    limit = sheet.limit.usual if sheet is not None and sheet.limit is not None and is_power else inf
    is_too_much = fault.total == inf or is_above(fault.total, limit)
    return Excess(None, fault.total, Dimension.CURRENT) if is_too_much else None
