"""Quantities of the language: one leaf a field, so that each knows its dimension, its likely unit and its bounds.

A text becomes a figure in SI with its place, or a problem at the smallest culprit and None.
"""

from collections.abc import Callable
from typing import Annotated, Any

from lampwright.plan.fields import Field, Maybe, Read
from lampwright.plan.forms import OneOf
from lampwright.plan.leaf import Leaf
from lampwright.plan.patterns import pattern_of
from lampwright.plan.reader import Reader
from lampwright.plan.shapes import Shape
from lampwright.records import dataclass, replace
from lampwright.syntax import Scalar
from lampwright.text import Span
from lampwright.units import Dimension, Misread, ResistorText, read, read_range, read_resistor

Bounds = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Measured:
    """A quantity as written, in SI; the three are equal where no spread is stated."""

    lowest: float
    usual: float
    highest: float
    span: Span


def report_misreads(node: Scalar, misreads: tuple[Misread, ...], report: Callable[..., None]) -> None:
    """Place what `units` could not read at its characters in the file, by `report` of a reader or of notes."""
    for misread in misreads:
        place = node.part(misread.start, misread.end) if misread.start < misread.end else node.span
        report(misread.kind, place, misread=misread)


def _spread(dimension: Dimension, bounds: Bounds) -> Callable[[Scalar, Reader], Any]:
    def read_spread(node: Scalar, reader: Reader) -> Measured | None:
        values = read_range(node, dimension)
        misreads = tuple(value for value in values if isinstance(value, Misread))
        if misreads:
            report_misreads(node, misreads, reader.report)
            return None
        lowest, usual, highest = (value for value in values if not isinstance(value, Misread))
        sensible = is_sensible(lowest, highest, dimension, bounds, node.span, reader)
        return Measured(lowest, usual, highest, node.span) if sensible else None

    return read_spread


def _single(dimension: Dimension, bounds: Bounds) -> Callable[[Scalar, Reader], Any]:
    def read_single(node: Scalar, reader: Reader) -> Measured | None:
        value = read(node, dimension)
        if isinstance(value, Misread):
            report_misreads(node, (_of_resistor(node, for_one_figure(value)),), reader.report)
            return None
        sensible = is_sensible(value, value, dimension, bounds, node.span, reader)
        return Measured(value, value, value, node.span) if sensible else None

    return read_single


def for_one_figure(misread: Misread) -> Misread:
    """The same mistake where no range may stand: what would be one is neither asked for nor proposed."""
    if misread.reason not in ("dash-range", "plus-minus", "reversed-range"):
        return misread
    return replace(misread, reason="range", meant=())


def _of_resistor(node: Scalar, misread: Misread) -> Misread:
    """The same mistake, told better where a whole resistor stands in the field of its resistance."""
    if misread.dimension is not Dimension.RESISTANCE or not isinstance(read_resistor(node), ResistorText):
        return misread
    return replace(misread, reason="resistor-parts", meant=())


def is_sensible(
    lowest: float, highest: float, dimension: Dimension, bounds: Bounds, span: Span, reader: Reader
) -> bool:
    """Whether a figure can be computed with; one outside `bounds` is reported in any case.

    It cannot if it is a zero that no circuit can have, or a share of more than the whole.
    """
    low, high = bounds
    if low <= lowest and highest <= high:
        return True
    value = lowest if lowest < low else highest
    reader.remark("implausible-value", span, value=value, lowest=low, highest=high, dimension=dimension)
    if lowest > 0 and (dimension is not Dimension.SHARE or highest < 1):
        return True
    reader.has_losses = True
    return False


def _quantity(dimension: Dimension, example: str, lowest: float, highest: float) -> Leaf:
    schema = {
        "type": "string",
        "pattern": pattern_of(dimension),
        "description": f"One figure with its unit, {_UNITS[dimension]}.",
        "examples": [example],
    }
    return Leaf(_single(dimension, (lowest, highest)), schema, "quantity")


def _range(dimension: Dimension, example: str, lowest: float, highest: float) -> Leaf:
    schema = {
        "type": "string",
        "pattern": pattern_of(dimension, is_range=True),
        "description": f"A figure with its unit, {_UNITS[dimension]}, or a range, A to B, both with the unit.",
        "examples": [example],
    }
    return Leaf(_spread(dimension, (lowest, highest)), schema, "quantity")


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
RESISTANCE_BOUNDS = (0, 2e5)
RATING_BOUNDS = (0.01, 20)
TOLERANCE_BOUNDS = (0, 0.5)
_SUPPLY_BOUNDS, _DROP_BOUNDS, _FORWARD_BOUNDS, _SMALL_BOUNDS = (4, 30), (0, 5), (0.8, 12), (0.1, 12)

_AnyVoltage = Annotated[Measured, _quantity(Dimension.VOLTAGE, "2.8 V", 0, float("inf"))]
SupplyVoltage = Annotated[Measured, _range(Dimension.VOLTAGE, "14.5 V", *_SUPPLY_BOUNDS)]
DropVoltage = Annotated[Measured, _range(Dimension.VOLTAGE, "1.4 V", *_DROP_BOUNDS)]
ForwardVoltage = Annotated[Measured, _range(Dimension.VOLTAGE, "1.9 V to 2.2 V", *_FORWARD_BOUNDS)]
SmallVoltage = Annotated[Measured, _range(Dimension.VOLTAGE, "0.7 V", *_SMALL_BOUNDS)]
LogicVoltage = Annotated[Measured, _quantity(Dimension.VOLTAGE, "5 V", 1, 6)]
LampVoltage = Annotated[Measured, _quantity(Dimension.VOLTAGE, "12 V", 0.5, 40)]
LampCurrent = Annotated[Measured, _quantity(Dimension.CURRENT, "15 mA", 1e-4, 2)]
CurrentReading = Annotated[Measured, _quantity(Dimension.CURRENT, "8.1 mA", 0, 2)]
VoltageReading = Annotated[Measured, _quantity(Dimension.VOLTAGE, "12.9 V", 0, 40)]
Limit = Annotated[Measured, _quantity(Dimension.CURRENT, "100 mA", 1e-4, 20)]
Resistance = Annotated[Measured, _quantity(Dimension.RESISTANCE, "1.5 kohm", *RESISTANCE_BOUNDS)]
Rating = Annotated[Measured, _quantity(Dimension.POWER, "1/4 W", *RATING_BOUNDS)]
Tolerance = Annotated[Measured, _quantity(Dimension.SHARE, "5 %", *TOLERANCE_BOUNDS)]
Share = Annotated[Measured, _quantity(Dimension.SHARE, "90 %", 0, 1)]
Margin = Annotated[Measured, _quantity(Dimension.SHARE, "90 %", 0.01, 1)]
Rate = Annotated[Measured, _quantity(Dimension.RATE, "60 per minute", 0.001, 20)]
RateOrNone = Annotated[Measured, _quantity(Dimension.RATE, "30 per minute", 0, 20)]
RateRange = Annotated[Measured, _range(Dimension.RATE, "30 to 120 per minute", 0.001, 20)]
Temperature = Annotated[Measured, _quantity(Dimension.TEMPERATURE, "40 °C", 0, 100)]


class VoltageSpread(Shape):
    """A voltage with its spread said in full; without `usual` the middle is meant."""

    lowest: Maybe[_AnyVoltage] = Field(description="The least that it can be.", examples=["13 V"])
    usual: Maybe[_AnyVoltage] = Field(None, description="What it is as a rule.", examples=["14.5 V"])
    highest: Maybe[_AnyVoltage] = Field(description="The most that it can be.", examples=["16 V"])


class _Within:
    """An annotation that holds each figure of a spread against the bounds of its field, like one written as a text."""

    def __init__(self, bounds: Bounds) -> None:
        self._bounds = bounds

    def reading(self, source: Any, inner: Read | None) -> Read:  # noqa: ARG002  # what it is, `inner` knows
        """Reads as the mark before it, then looks at the figures."""
        assert inner is not None
        read = inner

        def read_within(node: Any, reader: Reader) -> Any:
            value = read(node, reader)
            if isinstance(value, VoltageSpread):
                self._drop_senseless(value, reader)
                self._drop_disorder(value, reader)
            return value

        return read_within

    def _drop_senseless(self, spread: "VoltageSpread", reader: Reader) -> None:
        for field in ("lowest", "usual", "highest"):
            each = getattr(spread, field)
            if each is not None and not is_sensible(
                each.lowest, each.highest, Dimension.VOLTAGE, self._bounds, each.span, reader
            ):
                setattr(spread, field, None)

    def _drop_disorder(self, spread: "VoltageSpread", reader: Reader) -> None:
        """Drops figures that were reported as implausible where the order shows that they are wrong indeed."""
        low, high = self._bounds
        figures = [(field, getattr(spread, field)) for field in ("lowest", "usual", "highest")]
        known = [figure.usual for _, figure in figures if figure is not None]
        if known != sorted(known):
            for field, figure in figures:
                if figure is not None and not low <= figure.usual <= high:
                    setattr(spread, field, None)
                    reader.has_losses = True


SpreadSupply = Annotated[SupplyVoltage | VoltageSpread, OneOf("text", "mapping"), _Within(_SUPPLY_BOUNDS)]
SpreadDrop = Annotated[DropVoltage | VoltageSpread, OneOf("text", "mapping"), _Within(_DROP_BOUNDS)]
SpreadForward = Annotated[ForwardVoltage | VoltageSpread, OneOf("text", "mapping"), _Within(_FORWARD_BOUNDS)]
SpreadSmall = Annotated[SmallVoltage | VoltageSpread, OneOf("text", "mapping"), _Within(_SMALL_BOUNDS)]
