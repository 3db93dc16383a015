"""Conditions, looks and entries: when an output burns and how, in plans and in the fixed keys of a decoder sheet."""

from typing import Annotated, ClassVar

from lampwright.plan.fields import Field, Maybe
from lampwright.plan.forms import OneOf
from lampwright.plan.keys import ConditionText
from lampwright.plan.lists import ListShape
from lampwright.plan.names import Name
from lampwright.plan.quantities import Rate, Share
from lampwright.plan.shapes import Shape


class AnyCondition(Shape):
    """At least one of the conditions."""

    any: Maybe["Conditions"] = Field(description="The conditions.", examples=[["F3", "F4"]])


class Conditions(ListShape):
    """All of the conditions."""

    root: list[Maybe["Condition"]]


Condition = Annotated[ConditionText | Conditions | AnyCondition, OneOf("text", "list", "any")]


class OutputNames(ListShape):
    """Several outputs."""

    root: list[Maybe[Name]]


Outputs = Annotated[Name | OutputNames, OneOf("text", "list")]


class Looks(Shape):
    """What may be said of how an output burns."""

    effect: Maybe[Name] = Field(None, description="An effect of the decoder sheet.", examples=["alternating flash"])
    brightness: Maybe[Share] = Field(None, description="The share of full brightness.", examples=["40 %"])
    rate: Maybe[Rate] = Field(None, description="How often the effect repeats.", examples=["60 per minute"])


class Entry(Looks):
    """What a key turns on, when and how."""

    short: ClassVar[str | None] = "output"

    output: Maybe[Outputs] = Field(description="An output or several.", examples=["white", ["green", "violet"]])
    when: Maybe[Condition] = Field(
        None, description="The conditions besides the key itself.", examples=["forward", ["forward", "F0"]]
    )


class Entries(ListShape):
    """All that a key turns on."""

    short: ClassVar[str | None] = "output"

    root: list[Maybe[Entry]]
