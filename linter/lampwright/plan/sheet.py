"""The decoder sheet as it is written: what one decoder's manual says about outputs, limits, keys, effects and CVs."""

from typing import Annotated, ClassVar

from lampwright.plan.conditions import Condition, Entries
from lampwright.plan.fields import Field, Maybe
from lampwright.plan.forms import OneOf
from lampwright.plan.keys import HIGHEST_KEY, DefinedKey, KeySpan
from lampwright.plan.lists import ListShape
from lampwright.plan.names import DefinedName, Name, UsedName
from lampwright.plan.numbers import BitRange, Integer, Whole, version, whole
from lampwright.plan.quantities import Limit, LogicVoltage, Rate, RateOrNone, RateRange, SpreadDrop, SpreadSupply
from lampwright.plan.shapes import Shape
from lampwright.plan.words import Text, Word, choice

INTERFACES = ("NEM 651", "NEM 652", "NEM 654", "NEM 660", "PluX22", "Next18")
METHODS = ("function-matrix", "by-function", "by-output-matrix", "by-output-numbers", "by-output-states", "fixed")
DIGITS = ("ones", "tens", "hundreds", "low", "high")
FIELDS = ("effect", "condition", "rate", "brightness")

Method = Annotated[Word, choice("mapping", *METHODS)]
OutputNumber = Annotated[Whole, whole(1)]
EffectKind = Annotated[Word, choice("field", "effect")]
ConditionKind = Annotated[Word, choice("field", "condition")]
RateKind = Annotated[Word, choice("field", "rate")]
BrightnessKind = Annotated[Word, choice("field", "brightness")]


class CommonVoltage(Shape):
    """What stands behind the decoder: the track voltage less a drop, or a regulated voltage."""

    one_of: ClassVar[tuple[tuple[str, ...], ...]] = (("drop", "regulated"),)

    drop: Maybe[SpreadDrop] = Field(None, description="Rectifier and switch together.", examples=["1.4 V"])
    regulated: Maybe[SpreadSupply] = Field(None, description="A regulated common.", examples=["12 V"])


class Limits(Shape):
    """What the decoder as a whole carries."""

    outputs_together: Maybe[Limit] = Field(None, description="All outputs at once.", examples=["500 mA"])
    whole_decoder: Maybe[Limit] = Field(None, description="Motor and outputs at once.", examples=["1 A"])


class SheetOutput(Shape):
    """One output."""

    number: Maybe[OutputNumber] = Field(description="Its number in the function mapping.", examples=[1])
    limit: Maybe[Limit] = Field(None, description="What it carries continuously.", examples=["100 mA"])
    surge: Maybe[Limit] = Field(None, description="What it carries for a moment.", examples=["400 mA"])
    logic_level: Maybe[LogicVoltage] = Field(
        None, description="Its voltage, if it is no power output.", examples=["5 V"]
    )


class Window(Shape):
    """The windows of the function matrix, where they differ from S-9.2.2."""

    first_output: Maybe[dict[KeySpan, Maybe[OutputNumber]]] = Field(
        description="The output of bit 0 for these keys.", examples=[{"F4 to F8": 1}]
    )


class ShiftedMatrix(Shape):
    """The function matrix with windows of its own."""

    function_matrix: Maybe[Window] = Field(
        description="What differs from S-9.2.2.", examples=[{"first-output": {"F4 to F8": 1}}]
    )


class SheetKeys(Shape):
    """How keys are mapped to outputs."""

    highest: Maybe[Annotated[Whole, whole(0, HIGHEST_KEY)]] = Field(
        None, description="The highest key the decoder knows.", examples=[28]
    )
    mapping: Maybe[Annotated[Method | ShiftedMatrix, OneOf("text", "function-matrix")]] = Field(
        None, description="The mapping method: CV33 to CV46, an RCN-227 page, or fixed.", examples=["function-matrix"]
    )
    fixed: Maybe[dict[DefinedKey, Maybe[Entries]]] = Field(
        None, description="With mapping fixed: what each key does.", examples=[{"F0": [{"output": "white"}]}]
    )


class PairCodes(Shape):
    """The codes of an effect that is made for a pair."""

    first: Maybe[Integer] = Field(description="The code for the first output.", examples=[8])
    second: Maybe[Integer] = Field(description="The code for the second output.", examples=[9])


class Pair(ListShape):
    """Two outputs that belong together."""

    root: list[Maybe[Name]]


class Pairs(ListShape):
    """All pairs of outputs."""

    of_lists: ClassVar[bool] = True
    root: list[Maybe[Pair]]


class Effect(Shape):
    """An effect with its code."""

    at_most: ClassVar[tuple[tuple[str, ...], ...]] = (("code", "codes"),)

    code: Maybe[Integer] = Field(None, description="Its code in the register.", examples=[2])
    codes: Maybe[PairCodes] = Field(None, description="Its codes, for a pair.", examples=[{"first": 8, "second": 9}])
    pairs: Maybe[Pairs] = Field(None, description="The outputs it works for.", examples=[[["green", "violet"]]])
    rate: Maybe[RateRange] = Field(None, description="The rates it can have.", examples=["30 to 120 per minute"])


class Page(Shape):
    """The page of an indexed CV."""

    CV31: Maybe[Integer] = Field(description="The value of CV31.", examples=[16], alias="CV31")
    CV32: Maybe[Integer] = Field(description="The value of CV32.", examples=[0], alias="CV32")


class Place(Shape):
    """Where in its CV a field stands."""

    one_of: ClassVar[tuple[tuple[str, ...], ...]] = (("digit", "bits"),)

    digit: Maybe[Annotated[Word, choice("digit", *DIGITS)]] = Field(
        None, description="A decimal digit (ones, tens, hundreds) or a hex digit (low, high).", examples=["tens"]
    )
    bits: Maybe[BitRange] = Field(None, description="A range of bits.", examples=["0 to 5"])


class EffectField(Place):
    """A field that holds the code of an effect."""

    what: Maybe[EffectKind] = Field(description="That this field holds an effect's code.", examples=["effect"])


class ConditionCode(Shape):
    """The code of a condition."""

    code: Maybe[Integer] = Field(description="The code.", examples=[3])
    when: Maybe[Condition] = Field(description="The condition; [] means no further one.", examples=["forward", []])


class ConditionField(Place):
    """A field that holds the code of a condition."""

    what: Maybe[ConditionKind] = Field(description="That this field holds a condition's code.", examples=["condition"])
    codes: Maybe[list[Maybe[ConditionCode]]] = Field(
        description="The conditions it can say.", examples=[[{"code": 0, "when": []}]]
    )


class RateCode(Shape):
    """The code of a rate."""

    code: Maybe[Integer] = Field(description="The code.", examples=[3])
    rate: Maybe[RateOrNone] = Field(description="The rate.", examples=["60 per minute"])


class RateField(Place):
    """A field that holds a rate."""

    one_of: ClassVar[tuple[tuple[str, ...], ...]] = (*Place.one_of, ("codes", "per-step"))
    at_most: ClassVar[tuple[tuple[str, ...], ...]] = (("codes", "offset"),)

    what: Maybe[RateKind] = Field(description="That this field holds a rate.", examples=["rate"])
    codes: Maybe[list[Maybe[RateCode]]] = Field(
        None, description="The rates it can say.", examples=[[{"code": 0, "rate": "60 per minute"}]]
    )
    per_step: Maybe[Rate] = Field(None, description="The rate that one step adds.", examples=["1 per minute"])
    offset: Maybe[RateOrNone] = Field(None, description="The rate at zero.", examples=["30 per minute"])


class BrightnessField(Place):
    """A field that holds a brightness."""

    what: Maybe[BrightnessKind] = Field(description="That this field holds a brightness.", examples=["brightness"])
    full: Maybe[Annotated[Whole, whole(1)]] = Field(
        None, description="The value of full brightness; the highest that fits if none is said.", examples=[63]
    )


RegisterField = Annotated[EffectField | ConditionField | RateField | BrightnessField, OneOf(*FIELDS, by="what")]


class Register(Shape):
    """A CV of the maker's own."""

    cv: Maybe[Annotated[Integer | dict[UsedName, Maybe[Integer]], OneOf("text", "mapping")]] = Field(
        description="The CV of each output, or one CV for the whole decoder.", examples=[{"green": 141}, 140]
    )
    page: Maybe[Page] = Field(None, description="The page it stands on.", examples=[{"CV31": 16, "CV32": 0}])
    holds: Maybe[list[Maybe[RegisterField]]] = Field(
        description="Its fields.", examples=[[{"what": "effect", "digit": "tens"}]]
    )
    default: Maybe[Integer] = Field(None, description="Its value on delivery.", examples=[0])


class DecoderSheet(Shape):
    """What one decoder's manual says."""

    decoder_sheet: Maybe[Annotated[Whole, version(1)]] = Field(None, description="Version of the format.", examples=[1])
    name: Maybe[Text] = Field(None, description="What the club calls it.", examples=["Bench six"])
    interface: Maybe[Annotated[Word, choice("interface", *INTERFACES)]] = Field(
        None, description="Its plug.", examples=["NEM 652"]
    )
    common: Maybe[CommonVoltage] = Field(None, description="What stands behind it.", examples=[{"drop": "1.4 V"}])
    limits: Maybe[Limits] = Field(None, description="What it carries as a whole.", examples=[{"whole-decoder": "1 A"}])
    outputs: Maybe[dict[DefinedName, Maybe[SheetOutput]]] = Field(
        None, description="Its outputs by the colour of their wire.", examples=[{"white": {"number": 1}}]
    )
    keys: Maybe[SheetKeys] = Field(None, description="How keys are mapped.", examples=[{"mapping": "function-matrix"}])
    effects: Maybe[dict[DefinedName, Maybe[Effect]]] = Field(
        None, description="Its effects by name.", examples=[{"steady": {"code": 0}}]
    )
    registers: Maybe[list[Maybe[Register]]] = Field(
        None,
        description="Its CVs for effects, conditions, rates and brightness.",
        examples=[[{"cv": 140, "holds": []}]],
    )
