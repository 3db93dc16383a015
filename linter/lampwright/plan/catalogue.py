"""The parts catalogue as it is written: lamps and resistors with their data, and what the club has in stock."""

from typing import Annotated, ClassVar

from lampwright.plan.circuits import Size
from lampwright.plan.fields import Field, Maybe
from lampwright.plan.lamps import BulbData, LedData
from lampwright.plan.names import DefinedName
from lampwright.plan.numbers import Integer, Whole, version, whole
from lampwright.plan.quantities import Rating, Resistance, Tolerance
from lampwright.plan.shapes import Shape

PackSize = Annotated[Whole, whole(1)]


class CatalogueLamp(Shape):
    """A lamp that plans name as their part."""

    one_of: ClassVar[tuple[tuple[str, ...], ...]] = (("bulb", "led"),)

    bulb: Maybe[BulbData] = Field(
        None, description="An incandescent lamp.", examples=[{"voltage": "12 V", "current": "40 mA"}]
    )
    led: Maybe[LedData] = Field(None, description="An LED.", examples=[{"colour": "red", "current": "4 mA"}])
    stock: Maybe[Integer] = Field(None, description="How many the club has.", examples=[12])
    pack: Maybe[PackSize] = Field(None, description="How many are sold together.", examples=[10])


class CatalogueResistor(Shape):
    """A resistor with its stock."""

    value: Maybe[Resistance] = Field(description="Its resistance.", examples=["1.5 kohm"])
    rating: Maybe[Rating] = Field(None, description="The heat it stands for good.", examples=["1/4 W"])
    tolerance: Maybe[Tolerance] = Field(None, description="The tolerance of its resistance.", examples=["5 %"])
    size: Maybe[Size] = Field(None, description="Its case, which gives the rating if none is said.", examples=["0805"])
    stock: Maybe[Integer] = Field(None, description="How many the club has.", examples=[100])
    pack: Maybe[PackSize] = Field(None, description="How many are sold together.", examples=[25])


class PartsCatalogue(Shape):
    """What a club keeps."""

    parts_catalogue: Maybe[Annotated[Whole, version(1)]] = Field(
        None, description="Version of the format.", examples=[1]
    )
    lamps: Maybe[dict[DefinedName, Maybe[CatalogueLamp]]] = Field(
        None, description="The lamps by name.", examples=[{"warm white 0603": {"led": {"colour": "warm white"}}}]
    )
    resistors: Maybe[list[Maybe[CatalogueResistor]]] = Field(
        None, description="The resistors.", examples=[[{"value": "1.5 kohm", "rating": "1/4 W", "stock": 100}]]
    )
