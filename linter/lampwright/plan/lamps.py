"""Lamps and what feeds them, as plans, catalogues and settings write them."""

from typing import ClassVar

from lampwright.plan.fields import Field, Maybe
from lampwright.plan.quantities import LampCurrent, LampVoltage, Resistance, SpreadForward, SpreadSupply, Tolerance
from lampwright.plan.shapes import Shape
from lampwright.plan.words import Text


class Supply(Shape):
    """What feeds the lamps."""

    track: Maybe[SpreadSupply] = Field(None, description="Voltage on the track.", examples=["14.5 V", "13 V to 16 V"])
    common: Maybe[SpreadSupply] = Field(
        None,
        description="Measured from the common wire to a switched-on output; replaces track voltage and drop.",
        examples=["13.0 V"],
    )


class BulbData(Shape):
    """An incandescent lamp."""

    voltage: Maybe[LampVoltage] = Field(description="Where its current flows.", examples=["12 V"])
    current: Maybe[LampCurrent] = Field(description="What it takes at that voltage.", examples=["40 mA"])
    tolerance: Maybe[Tolerance] = Field(None, description="The tolerance of its current.", examples=["10 %"])
    maximum_voltage: Maybe[LampVoltage] = Field(None, description="What it survives.", examples=["14 V"])


class LedData(Shape):
    """An LED."""

    any_of: ClassVar[tuple[tuple[str, ...], ...]] = (("forward-voltage", "colour"),)

    forward_voltage: Maybe[SpreadForward] = Field(None, description="At its test current.", examples=["1.9 V to 2.2 V"])
    at: Maybe[LampCurrent] = Field(None, description="The test current of the forward voltage.", examples=["10 mA"])
    current: Maybe[LampCurrent] = Field(None, description="What the installer wants through it.", examples=["7 mA"])
    maximum_current: Maybe[LampCurrent] = Field(None, description="Its continuous limit.", examples=["20 mA"])
    colour: Maybe[Text] = Field(None, description="The colour of its light.", examples=["warm white"])
    built_in_resistor: Maybe[Resistance] = Field(
        None, description="A resistor mounted on its lead.", examples=["1 kohm"]
    )
