"""Circuits that are alike but for their places and names, and so carry alike. Computes nothing."""

from __future__ import annotations

from lampwright.model.circuit import (
    Board,
    Bulb,
    Chain,
    Diode,
    Driver,
    Element,
    Led,
    Parallel,
    PlacedLamp,
    Regulator,
    Resistor,
)
from lampwright.model.values import Figure

Likeness = tuple[object, ...]
"""All of a circuit that has a say in what flows, without places and names: equal where circuits are alike."""


def likeness(element: Element) -> Likeness:
    """That of `element`, which is within the law (see `outside.first_lack`)."""
    match element:
        case Resistor(resistance=figure):
            return figure.lowest, figure.usual, figure.highest
        case PlacedLamp(lamp=lamp):
            assert lamp is not None
            return "lamp", element.reversed, _of_lamp(lamp.kind)
        case Chain(elements=parts):
            return "chain", element.rail_span is None, *map(likeness, parts)
        case Parallel(branches=branches):
            return "parallel", *map(likeness, branches)
        case Diode(drop=drop):
            return "diode", _of(drop)
        case Regulator(current=current, needs=needs):
            return "regulator", _of(current), _of(needs)
        case Board(voltage=voltage, current=current):
            return "board", _of(voltage), _of(current)
        case Driver():
            return ("driver",)
    raise TypeError(f"no law for {element!r}")


def _of_lamp(kind: Led | Bulb | None) -> Likeness:
    if isinstance(kind, Led):
        return _of(kind.forward_voltage), kind.test_current, _of(kind.built_in_resistor)
    assert kind is not None
    return _of(kind.voltage), _of(kind.current)


def _of(figure: Figure | None) -> Likeness:
    return (figure.lowest, figure.usual, figure.highest) if figure is not None else ()
