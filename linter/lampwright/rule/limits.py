"""What is too much for a lamp, a resistor or an output, by its own data and the club's margins.

The rules find it and the cures stay below it, so that no fix makes what another rule has to find. Knows no words.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from enum import IntEnum
from math import inf

from lampwright.analysis.electrical.facts import ElementFacts, OutputFacts, Range
from lampwright.model.circuit import Bulb, Driver, Led, Resistor, lamp_kind
from lampwright.model.settings import Margins
from lampwright.model.values import Figure, is_above
from lampwright.records import dataclass
from lampwright.text import Span

UNSTATED_RATING = 0.125
"""Watts that a resistor without a stated rating is judged as: the smallest leaded kind (common practice)."""

USUAL_EXCESS = 1.05
"""Of its rated voltage a bulb may have this much in the usual corner (common practice)."""


class Excess(IntEnum):
    """How far something is too much."""

    NONE = 0
    ABOVE_MARGIN = 1
    ABOVE_LIMIT = 2


def excess(value: float, limit: float, margin: float) -> Excess:
    """How far `value` is above `limit` or above the share of it that is its margin."""
    if is_above(value, limit):
        return Excess.ABOVE_LIMIT
    return Excess.ABOVE_MARGIN if is_above(value, margin * limit) else Excess.NONE


def excess_of(facts: ElementFacts, margins: Margins) -> Excess:
    """How far the current of an LED, the voltage of a bulb or the heat of a resistor is too much."""
    element = facts.element
    match lamp_kind(element):
        case Led() as led:
            return excess(facts.current.highest, led.maximum_current.usual, margins.lamp_current)
        case Bulb() as bulb:
            return _excess_of_bulb(facts.effective_voltage, bulb)
    if isinstance(element, Resistor):
        return excess(facts.power.highest, facts.derating * rating_of(element), margins.resistor_power)
    return Excess.NONE


def rating_of(resistor: Resistor) -> float:
    """The watts that `resistor` is judged by, as long as it is not warm around it."""
    return resistor.rating.usual if resistor.rating is not None else UNSTATED_RATING


@dataclass(frozen=True, slots=True)
class Load:
    """Hot amperes through an output, or through a driver that it commands; `limit` is None if unknown."""

    current: float
    limit: Figure | None
    driver: Driver | None = None


def load_of(facts: OutputFacts) -> Load:
    """What comes closest to its limit: the output itself, or a driver. Of a logic-level output only drivers carry."""
    known = facts.output.decoder_output
    loads = [
        Load(each.current.highest, each.element.limit, each.element)
        for each in facts.elements
        if isinstance(each.element, Driver)
    ]
    own = Load(facts.current.highest, known.limit if known is not None else None)
    if not loads:
        return own
    if known is None or known.logic_level is None:
        loads.append(own)
    return max(loads, key=lambda load: load.current / load.limit.usual if load.limit is not None else 0.0)


def excess_of_output(facts: OutputFacts, margins: Margins) -> Excess:
    """How far the current of an output is too much. None where its limit is not known, unless nothing limits it."""
    if facts.current.highest == inf:
        return Excess.ABOVE_LIMIT
    load = load_of(facts)
    return excess(load.current, load.limit.usual if load.limit is not None else inf, margins.output_current)


def times_too_much(facts: ElementFacts, margins: Margins) -> float:
    """How many times a lamp has what it should have at most, by its wish, its margin or its voltage."""
    match lamp_kind(facts.element):
        case Led(wish=wish, maximum_current=maximum):
            hot = facts.current.highest / (margins.lamp_current * maximum.usual or inf)
            return max(hot, facts.current.usual / wish.usual) if wish is not None and wish.usual else hot
        case Bulb(voltage=voltage, maximum_voltage=maximum):
            effective = facts.effective_voltage
            return max(effective.usual / voltage.usual, effective.highest / maximum.usual)
    return 1.0


def times_too_much_of_output(facts: OutputFacts, margins: Margins) -> float:
    """How many times an output carries its margin; 1 where its limit is not known."""
    load = load_of(facts)
    most = margins.output_current * load.limit.usual if load.limit is not None else 0.0
    return load.current / most if most else 1.0


def overdone(facts: OutputFacts, margins: Margins) -> frozenset[Span]:
    """The places of the elements of an output that have too much, and its own if it carries too much."""
    return frozenset(_overdone(facts, margins))


def has_too_much_beyond(facts: OutputFacts, margins: Margins, places: Collection[Span]) -> bool:
    """Whether the output or an element of it has too much elsewhere than at these `places`."""
    if facts.output.span not in places and excess_of_output(facts, margins):
        return True
    return any(excess_of(each, margins) for each in facts.elements if each.span not in places)


def _overdone(facts: OutputFacts, margins: Margins) -> Iterator[Span]:
    if excess_of_output(facts, margins):
        yield facts.output.span
    yield from (each.span for each in facts.elements if excess_of(each, margins))


def _excess_of_bulb(voltage: Range, bulb: Bulb) -> Excess:
    if is_above(voltage.highest, bulb.maximum_voltage.usual):
        return Excess.ABOVE_LIMIT
    return Excess.ABOVE_MARGIN if is_above(voltage.usual, USUAL_EXCESS * bulb.voltage.usual) else Excess.NONE
