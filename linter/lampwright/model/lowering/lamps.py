"""Lamps of plans and catalogues, with the defaults of their data, and the supply that feeds them."""

from __future__ import annotations

from lampwright.model.circuit import Bulb, Led
from lampwright.model.defaults import (
    BULB_MAXIMUM,
    FORWARD_VOLTAGE,
    LED_MAXIMUM_CURRENT,
    TEST_CURRENT,
)
from lampwright.model.lowering.names import Notes
from lampwright.model.lowering.values import figure, spread_figure, with_tolerance
from lampwright.model.values import Figure, Origin
from lampwright.plan.lamps import BulbData, LedData
from lampwright.units import Dimension


def bulb(data: BulbData, notes: Notes) -> Bulb | None:
    """The bulb that `data` describes, None if anything it needs was dropped."""
    if data.voltage is None or data.current is None or data.lost("tolerance") or data.lost("maximum_voltage"):
        return None
    notes.at_least(data.maximum_voltage, data.voltage, Dimension.VOLTAGE)
    tolerance = data.tolerance.usual if data.tolerance is not None else 0.0
    maximum = figure(data.maximum_voltage) or Figure.exact(BULB_MAXIMUM * data.voltage.usual)
    return Bulb(
        voltage=Figure.exact(data.voltage.usual, data.voltage.span),
        current=with_tolerance(data.current.usual, tolerance, data.current),
        maximum_voltage=maximum,
    )


def led(data: LedData, notes: Notes) -> Led | None:
    """The LED that `data` describes, None if anything it needs was dropped or its colour says too little."""
    forward_voltage = _forward_voltage(data, notes)
    if forward_voltage is None or any(map(data.lost, ("at", "current", "maximum_current", "built_in_resistor"))):
        return None
    # Nobody can mean a wish above the maximum, so that nothing is judged by it.
    can_be_wished = notes.at_most(data.current, data.maximum_current, Dimension.CURRENT)
    return Led(
        forward_voltage=forward_voltage,
        test_current=data.at.usual if data.at is not None else TEST_CURRENT,
        wish=figure(data.current) if can_be_wished else None,
        maximum_current=figure(data.maximum_current) or LED_MAXIMUM_CURRENT,
        built_in_resistor=figure(data.built_in_resistor) or Figure.exact(0.0),
        colour=data.colour.text if data.colour is not None else None,
    )


def _forward_voltage(data: LedData, notes: Notes) -> Figure | None:
    if data.forward_voltage is not None or data.lost("forward_voltage"):
        return spread_figure(data.forward_voltage, notes)
    if data.colour is None:
        return None
    if data.colour.text not in FORWARD_VOLTAGE:
        notes.unknown("colour", data.colour, FORWARD_VOLTAGE)
        return None
    lowest, highest = FORWARD_VOLTAGE[data.colour.text]
    return Figure(lowest, (lowest + highest) / 2, highest, data.colour.span, Origin.SECOND_HAND)
