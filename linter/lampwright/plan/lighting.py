"""The lighting plan as it is written: one vehicle, its lamps, what hangs on each output, what each key does."""

from typing import Annotated, ClassVar

from lampwright.plan.circuits import Chain, Rail
from lampwright.plan.conditions import Entries, Looks
from lampwright.plan.fields import Field, Maybe
from lampwright.plan.forms import OneOf
from lampwright.plan.keys import DefinedKey, KeyName
from lampwright.plan.lamps import BulbData, LedData, Supply
from lampwright.plan.lists import ListShape
from lampwright.plan.measured import MeasuredData, MeasuredLeadData
from lampwright.plan.names import LampName, Name, UsedName
from lampwright.plan.numbers import Integer, Whole, version
from lampwright.plan.quantities import Limit, Temperature
from lampwright.plan.shapes import Shape
from lampwright.plan.sheet import INTERFACES, DecoderSheet
from lampwright.plan.words import FilePath, Text, Word, YesNo, choice

SCALES = ("Z", "N", "TT", "HO", "S", "O", "G")
SHELLS = ("plastic", "resin", "metal")


class LongAddress(Shape):
    """A long address, said to be one."""

    long: Maybe[Integer] = Field(description="128 to 10239, or less where a long one is meant.", examples=[112])


class Consist(Shape):
    """The consist that the vehicle runs in."""

    address: Maybe[Integer] = Field(description="The consist's address.", examples=[42])
    reversed: Maybe[YesNo] = Field(None, description="Whether it stands in it the other way round.", examples=[False])
    keys: Maybe[list[Maybe[KeyName]]] = Field(None, description="The keys that obey it.", examples=[["F0", "F6"]])


class Vehicle(Shape):
    """What the plan is for."""

    name: Maybe[Text] = Field(description="What the club calls it.", examples=["Quarry switcher 7"])
    scale: Maybe[Annotated[Word, choice("scale", *SCALES)]] = Field(
        None, description="The scale; it picks the voltage row of S-9.1.", examples=["HO"]
    )
    address: Maybe[Annotated[Integer | LongAddress, OneOf("text", "long")]] = Field(
        None, description="1 to 127 short, 128 to 10239 long; {long: 112} forces a long one.", examples=[2107]
    )
    shell: Maybe[Annotated[Word, choice("shell", *SHELLS)]] = Field(
        None, description="What the body is made of.", examples=["plastic"]
    )
    reversed: Maybe[YesNo] = Field(None, description="Whether its decoder runs the other way.", examples=[True])
    consist: Maybe[Consist] = Field(None, description="The consist it runs in.", examples=[{"address": 42}])
    motor: Maybe[Limit] = Field(None, description="What its motor takes, for the decoder's limit.", examples=["250 mA"])
    socket: Maybe[Annotated[Word, choice("interface", *INTERFACES)]] = Field(
        None, description="The socket in the vehicle.", examples=["NEM 652"]
    )
    inside: Maybe[Temperature] = Field(None, description="How warm it gets in the shell.", examples=["40 °C"])
    set: Maybe[Text] = Field(None, description="Vehicles of one set may share an address.", examples=["quarry railcar"])


class LampData(Shape):
    """A lamp: from the catalogue, or with its own data."""

    one_of: ClassVar[tuple[tuple[str, ...], ...]] = (("part", "bulb", "led"),)
    short: ClassVar[str | None] = "part"

    part: Maybe[Name] = Field(None, description="A lamp of the parts catalogue.", examples=["warm white 0603"])
    bulb: Maybe[BulbData] = Field(
        None, description="An incandescent lamp.", examples=[{"voltage": "12 V", "current": "40 mA"}]
    )
    led: Maybe[LedData] = Field(None, description="An LED.", examples=[{"colour": "red", "current": "4 mA"}])


class Common(Shape):
    """The shared common lead."""

    circuit: Maybe[Chain] = Field(description="What stands in it.", examples=[["100 ohm"]])
    measured: Maybe[MeasuredLeadData] = Field(
        None, description="What a meter showed there when it was built.", examples=[{"current": "20.3 mA"}]
    )


class OutputData(Looks):
    """What hangs on one output, and its usual look."""

    circuit: Maybe[Chain] = Field(
        description="The chain from the common wire to the output.", examples=[["1.5 kohm", "front headlamp"]]
    )
    return_: Maybe[Rail] = Field(None, description="rail: it goes to a rail instead of the common.", examples=["rail"])
    measured: Maybe[MeasuredData] = Field(
        None,
        description="What a meter showed when it was built, fully on and alone; it counts instead of what is assumed.",
        examples=[{"current": "8.1 mA", "voltage": "12.9 V"}],
    )


class KeyData(Shape):
    """What a function key does."""

    label: Maybe[Text] = Field(None, description="What it is called on the throttle.", examples=["Headlamps"])
    momentary: Maybe[YesNo] = Field(None, description="Whether it is on only while pressed.", examples=[True])
    turns_on: Maybe[Entries] = Field(
        None, description="The outputs it turns on.", examples=[[{"output": "white", "when": "forward"}]]
    )


class Paths(ListShape):
    """Paths of files."""

    root: list[Maybe[FilePath]]


class LightingPlan(Shape):
    """A lighting plan: one vehicle with one decoder."""

    lighting_plan: Maybe[Annotated[Whole, version(1)]] = Field(None, description="Version of the format.", examples=[1])
    vehicle: Maybe[Vehicle] = Field(description="What the plan is for.", examples=[{"name": "Quarry switcher 7"}])
    supply: Maybe[Supply] = Field(None, description="What feeds the lamps.", examples=[{"track": "14.5 V"}])
    decoder: Maybe[Annotated[FilePath | DecoderSheet, OneOf("text", "mapping")]] = Field(
        description="The decoder sheet's file, or the sheet itself.", examples=["bench-six.decoder.yaml"]
    )
    parts: Maybe[Paths] = Field(None, description="Parts catalogues.", examples=[["club.parts.yaml"]])
    lamps: Maybe[dict[LampName, Maybe[LampData]]] = Field(
        description="The lamps by name.", examples=[{"front headlamp": {"part": "warm white 0603"}}]
    )
    common: Maybe[Common] = Field(None, description="The shared common lead.", examples=[{"circuit": ["100 ohm"]}])
    outputs: Maybe[dict[UsedName, Maybe[OutputData]]] = Field(
        description="What hangs on each output.", examples=[{"white": {"circuit": ["1.5 kohm", "front headlamp"]}}]
    )
    keys: Maybe[dict[DefinedKey, Maybe[KeyData]]] = Field(
        description="What each key does.", examples=[{"F0": {"label": "Headlamps"}}]
    )
    always: Maybe[Entries] = Field(
        None, description="Entries that need no key.", examples=[[{"output": "brown", "when": "moving"}]]
    )
