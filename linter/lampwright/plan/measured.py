"""What a meter showed at an output, as it is written beside the circuit of what was built."""

from lampwright.plan.conditions import Outputs
from lampwright.plan.fields import Field, Maybe
from lampwright.plan.names import UsedName
from lampwright.plan.quantities import CurrentReading, VoltageReading
from lampwright.plan.shapes import Shape


class MeasuredData(Shape):
    """What was read off a meter with the output fully on and alone."""

    current: Maybe[CurrentReading] = Field(None, description="Through the output.", examples=["8.1 mA"])
    voltage: Maybe[VoltageReading] = Field(
        None,
        description="From the common wire to the output; replaces supply and drop for this output.",
        examples=["12.9 V"],
    )
    across: Maybe[dict[UsedName, Maybe[VoltageReading]]] = Field(
        None,
        description="From one end to the other of a lamp, or of a resistor, which is named by its value.",
        examples=[{"front headlamp": "2.9 V", "1.5 kohm": "10.0 V"}],
    )


class MeasuredLeadData(Shape):
    """What was read off a meter in the common lead."""

    outputs: Maybe[Outputs] = Field(
        None, description="The outputs that were fully on together; all of them unless said.", examples=["white"]
    )
    current: Maybe[CurrentReading] = Field(None, description="Through the common lead.", examples=["20.3 mA"])
    voltage: Maybe[VoltageReading] = Field(
        None,
        description="From the decoder's common, before all in the lead, to an output; replaces supply and drop.",
        examples=["12.9 V"],
    )
    across: Maybe[dict[UsedName, Maybe[VoltageReading]]] = Field(
        None, description="From one end to the other of what stands in it.", examples=[{"100 ohm": "2.03 V"}]
    )
