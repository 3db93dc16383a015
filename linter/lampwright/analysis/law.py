"""The simple law of each element: constant forward voltage, ohmic bulb at its rating, and which figures enter it.

Knows single elements, no circuits.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from enum import Enum
from typing import TypeGuard

from lampwright.analysis.curves import Curve, junction, ohmic
from lampwright.analysis.facts import LawfulElement, WeakFact, WeakWhat
from lampwright.model.circuit import Bulb, Diode, Element, Led, PlacedLamp, Resistor
from lampwright.model.values import Figure


class Spread(Enum):
    """Which value of each figure: at the lowest an element lets most current through, at the highest least."""

    LOWEST = "lowest"
    USUAL = "usual"
    HIGHEST = "highest"

    def of(self, figure: Figure) -> float:
        """That value of `figure`."""
        value: float = getattr(figure, self.value)
        return value


def curve_of(element: LawfulElement, spread: Spread) -> Curve:
    """The current-voltage curve of one element."""
    if is_junction(element):
        return junction(forward_voltage(element, spread), resistance(element, spread))
    return ohmic(resistance(element, spread))


def is_junction(element: Element) -> TypeGuard[PlacedLamp | Diode]:
    """Whether `element` is a diode or an LED: lets nothing through backwards and below its forward voltage."""
    return isinstance(element, Diode) or isinstance(lamp_kind(element), Led)


def forward_voltage(element: LawfulElement, spread: Spread) -> float:
    """Volts below which nothing flows; zero for what is no junction."""
    match element, lamp_kind(element):
        case Diode(drop=drop), _:
            return spread.of(drop)
        case _, Led() as led:
            return spread.of(led.forward_voltage)
    return 0.0


def resistance(element: LawfulElement, spread: Spread) -> float:
    """Ohms; of an LED those built in."""
    match element, lamp_kind(element):
        case Resistor() as resistor, _:
            return spread.of(resistor.resistance)
        case _, Led() as led:
            return spread.of(led.built_in_resistor)
        case _, Bulb() as bulb:
            return bulb_resistance(bulb, spread)
    return 0.0


def bulb_resistance(bulb: Bulb, spread: Spread) -> float:
    """Its voltage over its current, ohms: least with the least voltage and the most current."""
    opposite = {Spread.LOWEST: Spread.HIGHEST, Spread.HIGHEST: Spread.LOWEST}.get(spread, spread)
    current = opposite.of(bulb.current)
    return spread.of(bulb.voltage) / current if current else math.inf


def lamp_kind(element: Element) -> Led | Bulb | None:
    """What kind of lamp `element` is; None if it is no lamp, or one whose data could not be read."""
    if isinstance(element, PlacedLamp) and element.lamp is not None:
        return element.lamp.kind
    return None


def weak_figures(element: LawfulElement) -> tuple[WeakFact, ...]:
    """The figures in the law of `element` that are no firm ground."""
    return tuple(WeakFact(what, figure, element) for what, figure in _figures(element) if figure.origin.is_weak)


def _figures(element: LawfulElement) -> Iterator[tuple[WeakWhat, Figure]]:
    match element:
        case Resistor(resistance=resistance):
            yield "resistance", resistance
        case Diode(drop=drop):
            yield "forward-voltage", drop
    match lamp_kind(element):
        case Led() as led:
            yield "forward-voltage", led.forward_voltage
            # An LED of which no built-in resistor is said has none, and nothing hangs on that.
            if led.built_in_resistor.highest:
                yield "built-in-resistor", led.built_in_resistor
        case Bulb() as bulb:
            yield "voltage", bulb.voltage
            yield "current", bulb.current
