"""What no CV can say, and what no CV can hold: the rules about programming, loud and silent."""

from __future__ import annotations

import pytest

from lampwright.diagnostics import Severity
from rule_cases import ERROR, WARNING, Loud, assert_loud, assert_silent, lacks, plan
from seam import report, says

MATRIX = "{keys: {mapping: function-matrix}, registers: REGISTERS, effects: EFFECTS, outputs: OUTPUTS}"
OUTPUTS = "{white: {number: 1}, yellow: {number: 2}, green: {number: 3}}"
EFFECTS = "{steady: {code: 0}, glow: {code: 3}, beacon: {code: 5, rate: 40 to 120 per minute}}"
CODES = "{what: condition, digit: ones, codes: [{code: 0, when: []}, {code: 1, when: forward}, {code: 2, when: [forward, F0]}]}"
CONDITION = f"[{{cv: {{white: 121, yellow: 122}}, holds: [{CODES}]}}]"


def sheet(
    registers: str = "[]", mapping: str = "function-matrix", effects: str = EFFECTS, outputs: str = OUTPUTS
) -> str:
    said = MATRIX.replace("function-matrix", mapping).replace("REGISTERS", registers)
    return said.replace("EFFECTS", effects).replace("OUTPUTS", outputs)


def keyed(keys: str, decoder: str | None = None, output: str = "white", **how: str) -> str:
    return plan(keys=keys, sheet=decoder if decoder is not None else sheet(), output=output, **how)


def on(key: str, entry: str) -> str:
    return f"{{{key}: {{turns-on: [{{{entry}}}]}}}}"


# --- unreachable-output -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("key", "why"), [
    ("F4", "its CV has bits for outputs 4 to 11"),
    ("F9", "its CV has bits for outputs 7 to 14"),
    ("F13", "the mapping of this decoder ends at F12"),
])  # fmt: skip
def test_a_key_that_does_not_reach(key: str, why: str) -> None:
    text = keyed(on(key, "output: green"), output="green")
    assert_loud(
        "unreachable-output",
        Loud("", text, ERROR, "green", (f'{key} cannot turn on "green", which is output 3: {why}',), related=("3",)),
    )


def test_a_key_that_does_not_reach_by_a_second_hand_method_is_a_warning() -> None:
    text = keyed(on("F40", "output: white"), sheet(mapping="by-function, highest: 68"))
    assert_loud("unreachable-output", Loud("", text, WARNING, "white", ("ends at F31", "read second-hand")))


@pytest.mark.parametrize(
    "mapping",
    ["function-matrix", "{function-matrix: {first-output: {F4 to F8: 1}}}", "by-function", "by-output-states"],
)
def test_keys_that_reach_are_no_matter(mapping: str) -> None:
    key = "F3" if mapping == "function-matrix" else "F4"
    assert_silent("unreachable-output", keyed(on(key, "output: green"), sheet(mapping=mapping), output="green"))


def test_an_entry_that_another_one_covers_needs_no_reach() -> None:
    keys = "{F3: {turns-on: [{output: green}]}, F4: {turns-on: [{output: green, when: F3}]}}"
    assert_silent("unreachable-output", keyed(keys, output="green"))


# --- inexpressible-condition ------------------------------------------------------------------------------------------

UNSAYABLE = [
    ("F1", "forward", "[]", 'by F1 when "forward"; it could with no condition'),
    ("F1", "not F2", CONDITION, 'when "not F2"; it could with no condition, when "forward" or when "forward and F0"'),
    ("F0", "moving", "[]", 'by F0 when "moving"; it could when "forward" or when "reverse"'),
    ("F1", "{any: [forward, F0]}", CONDITION, 'it could with no condition, when "forward" or when "forward and F0"'),
]


@pytest.mark.parametrize(("key", "when", "registers", "message"), UNSAYABLE)
def test_a_condition_that_cannot_be_said(key: str, when: str, registers: str, message: str) -> None:
    text = keyed(on(key, f"output: white, when: {when}"), sheet(registers))
    assert_loud("inexpressible-condition", Loud("", text, ERROR, when, (message,)))


def test_conditions_that_cannot_be_said_together() -> None:
    keys = "{F1: {turns-on: [{output: white, when: forward}]}, F2: {turns-on: [{output: white}]}}"
    text = keyed(keys, sheet(CONDITION))
    (found,) = says(text)
    assert found[0] == "inexpressible-condition"
    assert "beside what else is wanted of it" in found[2]


def test_always_needs_a_key() -> None:
    text = keyed("{}", more="always: [{output: white, when: moving}]\n")
    message = 'this decoder turns on "white" by keys only, and "always" asks for none'
    assert_loud("inexpressible-condition", Loud("", text, ERROR, "moving", (message,)))


def test_a_fixed_decoder_cannot_be_told_otherwise() -> None:
    fixed = "fixed, fixed: {F0: [{output: white, when: forward}]}"
    assert_silent("inexpressible-condition", keyed(on("F0", "output: white, when: forward"), sheet(mapping=fixed)))
    (found,) = says(keyed(on("F1", "output: white"), sheet(mapping=fixed)))
    assert found[2] == 'this decoder cannot turn on "white" by F1 with no condition; F1 does nothing to it'


def test_a_row_that_one_key_forbids_for_all_its_outputs() -> None:
    keys = "{F1: {turns-on: [{output: white}, {output: yellow, when: not F2}]}}"
    text = keyed(keys, sheet(mapping="by-function"), yellow="[1.5 kohm 1 W, led b]")
    (found,) = report(text).findings
    assert (found.rule, found.level, found.span.text) == ("inexpressible-condition", Severity.WARNING, "not F2")
    assert "one key forbids for all outputs of a row" in found.message
    assert "and another key may forbid it" in found.message


SAYABLE = [
    ("F0", "forward", "[]", "function-matrix"),
    ("F0", "[]", "[]", "function-matrix"),
    ("F1", "forward", CONDITION, "function-matrix"),
    ("F3", "[forward, F0]", CONDITION, "function-matrix"),
    ("F1", "[forward, not F2]", "[]", "by-function"),
    ("F1", "forward", "[]", "by-output-matrix"),
    ("F1", "[forward, not F2]", "[]", "by-output-numbers"),
    ("F1", "[not F2, not F3]", "[]", "by-output-states"),
]


@pytest.mark.parametrize(("key", "when", "registers", "mapping"), SAYABLE)
def test_conditions_that_can_be_said(key: str, when: str, registers: str, mapping: str) -> None:
    text = keyed(on(key, f"output: white, when: {when}"), sheet(registers, mapping))
    assert_silent("inexpressible-condition", text)
    assert says(text) == []


def test_two_entries_that_mean_one_condition_are_said_as_one() -> None:
    keys = "{F1: {turns-on: [{output: white, when: forward}, {output: white, when: reverse}]}}"
    assert_silent("inexpressible-condition", keyed(keys))


def test_a_vehicle_that_is_reversed_has_its_directions_turned_round() -> None:
    text = keyed(on("F1", "output: white, when: reverse"), sheet(CONDITION)).replace(
        "{name: Tipper 9}", "{name: Tipper 9, reversed: true}"
    )
    assert_silent("inexpressible-condition", text)
    (found,) = says(text.replace("when: reverse", "when: forward"))
    assert 'when "reverse"' in found[2]


@pytest.mark.parametrize(("decoder", "lack"), [
    ("{outputs: {white: {number: 1}}, registers: []}", "mapping under keys on the decoder sheet"),
    ("{outputs: {white: {number: 1}}, keys: {mapping: function-matrix}}", "registers on the decoder sheet"),
])  # fmt: skip
def test_what_the_sheet_does_not_say_leaves_it_open(decoder: str, lack: str) -> None:
    whole = report(keyed(on("F1", "output: white, when: forward"), decoder))
    assert whole.findings == ()
    assert lacks(whole, "inexpressible-condition") == [("forward", lack)]


# --- inexpressible-look -----------------------------------------------------------------------------------------------

LOOKS = (
    "[{cv: {white: 121}, holds: [{what: effect, digit: tens}, {what: rate, digit: ones, per-step: 20 per minute}]},"
    " {cv: {white: 131}, holds: [{what: brightness, bits: 0 to 1, full: 3}]}]"
)
UNSAYABLE_LOOKS = [
    ("effect: glow", "[]", "glow", 'no register of "white" holds an effect'),
    ("brightness: 40 %", "[]", "40 %", 'no register of "white" holds a brightness'),
    ("effect: beacon, rate: 50 per minute", LOOKS, "50 per minute", "it could hold 40 per minute or 60 per minute"),
    ("brightness: 10 %", LOOKS, "10 %", 'the register of "white" cannot hold 10 %; it could hold 33.3 %'),
]


@pytest.mark.parametrize(("look", "registers", "culprit", "message"), UNSAYABLE_LOOKS)
def test_a_look_that_no_register_holds(look: str, registers: str, culprit: str, message: str) -> None:
    text = keyed(on("F0", f"output: white, {look}"), sheet(registers))
    assert_loud("inexpressible-look", Loud("", text, ERROR, culprit, (message,)))


def test_two_looks_where_the_decoder_knows_one() -> None:
    keys = "{F0: {turns-on: [{output: white}]}, F5: {turns-on: [{output: white, when: F0, brightness: 40 %}]}}"
    text = keyed(keys, sheet(LOOKS, "by-function"))
    message = (
        '"white" is to burn at times with 100 % and at times with 40 %, and this decoder knows one brightness of it'
    )
    assert [found for found in says(text) if found[0] == "inexpressible-look"] == [
        ("inexpressible-look", "40 %", message)
    ]


@pytest.mark.parametrize(
    "look",
    [
        "effect: beacon, rate: 60 per minute",
        "effect: glow, brightness: 100 %",
        "effect: steady",
        "brightness: 30 %",
        "effect: beacon",
    ],
)
def test_looks_that_registers_hold(look: str) -> None:
    assert_silent("inexpressible-look", keyed(on("F0", f"output: white, {look}"), sheet(LOOKS)))


def test_what_is_meant_anyway_needs_no_register() -> None:
    assert_silent("inexpressible-look", keyed(on("F0", "output: white, effect: steady, brightness: 100 %")))


def test_a_look_that_no_state_shows_is_no_matter() -> None:
    keys = "{F0: {turns-on: [{output: white}, {output: white, when: [moving, stopped], brightness: 40 %}]}}"
    assert [found[0] for found in says(keyed(keys))] == ["impossible-condition"]


# --- Sheets -----------------------------------------------------------------------------------------------------------

WHOLE = "decoder-sheet: 1\noutputs: {white: {number: 1}, yellow: {number: 2}}\nkeys: {mapping: function-matrix}\n"
SHEETS = [
    ("cv-out-of-range", "1025", "registers: [{cv: {white: 1025}, holds: []}]"),
    ("cv-out-of-range", "0", "registers: [{cv: 0, holds: []}]"),
    ("cv-out-of-range", "256", "registers: [{cv: {white: 121}, holds: [], default: 256}]"),
    ("cv-out-of-range", "300", "registers: [{cv: {white: 301}, page: {CV31: 16, CV32: 300}, holds: []}]"),
    ("cv-out-of-range", "16", "registers: [{cv: 121, holds: [{what: rate, digit: low, codes: [{code: 16, rate: 60 per minute}]}]}]"),
    ("cv-out-of-range", "8", "registers: [{cv: 121, holds: [{what: condition, bits: 0 to 2, codes: [{code: 8, when: []}]}]}]"),
    ("cv-out-of-range", "64", "registers: [{cv: 121, holds: [{what: brightness, bits: 0 to 5, full: 64}]}]"),
    ("cv-out-of-range", "3", "effects: {glow: {code: 3}}\nregisters: [{cv: 121, holds: [{what: effect, digit: hundreds}]}]"),
    ("cv-claimed-twice", "3 to 4", "registers: [{cv: 121, holds: [{what: effect, bits: 0 to 3}, {what: brightness, bits: 3 to 4}]}]"),
    ("cv-claimed-twice", "ones", "registers: [{cv: 121, holds: [{what: effect, digit: ones}, {what: brightness, digit: ones}]}]"),
    ("cv-claimed-twice", "low", "registers: [{cv: {white: 121}, holds: [{what: effect, bits: 2}]}, {cv: {white: 121}, holds: [{what: brightness, digit: low}]}]"),
    ("cv-claimed-twice", "35", "registers: [{cv: {white: 35}, holds: [{what: effect, digit: low}]}]"),
    ("cv-claimed-twice", "29", "registers: [{cv: 29, holds: []}]"),
    ("read-only-cv", "7", "registers: [{cv: 7, holds: []}]"),
    ("read-only-cv", "8", "registers: [{cv: {yellow: 8}, holds: []}]"),
]  # fmt: skip


@pytest.mark.parametrize(("rule", "culprit", "more"), SHEETS)
def test_a_mistake_of_the_sheet_stands_in_the_sheet(rule: str, culprit: str, more: str) -> None:
    assert [found[:2] for found in says(f"{WHOLE}{more}\n", "mast.decoder.yaml")] == [(rule, culprit)]
    # A plan that names the sheet has the same one finding, in the sheet.
    text = plan(keys=on("F0", "output: white, when: forward"), sheet="mast.decoder.yaml")
    findings = report(text, files={"mast.decoder.yaml": f"{WHOLE}{more}\n"}).findings
    assert [(finding.rule, finding.span.text, finding.span.source.name) for finding in findings] == [
        (rule, culprit, "mast.decoder.yaml")
    ]


RIGHT = [
    "registers: [{cv: {white: 1024}, holds: [], default: 255}]",
    "registers: [{cv: 121, holds: [{what: effect, bits: 0 to 3}, {what: brightness, bits: 4 to 7}]}]",
    "registers: [{cv: 121, holds: [{what: effect, digit: ones}, {what: brightness, digit: tens}, {what: rate, digit: hundreds, per-step: 1 per minute}]}]",
    "registers: [{cv: {white: 121, yellow: 121}, holds: [{what: effect, digit: low}]}]",
    "registers: [{cv: {white: 301}, page: {CV31: 16, CV32: 0}, holds: [{what: effect, digit: low}]}, {cv: {white: 301}, page: {CV31: 16, CV32: 1}, holds: [{what: brightness, digit: low}]}]",
    "registers: [{cv: {white: 9}, holds: [{what: effect, digit: low}]}]",
]  # fmt: skip


@pytest.mark.parametrize("more", RIGHT)
def test_a_right_sheet_is_silent(more: str) -> None:
    assert says(f"{WHOLE}{more}\n", "mast.decoder.yaml") == []


def test_two_outputs_that_share_a_register_and_want_different_things() -> None:
    shared = "[{cv: {white: 121, yellow: 121}, holds: [{what: brightness, bits: 0 to 5}]}]"
    keys = "{F0: {turns-on: [{output: white, brightness: 40 %}, {output: yellow, brightness: 80 %}]}}"
    text = keyed(keys, sheet(shared), yellow="[1.5 kohm 1 W, led b]")
    message = 'CV121 cannot hold 50 for "yellow" and 25 for "white" in bits 0 to 5 at the same time'
    assert_loud("cv-claimed-twice", Loud("", text, ERROR, "80 %", (message,), related=("40 %",)))
    assert_silent("cv-claimed-twice", text.replace("80 %", "40 %"))
