"""The settings as they are written: house supply, margins, key convention, levels of rules."""

from typing import Annotated

from lampwright.plan.fields import Field, Maybe
from lampwright.plan.forms import OneOf
from lampwright.plan.ignoring import Pattern
from lampwright.plan.keys import DefinedKey
from lampwright.plan.lamps import Supply
from lampwright.plan.lists import ListShape
from lampwright.plan.names import UsedName
from lampwright.plan.numbers import Whole, version
from lampwright.plan.quantities import Margin, Rating, Share, Temperature, Tolerance
from lampwright.plan.shapes import Shape
from lampwright.plan.words import Text, Word, choice

SERIES = ("E6", "E12", "E24", "E48", "E96")
LEVELS = ("error", "warning", "note", "ignore")

Series = Annotated[Word, choice("series", *SERIES)]


class HouseResistors(Shape):
    """The resistors that the club buys."""

    series: Maybe[Series] = Field(None, description="The series of IEC 60063 to pick from.", examples=["E12"])
    tolerance: Maybe[Tolerance] = Field(None, description="Their tolerance, unless said otherwise.", examples=["5 %"])
    rating: Maybe[Rating] = Field(None, description="Their rating, unless said otherwise.", examples=["1/4 W"])


class MarginShares(Shape):
    """Shares of a limit above which a rule warns."""

    output_current: Maybe[Margin] = Field(None, description="Of an output's limit.", examples=["90 %"])
    lamp_current: Maybe[Margin] = Field(None, description="Of an LED's maximum current.", examples=["90 %"])
    resistor_power: Maybe[Margin] = Field(None, description="Of a resistor's rating.", examples=["50 %"])


class Order(Shape):
    """How the club orders."""

    spares: Maybe[Share] = Field(None, description="What is ordered on top.", examples=["10 %"])


class Patterns(ListShape):
    """Patterns of paths, written as in a .gitignore."""

    root: list[Maybe[Pattern]]


class Settings(Shape):
    """The settings of a repository."""

    lampwright: Maybe[Annotated[Whole, version(1)]] = Field(None, description="Version of the format.", examples=[1])
    supply: Maybe[Supply] = Field(None, description="The house supply.", examples=[{"track": "14.5 V"}])
    resistors: Maybe[Annotated[Series | HouseResistors, OneOf("text", "mapping")]] = Field(
        None, description="The series to pick from, and the house's default resistor.", examples=["E12"]
    )
    margins: Maybe[MarginShares] = Field(
        None, description="Shares of limits above which rules warn.", examples=[{"lamp-current": "90 %"}]
    )
    keys: Maybe[dict[DefinedKey, Maybe[Text]]] = Field(
        None, description="The club's convention for keys.", examples=[{"F0": "Headlamps"}]
    )
    levels: Maybe[dict[UsedName, Maybe[Annotated[Word, choice("level", *LEVELS)]]]] = Field(
        None, description="Levels of rules, by name.", examples=[{"key-off-convention": "warning"}]
    )
    meter: Maybe[Tolerance] = Field(None, description="The tolerance of the club's meter.", examples=["2 %"])
    inside: Maybe[Temperature] = Field(None, description="How warm it gets in a shell.", examples=["40 °C"])
    exclude: Maybe[Patterns] = Field(None, description="Folders and files to leave out.", examples=[["attic/"]])
    order: Maybe[Order] = Field(None, description="How the club orders.", examples=[{"spares": "10 %"}])
