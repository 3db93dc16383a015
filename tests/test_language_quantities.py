"""Quantities in a block value, between braces and between brackets: right, or one finding on exactly the wrong characters."""

from __future__ import annotations

import time

import pytest

from changed import PARTS, PLAN, SETTINGS, SHEET, Change, files, found, only, report_of, reported
from lampwright.text import apply

TRACK = "track: 14.5 V  "
READING = {"missing-unit", "wrong-unit", "misspelt-unit", "decimal-comma", "unreadable-quantity"}


def in_block(text: str) -> Change:
    return PLAN, TRACK, f"track: {text}"


def in_braces(text: str) -> Change:
    return SETTINGS, "{track: 14.5 V}", f"{{track: {text}}}"


def in_brackets(text: str) -> Change:
    return PLAN, "[1.5 kohm, front headlamp]", f"[{text}, front headlamp]"


def in_block_list(text: str) -> Change:
    return PLAN, "{circuit: [1.5 kohm, front headlamp]}", f"\n    circuit:\n      - {text}\n      - front headlamp"


# A voltage that is wrong as it stands, the rule that says so, and what it is meant to be ("" where nobody can know).
VOLTAGES = [
    ("9**9**9 V", "unreadable-quantity", ""),
    ("1,5 V", "decimal-comma", "1.5 V"),
    ("14,5 V", "decimal-comma", "14.5 V"),
    ("5 amps", "wrong-unit", ""),
    ("15 ma", "wrong-unit", ""),
    ("470R", "wrong-unit", ""),
    ("4K7", "wrong-unit", ""),
    ("1e999 V", "unreadable-quantity", ""),
    ("1e1 V", "unreadable-quantity", "10 V"),
    ("nan V", "unreadable-quantity", ""),
    ("inf V", "unreadable-quantity", ""),
    ("12VDC", "misspelt-unit", "12 V"),
    ("14.5 v", "misspelt-unit", "14.5 V"),
    ("14.5 Volt", "misspelt-unit", "14.5 V"),
    ("5", "missing-unit", "5 V"),
    ("14.5", "missing-unit", "14.5 V"),
    ("10–20 mA", "unreadable-quantity", ""),
    ("13–16 V", "unreadable-quantity", "13 V to 16 V"),
    ("13 to 16 V", "missing-unit", "13 V"),
    ("16 V to 13 V", "unreadable-quantity", "13 V to 16 V"),
    ("-5 V", "unreadable-quantity", "5 V"),
    ("+14 V", "unreadable-quantity", "14 V"),
    ("1'000 mV", "unreadable-quantity", "1000 mV"),
    (".5 V", "unreadable-quantity", "0.5 V"),
    ("V 5", "unreadable-quantity", "5 V"),
    ("about 14 V", "unreadable-quantity", "14 V"),
    ("14.5 V DC", "misspelt-unit", "14.5 V"),
    ("14.5 km", "wrong-unit", ""),
    ("14.5 parsnips", "unreadable-quantity", ""),
    ("fourteen", "unreadable-quantity", ""),
    ("1" * 65 + " V", "unreadable-quantity", ""),
    ("0 V", "implausible-value", ""),
    ("1450 V", "implausible-value", ""),
]
RESISTANCES = [
    ("9**9**9 ohm", "unreadable-quantity", ""),
    ("1,5 kohm", "decimal-comma", "1.5 kohm"),
    ("1,5k", "decimal-comma", "1.5 kohm"),
    ("5 amps", "wrong-unit", ""),
    ("15 ma", "wrong-unit", ""),
    ("1e999 ohm", "unreadable-quantity", ""),
    ("12VDC", "wrong-unit", ""),
    ("5", "missing-unit", "5 kohm"),
    ("470", "missing-unit", "470 ohm"),
    ("1 Kohm", "misspelt-unit", "1 kohm"),
    ("100 Ohms", "misspelt-unit", "100 ohm"),
    ("100–220 ohm", "unreadable-quantity", ""),
    ("100 ohm to 220 ohm", "unreadable-quantity", ""),
    ("1.5 kohm 5 % 1/4 W", "unreadable-quantity", "1.5 kohm 1/4 W 5 %"),
    ("-5 ohm", "unreadable-quantity", "5 ohm"),
    ("1 Mohm", "implausible-value", ""),
    ("2M2", "implausible-value", ""),
]
# Of a resistor in one text, the part that is wrong.
PARTS_OF_RESISTORS = [
    ("1.5 kohm 0,25 W", "decimal-comma", "0,25 W"),
    ("1.5 kohm 1/4 V", "wrong-unit", "1/4 V"),
    ("1.5 kohm 250 mw 5 %", "misspelt-unit", "250 mw"),
    ("1.5 kohm 1/4 W 5", "missing-unit", "5"),
    ("1.5 kohm 0805", "unreadable-quantity", "0805"),
    ("1.5 kohm 500 W", "implausible-value", "500 W"),
    ("1.5 kohm 1/4 W 200 %", "implausible-value", "200 %"),
]


@pytest.mark.parametrize("put", [in_block, in_braces])
@pytest.mark.parametrize(("text", "rule", "meant"), VOLTAGES, ids=[text[:20] for text, _, _ in VOLTAGES])
def test_a_wrong_voltage(put: object, text: str, rule: str, meant: str) -> None:
    assert callable(put)
    expect(put(text), text, rule, meant)


@pytest.mark.parametrize("put", [in_brackets, in_block_list])
@pytest.mark.parametrize(("text", "rule", "meant"), RESISTANCES)
def test_a_wrong_resistance(put: object, text: str, rule: str, meant: str) -> None:
    assert callable(put)
    expect(put(text), text, rule, meant)


def expect(change: Change, text: str, rule: str, meant: str) -> None:
    start = time.perf_counter()
    findings = reported(change).findings
    assert time.perf_counter() - start < 10
    finding = next(each for each in findings if each.rule == rule)
    # What is implausible is computed with all the same, so that it may have consequences.
    assert len(findings) == 1 or rule == "implausible-value"
    # Of a range only the side that lacks its unit is wrong.
    assert finding.span.text == ("13" if text == "13 to 16 V" else text)
    assert [fix.title for fix in finding.fixes][:1] == ([f"Write {meant}"] if meant else [])
    for each in finding.fixes:
        cured = {**files(change), change[0]: apply(finding.span.source, each.edits)}
        assert not {left.rule for left in report_of(cured).findings} & READING


@pytest.mark.parametrize("put", [in_brackets, in_block_list])
@pytest.mark.parametrize(("text", "rule", "culprit"), PARTS_OF_RESISTORS)
def test_the_wrong_part_of_a_resistor(put: object, text: str, rule: str, culprit: str) -> None:
    assert callable(put)
    assert found(put(text)) == [(rule, culprit)]


@pytest.mark.parametrize("text", ["", "~", '""', "''"])
@pytest.mark.parametrize("put", [in_block, in_braces])
def test_nothing_where_a_quantity_belongs(put: object, text: str) -> None:
    assert callable(put)
    finding = only(put(text))
    assert finding.rule == "unreadable-quantity"
    assert finding.span.text == (text or "track")


@pytest.mark.parametrize(
    "text",
    [
        "14.5 V",
        "14.5V",
        "14500 mV",
        "0.0145 kV",
        "14.5\u00a0V",
        "14.5\u202fV",
        '"14.5 V"',
        "'14.5 V'",
        "13 V to 15 V",
        "14 V to 15V",
    ],
)
@pytest.mark.parametrize("put", [in_block, in_braces])
def test_a_right_voltage(put: object, text: str) -> None:
    assert callable(put)
    assert found(put(text)) == []


@pytest.mark.parametrize(
    "text",
    [
        "1.5 kohm",
        "1500 ohm",
        "1500 \u2126",
        "1.5 k\u03a9",
        "1k5",
        "1K5",
        "1500R",
        '"1.5 kohm"',
        "1.5 kohm 1/4 W",
        "1k5 250 mW 5 %",
        "1.5kohm 0.25W 1%",
    ],
)
@pytest.mark.parametrize("put", [in_brackets, in_block_list])
def test_a_right_resistance(put: object, text: str) -> None:
    assert callable(put)
    assert found(put(text)) == []


@pytest.mark.parametrize("micro", ["µA", "\u03bcA", "uA"])
def test_every_way_to_write_micro(micro: str) -> None:
    assert found((SHEET, "limit: 0.5 mA", f"limit: 500 {micro}")) == []


# --- The decimal comma that YAML takes for its own --------------------------------------------------------------------

FORWARD = "forward-voltage: 1.9 V to 2.2 V"


@pytest.mark.parametrize(
    ("change", "culprits"),
    [
        ((PLAN, FORWARD, "forward-voltage: 1,9 V"), ["1,9 V"]),
        ((PLAN, FORWARD, "forward-voltage: 1,9 V to 2.2 V"), ["1,9 V"]),
        ((PLAN, FORWARD, "forward-voltage: 1.9 V to 2,2 V"), ["2,2 V"]),
        ((PLAN, FORWARD, "forward-voltage: 1,9 V to 2,2 V"), ["1,9 V", "2,2 V"]),
        ((PLAN, "[1.5 kohm, front headlamp]", "[1,5 kohm, front headlamp]"), ["1,5 kohm"]),
        ((PLAN, "[1.5 kohm, front headlamp]", "[front headlamp, 1,5 kohm]"), ["1,5 kohm"]),
        ((PLAN, "current: 40 mA}", "current: 0,04 A}"), ["0,04 A"]),
        ((PLAN, "{voltage: 12 V, current: 40 mA}", "{voltage: 12,0 V, current: 40,5 mA}"), ["12,0 V", "40,5 mA"]),
        ((PARTS, "value: 1.5 kohm, rating: 1/4 W", "value: 1,5 kohm, rating: 0,25 W"), ["1,5 kohm", "0,25 W"]),
        ((PARTS, "lowest: 2.8 V, usual: 3.0 V", "lowest: 2,8 V, usual: 3,0 V"), ["2,8 V", "3,0 V"]),
        ((SHEET, "limit: 0.5 mA", "limit: 0,5 mA"), ["0,5 mA"]),
        ((SETTINGS, "lamp-current: 90 %", "lamp-current: 92,5 %"), ["92,5 %"]),
    ],
    ids=lambda value: value[2] if isinstance(value, tuple) else "",
)
def test_a_decimal_comma_between_brackets_is_one_finding(change: Change, culprits: list[str]) -> None:
    assert found(change) == [("decimal-comma", culprit) for culprit in culprits]


def test_a_comma_with_a_space_is_a_comma() -> None:
    assert found((PLAN, "[1.5 kohm, front headlamp]", "[1, 5 kohm, front headlamp]")) == [("missing-unit", "1")]


# --- Columns count characters -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "culprit"),
    [
        ((PLAN, "[1.5 kohm, front headlamp]", "[47 Ω, 1 kΩ, 1.5 Kohm, front headlamp]"), "1.5 Kohm"),
        ((PLAN, "[1.5 kohm, front headlamp]", "[{current-regulator: 500 µA, needs: 2}, front headlamp]"), "2"),
        ((PLAN, "  F2: {label: Horn", '  F2: {label: "Grüße \U0001f682\U0001f682", übel: 3'), "übel"),
        (
            (PLAN, "  F2: {label: Horn, momentary: true}", '  F2: {label: "\U0001f526", momentary: ja} # \U0001f682'),
            "ja",
        ),
        ((SETTINGS, "{F0: Headlamps, F2: Horn", '{F0: "\U0001f682\U0001f526 Grüße", F2: Horn, F77: "µ"'), "F77"),
        ((SHEET, "  brown: ", "  brün\U0001f7e4: "), "brün\U0001f7e4"),
    ],
    ids=["ohm", "micro", "umlaut", "emoji", "emoji in braces", "emoji in a name"],
)
def test_a_column_counts_characters(change: Change, culprit: str) -> None:
    finding = next(each for each in reported(change).findings if each.span.text == culprit)
    place = finding.span.source.position(finding.span.start)
    line = files(change)[change[0]].split("\n")[place.line - 1]
    # A Python string counts code points too; of UTF-16 the train would be two.
    assert place.column == line.rindex(culprit) + 1
