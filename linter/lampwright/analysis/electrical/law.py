"""The law of each element: which characteristic it has with its figures at one end of their spreads or the other.

Knows single elements, no circuits. Where each constant comes from stands beside it.
"""

from __future__ import annotations

import math
from enum import IntEnum
from typing import TypeGuard

from lampwright.analysis.electrical.characteristics import Characteristic, Filament, junction, limiter, ohmic
from lampwright.analysis.electrical.weakness import LawfulElement, figures_of
from lampwright.model.circuit import (
    Board,
    Bulb,
    Diode,
    Driver,
    Element,
    Led,
    PlacedLamp,
    Regulator,
    Resistor,
    lamp_kind,
)
from lampwright.model.defaults import TEST_CURRENT
from lampwright.model.values import Figure

EMISSION = 0.052
"""Volts by which an LED's voltage rises for each factor e of current: twice the thermal voltage of 26 mV (from memory).

With the series resistance below, an LED of 20 mA takes 0.22 V less at 5 mA and 0.30 V less at 2 mA, inside what is
usual: 0.1 to 0.25 V and 0.2 to 0.45 V (from memory).
"""

SERIES_RESISTANCE, SERIES_DROP = 10.0, 0.2
"""Ohms in series inside a small LED, and the volts that they take at most at the test current of a large one, whose
chip is larger (from memory)."""

CURRENT_EXPONENT = 0.55
"""A bulb's current goes with this power of its voltage (re-rating formulas; Fink and Beaty, Standard Handbook for
Electrical Engineers, 11th ed., p. 22-8, read second-hand)."""

HOT_OVER_COLD = 10.0
"""Resistance of a filament at its rating over that when cold: 8 to 15 (read second-hand in three places)."""

RAIL_SHARE = 0.5
"""Of the time in which a lamp that returns to a rail gets anything: one rectifier diode conducts every second half."""


class Spread(IntEnum):
    """Which value of each figure: at the lowest an element lets most current through, at the highest least.

    It is the place in a row of the three, too.
    """

    LOWEST = 0
    USUAL = 1
    HIGHEST = 2

    def of(self, figure: Figure) -> float:
        """That value of `figure`."""
        if self == 1:
            return figure.usual
        return figure.lowest if self == 0 else figure.highest


_OPPOSITE = (Spread.HIGHEST, Spread.USUAL, Spread.LOWEST)


def characteristic(element: LawfulElement, spread: Spread, share_of_time: float = 1.0) -> Characteristic:
    """What `element` does while it is on, which it is for `share_of_time`, too quickly for a filament to follow."""
    match element:
        case Resistor(resistance=resistance):
            return ohmic(spread.of(resistance))
        case Diode(drop=drop):
            return junction(spread.of(drop), TEST_CURRENT, EMISSION, 0.0, 0.0)
        case Regulator(current=current, needs=needs):
            return limiter(_OPPOSITE[spread].of(current), spread.of(needs) if needs is not None else 0.0)
        case Board(voltage=voltage, current=current):
            # One point of it is known: a straight line through that is common practice.
            return ohmic(spread.of(voltage) / _OPPOSITE[spread].of(current))
        case Driver():
            # A transistor that is switched on fully: what it drops is little beside the decoder's own drop.
            return ohmic(0.0)
        case PlacedLamp(reversed=is_reversed):
            return _lamp(lamp_kind(element), spread, share_of_time, is_reversed=is_reversed)


def _lamp(kind: Led | Bulb | None, spread: Spread, share_of_time: float, *, is_reversed: bool) -> Characteristic:
    if isinstance(kind, Bulb):
        return _filament(kind, spread, share_of_time)
    if kind is None or is_reversed:
        # An LED against the feed lets nothing through as long as its reverse voltage holds.
        return ohmic(math.inf)
    at = kind.test_current
    inside = min(SERIES_RESISTANCE, SERIES_DROP / at)
    return junction(spread.of(kind.forward_voltage), at, EMISSION, inside, spread.of(kind.built_in_resistor))


def _filament(bulb: Bulb, spread: Spread, share_of_time: float) -> Filament:
    """By its effective voltage a filament settles at a temperature, and so at a resistance, that stays as it is."""
    voltage, current = spread.of(bulb.voltage), _OPPOSITE[spread].of(bulb.current)
    cold = voltage / current / HOT_OVER_COLD
    while_on = current * share_of_time ** ((CURRENT_EXPONENT - 1) / 2)
    return Filament(voltage, while_on, CURRENT_EXPONENT, cold, while_on)


def is_junction(element: Element) -> TypeGuard[PlacedLamp | Diode]:
    """Whether `element` is a diode or an LED: lets nothing through backwards and little below its forward voltage."""
    return isinstance(element, Diode) or isinstance(lamp_kind(element), Led)


def forward_voltage(element: LawfulElement, spread: Spread) -> float:
    """Volts that an LED or a diode takes at its test current; zero for what is no junction."""
    if isinstance(element, PlacedLamp):
        kind = lamp_kind(element)
        return spread.of(kind.forward_voltage) if isinstance(kind, Led) else 0.0
    return spread.of(element.drop) if isinstance(element, Diode) else 0.0


def resistance(element: LawfulElement, spread: Spread) -> float:
    """Ohms of a resistor, also of one built into an LED, and of a bulb or a board at its rating; zero for the rest."""
    if isinstance(element, Resistor):
        return spread.of(element.resistance)
    kind = lamp_kind(element)
    if isinstance(kind, Led):
        return spread.of(kind.built_in_resistor)
    rated = element if isinstance(element, Board) else kind
    return spread.of(rated.voltage) / _OPPOSITE[spread].of(rated.current) if rated is not None else 0.0


def has_spread(element: LawfulElement) -> bool:
    """Whether any figure in the law of `element` has one."""
    match element:
        case Resistor(resistance=resistance):
            return resistance.has_spread
        case Board(voltage=voltage, current=current):
            return voltage.has_spread or current.has_spread
    return any(figure.has_spread for _, figure in figures_of(element))
