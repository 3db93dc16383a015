"""Which figures in the law of an element are no firm ground, so that a verdict may lean on them for a warning only."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from lampwright.model.circuit import Board, Bulb, Diode, Driver, Led, PlacedLamp, Regulator, Resistor, lamp_kind
from lampwright.model.values import Figure, Origin
from lampwright.records import dataclass

LawfulElement = Resistor | PlacedLamp | Diode | Regulator | Board | Driver
"""An element with a law of its own; the others are made of these, or could not be read."""

WeakWhat = Literal[
    "common",
    "regulated",
    "track",
    "drop",
    "resistance",
    "forward-voltage",
    "built-in-resistor",
    "voltage",
    "current",
    "needs",
    "board",
]
"""Of the supply: common, regulated, track, drop (the decoder's). Of an element: the rest; a diode's drop is a forward
voltage, `board` the straight line through the one point that is known of a lighting board."""


@dataclass(frozen=True, slots=True)
class WeakFact:
    """A figure that a verdict may not lean on for more than a warning: what it is, and of which element if of one."""

    what: WeakWhat
    figure: Figure
    element: LawfulElement | None = None


def weak_figures(element: LawfulElement) -> tuple[WeakFact, ...]:
    """The figures in the law of `element` that are no firm ground."""
    if isinstance(element, Resistor) and not element.resistance.origin.is_weak:
        return ()
    return tuple([WeakFact(what, figure, element) for what, figure in figures_of(element) if figure.origin.is_weak])


def figures_of(element: LawfulElement) -> Iterator[tuple[WeakWhat, Figure]]:
    """The figures in the law of `element`."""
    match element:
        case Resistor(resistance=resistance):
            yield "resistance", resistance
        case Diode(drop=drop):
            yield "forward-voltage", drop
        case Regulator(current=current, needs=needs):
            yield "current", current
            if needs is not None:
                yield "needs", needs
        case Board(voltage=voltage, current=current):
            ohms = voltage.usual / current.usual
            yield "board", Figure(ohms, ohms, ohms, element.span, Origin.PRACTICE)
    match lamp_kind(element):
        case Led() as led:
            yield "forward-voltage", led.forward_voltage
            # An LED of which no built-in resistor is said has none, and nothing hangs on that.
            if led.built_in_resistor.highest:
                yield "built-in-resistor", led.built_in_resistor
        case Bulb() as bulb:
            yield "voltage", bulb.voltage
            yield "current", bulb.current
