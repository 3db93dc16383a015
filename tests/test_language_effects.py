"""What the model keeps of a sheet's effects and highest key: codes, pairs, rates, and whether all of it was read."""

from __future__ import annotations

import pytest

from lampwright.engine import RULE_NAMES, Refusal, _assemble
from lampwright.engine.documents import read_document
from lampwright.kinds import Kind
from lampwright.model.decoder import Decoder, EffectSheet
from lampwright.model.lighting import LightingPlan
from lampwright.model.lowering.memory import Memory
from lampwright.model.settings import Settings
from lampwright.text import Source

FLASH = "{codes: {first: 8, second: 9}, pairs: [[green, violet], [white, brown]], rate: 30 to 120 per minute}"


def decoder(effects: str, keys: str = "{highest: 12}") -> Decoder:
    outputs = ", ".join(f"{name}: {{number: 1}}" for name in ("white", "green", "violet", "brown"))
    source = Source("x.decoder.yaml", f"outputs: {{{outputs}}}\nkeys: {keys}\neffects: {effects}\n")
    meaning = read_document(source, Kind.DECODER_SHEET, RULE_NAMES).meaning
    assert isinstance(meaning, Decoder)
    return meaning


def effect(written: str) -> EffectSheet:
    effects = decoder(f"{{flash: {written}}}").effects
    assert effects is not None
    return effects["flash"]


def test_an_effect_for_pairs() -> None:
    flash = effect(FLASH)
    assert (flash.name, flash.span.text, flash.code, flash.is_for_pairs) == ("flash", "flash", None, True)
    assert [code and (code.value, code.span.text) for code in (flash.first_code, flash.second_code)] == [
        (8, "8"),
        (9, "9"),
    ]
    assert flash.pairs is not None
    assert [(one.text, other.text) for one, other in flash.pairs] == [("green", "violet"), ("white", "brown")]
    assert flash.rate is not None
    # In hertz: 30 and 120 a minute.
    assert (flash.rate.lowest, flash.rate.highest) == (0.5, 2.0)
    assert flash.is_readable


def test_an_effect_of_which_little_is_said() -> None:
    plain = effect("{code: 2}")
    assert plain.code is not None
    assert plain.code.value == 2
    assert (plain.pairs, plain.rate, plain.is_for_pairs, plain.is_readable) == (None, None, False, True)
    assert effect("{}").is_readable
    assert effect("{codes: {first: 8, second: 9}}").is_for_pairs
    assert effect("{pairs: [[green, violet]]}").is_for_pairs


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("first: 8", "first: eight"),
        ("first: 8, ", ""),
        ("{first: 8, second: 9}", "8"),
        ("[green, violet]", "[green]"),
        ("[green, violet]", "[green, green]"),
        ("[green, violet]", "[green, violet, brown]"),
        ("[green, violet]", "green"),
        ("violet", "violt"),
        ("green", "{}"),
        ("[[green, violet], [white, brown]]", "green"),
        ("30 to 120 per minute", "fast"),
        ("rate", "rat"),
    ],
)
def test_what_could_not_be_read_of_an_effect_is_known_to_be_missing(old: str, new: str) -> None:
    assert old in FLASH
    flash = effect(FLASH.replace(old, new, 1))
    assert not flash.is_readable
    assert flash.is_for_pairs


def test_an_effect_that_is_no_mapping() -> None:
    assert not effect("8").is_readable
    assert decoder("[flash]").effects is None


def test_the_highest_key() -> None:
    stated = decoder("{}").highest_key
    assert stated is not None
    assert (stated.value, stated.span.text) == (12, "12")
    assert not decoder("{}").unreadable


@pytest.mark.parametrize(
    ("keys", "is_silent"), [("{}", True), ("{highest: 69}", False), ("{highest: all}", False), ("12", False)]
)
def test_a_highest_key_that_is_not_known(keys: str, is_silent: bool) -> None:
    assert decoder("{}", keys).highest_key is None
    assert ("highest_key" not in decoder("{}", keys).unreadable) is is_silent


# --- What is known of a plan's looks and outputs ----------------------------------------------------------------------


def plan(outputs: str, keys: str = "{}") -> LightingPlan:
    sheet = "{outputs: {white: {number: 1}, green: {number: 2}}, effects: {strobe: {code: 1}}}"
    text = f"vehicle: {{name: Van}}\ndecoder: {sheet}\nlamps: {{}}\noutputs: {outputs}\nkeys: {keys}\n"
    document = read_document(Source("x.lights.yaml", text), Kind.LIGHTING_PLAN, RULE_NAMES)
    _, lighting_plan, _ = _assemble(document, Settings(), lambda _, __: Refusal("missing"), Memory())
    assert lighting_plan is not None
    return lighting_plan


@pytest.mark.parametrize(
    ("look", "is_readable"),
    [
        ("", True),
        (", effect: strobe, rate: 60 per minute, brightness: 40 %", True),
        (", effect: steady", True),
        (", effect: strob", False),
        (", effect: []", False),
        (", rate: fast", False),
        (", rat: 60 per minute", False),
        (", brightness: 40", False),
    ],
)
def test_a_look_knows_whether_all_of_it_was_read(look: str, is_readable: bool) -> None:
    lighting_plan = plan(f"{{white: {{circuit: []{look}}}}}", f"{{F0: {{turns-on: [{{output: white{look}}}]}}}}")
    assert lighting_plan.outputs["white"].look.is_readable is is_readable
    assert lighting_plan.keys[0].entries[0].look.is_readable is is_readable


@pytest.mark.parametrize(
    ("outputs", "are_known"),
    [
        ("{}", True),
        ("{white: {circuit: []}}", True),
        # What hangs on it could not be read; that it is there could.
        ("{white: {circuit: [frnt lamp]}}", True),
        ("{white: 12}", True),
        ("{whte: {circuit: []}}", False),
        ("12", False),
    ],
)
def test_whether_all_outputs_of_a_plan_are_known(outputs: str, are_known: bool) -> None:
    assert plan(outputs).outputs_are_known is are_known
