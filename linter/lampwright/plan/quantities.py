"""Quantities of the language: one leaf a field, so that each knows its dimension, its likely unit and its bounds.

A text becomes a figure in SI with its place, or a problem at the smallest culprit and None.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any

from lampwright.plan.leaf import Leaf
from lampwright.plan.shapes import Maybe, OneOf, Reader, Shape
from lampwright.syntax import Scalar
from lampwright.text import Span
from lampwright.units import Dimension, Misread, read, read_range


@dataclass(frozen=True, slots=True)
class Measured:
    """A quantity as written, in SI; the three are equal where no spread is stated."""

    lowest: float
    usual: float
    highest: float
    span: Span


def report_misreads(node: Scalar, misreads: tuple[Misread, ...], reader: Reader) -> None:
    """Place what `units` could not read at its characters in the file."""
    for misread in misreads:
        place = node.part(misread.start, misread.end) if misread.start < misread.end else node.span
        reader.report(misread.kind, place, misread=misread)


def _spread(dimension: Dimension, bounds: tuple[float, float]) -> Callable[[Scalar, Reader], Any]:
    def read_spread(node: Scalar, reader: Reader) -> Measured | None:
        values = read_range(node, dimension)
        misreads = tuple(value for value in values if isinstance(value, Misread))
        if misreads:
            report_misreads(node, misreads, reader)
            return None
        lowest, usual, highest = (value for value in values if not isinstance(value, Misread))
        return _plausible(Measured(lowest, usual, highest, node.span), dimension, bounds, reader)

    return read_spread


def _single(dimension: Dimension, bounds: tuple[float, float]) -> Callable[[Scalar, Reader], Any]:
    def read_single(node: Scalar, reader: Reader) -> Measured | None:
        value = read(node, dimension)
        if isinstance(value, Misread):
            report_misreads(node, (value,), reader)
            return None
        return _plausible(Measured(value, value, value, node.span), dimension, bounds, reader)

    return read_single


def _plausible(
    measured: Measured, dimension: Dimension, bounds: tuple[float, float], reader: Reader
) -> Measured | None:
    """The figure, reported if it lies outside `bounds`, and dropped if it is a zero that no circuit can have."""
    lowest, highest = bounds
    if lowest <= measured.lowest and measured.highest <= highest:
        return measured
    value = measured.lowest if measured.lowest < lowest else measured.highest
    reader.remark("implausible-value", measured.span, value=value, lowest=lowest, highest=highest, dimension=dimension)
    if measured.lowest > 0:
        return measured
    reader.has_losses = True
    return None


def _quantity(dimension: Dimension, example: str, lowest: float, highest: float) -> Leaf:
    schema = {"type": "string", "description": f"One figure with its unit, {_UNITS[dimension]}.", "examples": [example]}
    return Leaf(_single(dimension, (lowest, highest)), schema)


def _range(dimension: Dimension, example: str, lowest: float, highest: float) -> Leaf:
    schema = {
        "type": "string",
        "description": f"A figure with its unit, {_UNITS[dimension]}, or a range, A to B, both with the unit.",
        "examples": [example],
    }
    return Leaf(_spread(dimension, (lowest, highest)), schema)


_UNITS = {
    Dimension.VOLTAGE: "V, mV or kV",
    Dimension.CURRENT: "A, mA or uA",
    Dimension.RESISTANCE: "ohm, kohm or Mohm, or in letter code (4k7)",
    Dimension.POWER: "W or mW; 1/8 W, 1/4 W and 1/2 W may be written as fractions",
    Dimension.SHARE: "%",
    Dimension.RATE: "per minute",
    Dimension.TEMPERATURE: "°C",
}

# Bounds are in SI and wide: they find a slipped thousand, not bad taste. They are common practice.
PlainVoltage = Annotated[Measured, _quantity(Dimension.VOLTAGE, "2.8 V", 0, 40)]
SupplyVoltage = Annotated[Measured, _range(Dimension.VOLTAGE, "14.5 V", 4, 30)]
DropVoltage = Annotated[Measured, _range(Dimension.VOLTAGE, "1.4 V", 0, 5)]
SmallVoltage = Annotated[Measured, _range(Dimension.VOLTAGE, "0.7 V", 0.1, 12)]
LogicVoltage = Annotated[Measured, _quantity(Dimension.VOLTAGE, "5 V", 1, 6)]
LampVoltage = Annotated[Measured, _quantity(Dimension.VOLTAGE, "12 V", 0.5, 40)]
ForwardVoltage = Annotated[Measured, _range(Dimension.VOLTAGE, "1.9 V to 2.2 V", 0.8, 12)]
LampCurrent = Annotated[Measured, _quantity(Dimension.CURRENT, "15 mA", 1e-4, 2)]
Limit = Annotated[Measured, _quantity(Dimension.CURRENT, "100 mA", 1e-4, 20)]
Resistance = Annotated[Measured, _quantity(Dimension.RESISTANCE, "1.5 kohm", 0, 2e5)]
Rating = Annotated[Measured, _quantity(Dimension.POWER, "1/4 W", 0.01, 20)]
Tolerance = Annotated[Measured, _quantity(Dimension.SHARE, "5 %", 0, 0.5)]
Share = Annotated[Measured, _quantity(Dimension.SHARE, "90 %", 0, 1)]
Rate = Annotated[Measured, _quantity(Dimension.RATE, "60 per minute", 0, 20)]
RateRange = Annotated[Measured, _range(Dimension.RATE, "30 to 120 per minute", 0.001, 20)]
Temperature = Annotated[Measured, _quantity(Dimension.TEMPERATURE, "40 °C", 0, 100)]


class VoltageSpread(Shape):
    """A voltage with its spread said in full; without `usual` the middle is meant."""

    lowest: Maybe[PlainVoltage]
    usual: Maybe[PlainVoltage] = None
    highest: Maybe[PlainVoltage]


SpreadSupply = Annotated[SupplyVoltage | VoltageSpread, OneOf("text", "mapping")]
SpreadDrop = Annotated[DropVoltage | VoltageSpread, OneOf("text", "mapping")]
SpreadForward = Annotated[ForwardVoltage | VoltageSpread, OneOf("text", "mapping")]
SpreadSmall = Annotated[SmallVoltage | VoltageSpread, OneOf("text", "mapping")]
