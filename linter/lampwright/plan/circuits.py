"""Circuits as they are written: chains of elements, side by side and inside each other."""

from typing import Annotated, ClassVar

from lampwright.plan.elements import ElementText
from lampwright.plan.fields import Field, Maybe
from lampwright.plan.forms import OneOf
from lampwright.plan.lists import ListShape
from lampwright.plan.names import Name
from lampwright.plan.quantities import (
    LampCurrent,
    LampVoltage,
    Limit,
    Rating,
    Resistance,
    SmallVoltage,
    SpreadSmall,
    Tolerance,
)
from lampwright.plan.shapes import Shape
from lampwright.plan.words import Word, YesNo, choice

ELEMENT_KEYS = ("lamp", "resistor", "parallel", "series", "diode", "current-regulator", "board", "driver")
SIZES = ("0201", "0402", "0603", "0805", "1206", "1210", "1812", "2010", "2512")

Size = Annotated[Word, choice("size", *SIZES)]
Rail = Annotated[Word, choice("return", "rail")]


class KeyedElement(Shape):
    """An element that is told by one of its keys, and so has no key of another element."""

    rivals: ClassVar[tuple[str, ...]] = ELEMENT_KEYS


class LampElement(KeyedElement):
    """A lamp in a circuit, where more than its name is said."""

    lamp: Maybe[Name] = Field(description="The lamp's name.", examples=["marker lamp"])
    reversed: Maybe[YesNo] = Field(None, description="Whether it is put in against the feed.", examples=[True])


class ResistorElement(KeyedElement):
    """A resistor in a circuit, where more is said than fits in one text."""

    resistor: Maybe[Resistance] = Field(description="Its resistance.", examples=["820 ohm"])
    rating: Maybe[Rating] = Field(None, description="The heat it stands for good.", examples=["500 mW"])
    tolerance: Maybe[Tolerance] = Field(None, description="The tolerance of its resistance.", examples=["5 %"])
    size: Maybe[Size] = Field(None, description="Its case, which gives the rating if none is said.", examples=["0805"])


class ParallelElement(KeyedElement):
    """Chains side by side."""

    parallel: Maybe["Branches"] = Field(description="The chains.", examples=[[["1 kohm", "marker lamp"], ["cab lamp"]]])


class SeriesElement(KeyedElement):
    """A chain within a chain."""

    series: Maybe["Chain"] = Field(description="The chain.", examples=[["1 kohm", "marker lamp"]])


class RailBranch(Shape):
    """A branch of a parallel that may return to a rail instead of the common."""

    series: Maybe["Chain"] = Field(description="The chain.", examples=[["1 kohm", "marker lamp"]])
    return_: Maybe[Rail] = Field(None, description="rail: this branch goes to a rail.", examples=["rail"])


class DiodeElement(KeyedElement):
    """A plain diode."""

    diode: Maybe[SpreadSmall] = Field(description="Its forward drop.", examples=["0.7 V"])


class RegulatorElement(KeyedElement):
    """A current regulator."""

    current_regulator: Maybe[LampCurrent] = Field(description="The current it lets through.", examples=["10 mA"])
    needs: Maybe[SmallVoltage] = Field(None, description="The voltage it needs for itself.", examples=["2 V"])


class BoardData(Shape):
    """A ready-made lighting board."""

    voltage: Maybe[LampVoltage] = Field(description="The voltage it is made for.", examples=["12 V"])
    current: Maybe[LampCurrent] = Field(description="The current it takes there.", examples=["20 mA"])


class BoardElement(KeyedElement):
    """A ready-made lighting board in a circuit."""

    board: Maybe[BoardData] = Field(description="Its data.", examples=[{"voltage": "12 V", "current": "20 mA"}])


class DriverData(Shape):
    """A transistor that a logic-level output commands."""

    limit: Maybe[Limit] = Field(description="The current it can switch.", examples=["200 mA"])


class DriverElement(KeyedElement):
    """A driver in a circuit: the rest of the chain hangs on it."""

    driver: Maybe[DriverData] = Field(description="Its data.", examples=[{"limit": "200 mA"}])


Element = Annotated[
    ElementText
    | LampElement
    | ResistorElement
    | ParallelElement
    | SeriesElement
    | DiodeElement
    | RegulatorElement
    | BoardElement
    | DriverElement,
    OneOf("text", *ELEMENT_KEYS),
]


class Chain(ListShape):
    """Elements in series, read from the common wire to the output."""

    root: list[Maybe[Element]]


Branch = Annotated[Chain | RailBranch, OneOf("list", "series")]


class Branches(ListShape):
    """Chains side by side."""

    of_lists: ClassVar[bool] = True
    root: list[Maybe[Branch]]
