"""The interpreted registers of makers against worked examples of the plan language.

"Read": in the text of the standard. "Second-hand": in digests of it. "Derived": computed by hand from what was read or
digested. "Language": the plan language says so, and no standard does.
"""

from __future__ import annotations

from typing import Any

import pytest

from programming.decoder_interpreter import Decoder, InterpreterError, Look
from programming.decoders import STEADY, lines, lit, new, sheet


def register(field: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"cv": {"1": "140"}, "holds": [field], **more}


def seen(field: dict[str, Any], value: int, effects: dict[str, Any] | None = None, **state: Any) -> Look | None:
    """Output 1 with one field in its CV140, under F0 forward."""
    decoder = new((33, 1), (140, value), effects=effects or {}, registers=[register(field)])
    return decoder.output("1", {"F0", *state.get("keys", ())}, True, state.get("moving", False))


@pytest.mark.parametrize(
    ("cut", "value", "code"),
    [
        # Language: 217 has the decimal digits 2, 1 and 7, the hex digits D and 9, and the bits 11011001.
        ({"digit": "ones"}, 217, 7),
        ({"digit": "tens"}, 217, 1),
        ({"digit": "hundreds"}, 217, 2),
        ({"digit": "low"}, 217, 9),
        ({"digit": "high"}, 217, 13),
        ({"bits": "0 to 2"}, 217, 1),
        ({"bits": "3 to 7"}, 217, 27),
        ({"bits": "6"}, 217, 1),
        ({"bits": "0 to 7"}, 217, 217),
    ],
)
def test_the_fields_of_a_register(cut: dict[str, str], value: int, code: int) -> None:
    effects = {"steady": {"code": str(code + 1)}, "oscillating": {"code": str(code)}}
    assert seen({"what": "effect", **cut}, value, effects) == Look("oscillating", 1.0, None)


def test_a_condition_narrows_what_the_mapping_says() -> None:
    codes = [{"code": "0", "when": []}, {"code": "3", "when": "forward"}, {"code": "7", "when": ["moving", "not F5"]}]
    field = {"what": "condition", "digit": "ones", "codes": codes}
    assert seen(field, 0) == seen(field, 3) == seen(field, 7, moving=True) == STEADY
    assert seen(field, 7) is seen(field, 7, moving=True, keys=["F5"]) is None
    with pytest.raises(InterpreterError, match="0 meanings of the condition 4 in CV140"):
        seen(field, 4)
    # The condition is on the output, not instead of the mapping.
    decoder = new((33, 0), (140, 0), registers=[register(field)])
    assert decoder.output("1", {"F0"}, True, False) is None


def test_a_condition_turns_round_with_cv29() -> None:
    codes = [{"code": "3", "when": "forward"}]
    field = {"what": "condition", "digit": "ones", "codes": codes}
    decoder = new((33, 1), (34, 1), (29, 1), (140, 3), registers=[register(field)])
    assert decoder.output("1", {"F0"}, True, False) is None
    assert decoder.output("1", {"F0"}, False, False) == STEADY


def test_an_unknown_condition_is_no_light_and_no_darkness() -> None:
    field = {"what": "condition", "digit": "ones", "codes": [{"code": "0", "when": []}]}
    decoder = new((33, 1), registers=[register(field)])
    assert decoder.output("1", set(), True, False) is None
    with pytest.raises(InterpreterError, match="the condition in CV140"):
        decoder.output("1", {"F0"}, True, False)


@pytest.mark.parametrize("when", [{"all": ["F0"]}, 7, {"any": ["F0"], "not": "F1"}, "not not F0", "backwards"])
def test_no_condition(when: Any) -> None:
    with pytest.raises(InterpreterError, match="is no"):
        seen({"what": "condition", "digit": "ones", "codes": [{"code": "0", "when": when}]}, 0)


def test_brightness() -> None:
    field = {"what": "brightness", "bits": "0 to 5", "full": "40"}
    assert seen(field, 40) == STEADY
    assert seen(field, 10) == Look("steady", 0.25, None)
    assert seen(field, 0) is None
    assert seen({"what": "brightness", "digit": "hundreds"}, 100) == Look("steady", 0.5, None)
    with pytest.raises(InterpreterError, match="above the full 40"):
        seen(field, 41)


@pytest.mark.parametrize(
    ("given", "value", "rate"),
    [
        ({"per-step": "20 per minute"}, 3, 60.0),
        ({"per-step": "2.5 per minute", "offset": "30 per minute"}, 12, 60.0),
        ({"codes": [{"code": "1", "rate": "45 per minute"}, {"code": "2", "rate": "90 per minute"}]}, 2, 90.0),
    ],
)
def test_rates(given: dict[str, Any], value: int, rate: float) -> None:
    registers = [
        register({"what": "rate", "bits": "0 to 6", **given}),
        {"cv": {"1": "150"}, "holds": [{"what": "effect", "bits": "0"}]},
    ]
    effects = {"steady": {"code": "0"}, "beacon": {"code": "1", "rate": "30 to 120 per minute"}}
    decoder = new((140, value), (150, 1), effects=effects, registers=registers)
    assert decoder.output("1", {"F0"}, True, False) == Look("beacon", 1.0, rate)
    decoder.write(lines((150, 0)))
    assert decoder.output("1", {"F0"}, True, False) == STEADY


def test_a_rate_that_the_effect_cannot_have() -> None:
    field = [{"what": "effect", "bits": "7"}, {"what": "rate", "bits": "0 to 6", "per-step": "1 per minute"}]
    effects = {"beacon": {"code": "1", "rate": "30 per minute to 120 per minute"}}
    decoder = new((140, 128 + 121), effects=effects, registers=[{"cv": {"1": "140"}, "holds": field}])
    with pytest.raises(InterpreterError, match="121"):
        decoder.output("1", {"F0"}, True, False)


def test_an_effect_with_one_rate_needs_no_register() -> None:
    effects = {"beacon": {"code": "1", "rate": "50 per minute"}, "strobe": {"code": "2", "rate": "40 to 60 per minute"}}
    field = {"what": "effect", "digit": "ones"}
    assert (seen(field, 1, effects), seen(field, 2, effects)) == (Look("beacon", 1.0, 50.0), Look("strobe", 1.0, None))


def test_the_halves_of_a_pair() -> None:
    effects = {"alternating": {"codes": {"first": "1", "second": "2"}, "pairs": [["1", "2"]]}}
    registers = [{"cv": {"1": "141", "2": "142", "3": "143"}, "holds": [{"what": "effect", "digit": "ones"}]}]
    decoder = new((33, 7), (141, 1), (142, 2), (143, 1), effects=effects, registers=registers)
    halves = [decoder.output(name, {"F0"}, True, False) for name in ("1", "2")]
    assert [half and half.part for half in halves] == ["first", "second"]
    assert halves == [Look("alternating", 1.0, None)] * 2
    with pytest.raises(InterpreterError, match="made for pairs"):
        decoder.output("3", {"F0"}, True, False)


def test_an_unknown_register_matters_only_while_the_output_may_be_lit() -> None:
    registers = [register({"what": "effect", "digit": "ones"})]
    decoder = new(effects={"steady": {"code": "0"}}, registers=registers)
    assert lit(decoder) == set()
    assert lit(decoder, "F1") == {"3"}
    with pytest.raises(InterpreterError, match="the effect in CV140"):
        lit(decoder, "F0")


def test_a_field_is_known_when_its_bits_are() -> None:
    registers = [register({"what": "brightness", "bits": "0 to 1"}), register({"what": "effect", "digit": "tens"})]
    decoder = Decoder.from_sheet(sheet(effects={"steady": {"code": "0"}}, registers=registers))
    decoder.write([{"cv": 140, "value": 3, "mask": 0b1111_1111, "page": None}])
    assert decoder.output("1", {"F0"}, True, False) == STEADY
    # A decimal digit hangs on bits that it shares with the others.
    partly = Decoder.from_sheet(sheet(effects={"steady": {"code": "0"}}, registers=registers))
    partly.write([{"cv": 140, "value": 3, "mask": 0b0111_1111, "page": None}])
    with pytest.raises(InterpreterError, match="the effect in CV140"):
        partly.output("1", {"F0"}, True, False)


def test_registers_of_the_whole_decoder() -> None:
    # Language: a CV without an output. An output's own goes before it; conditions of both must hold.
    whole = [
        {"cv": "120", "holds": [{"what": "brightness", "bits": "0 to 7", "full": "200"}], "default": "100"},
        {
            "cv": "121",
            "holds": [
                {
                    "what": "condition",
                    "bits": "0",
                    "codes": [{"code": "0", "when": []}, {"code": "1", "when": "moving"}],
                }
            ],
            "default": "1",
        },
        register({"what": "brightness", "bits": "0 to 7", "full": "200"}, default="50"),
    ]
    decoder = new((33, 3), registers=whole)
    assert decoder.lit({"F0"}, True, True) == {"1": Look("steady", 0.25, None), "2": Look("steady", 0.5, None)}
    assert decoder.lit({"F0"}, True, False) == {}


def test_two_registers_for_one_thing_contradict_each_other() -> None:
    field = {"what": "brightness", "bits": "0 to 7"}
    decoder = new(registers=[register(field, default="1"), {"cv": {"1": "141"}, "holds": [field], "default": "1"}])
    with pytest.raises(InterpreterError, match="2 registers hold the brightness"):
        lit(decoder, "F0")


def test_a_register_on_a_page() -> None:
    registers = [
        {
            "cv": {"1": "300"},
            "page": {"CV31": "16", "CV32": "2"},
            "holds": [{"what": "brightness", "bits": "0 to 7", "full": "100"}],
        }
    ]
    decoder = new((300, 50), page=[16, 2], registers=registers)
    decoder.write(lines((300, 99), page=[16, 3]))
    assert decoder.output("1", {"F0"}, True, False) == Look("steady", 0.5, None)
    pageless = [{"cv": {"1": "300"}, "holds": [], "default": "1"}]
    with pytest.raises(InterpreterError, match="CV300"):
        new(registers=pageless)
