"""What is wired: LEDs without protection, lamps that nothing feeds, lamps that stand in two places."""

from __future__ import annotations

import pytest

from rule_cases import ERROR, WARNING, Loud, assert_loud, assert_silent, has_name, lacks, only_finding, plan
from seam import fix, report, says

# --- unprotected-led --------------------------------------------------------------------------------------------------

UNPROTECTED = [
    Loud("alone", plan("[led a]"), ERROR, "led a", ('nothing limits the current of the LED "led a"',), related=()),
    Loud("resistor of zero", plan("[0 ohm, led a]"), ERROR, "led a"),
    Loud("a plain diode is none", plan("[{diode: 0.7 V}, led a]"), ERROR, "led a"),
    Loud("what stands beside it is none", plan("[{parallel: [[led a], [1 kohm 1 W]]}]"), ERROR, "led a"),
    Loud("a bare branch", plan("[{parallel: [[1 kohm 1 W], [0 ohm]]}, led a]"), ERROR, "led a"),
    Loud("a diode beside a resistor", plan("[{parallel: [[1 kohm 1 W], [{diode: 0.7 V}]]}, led a]"), ERROR, "led a"),
    Loud("a regulated common", plan("[led a]", sheet="{common: {regulated: 5 V}, outputs: {white: {number: 1}}}"), ERROR, "led a"),
    Loud("a low brightness", plan("[led a]").replace("led a]}", "led a], brightness: 5 %}"), ERROR, "led a"),
    Loud("two in a chain are one mistake", plan("[led a, led b]"), ERROR, "led a", ('"led a"',), related=("led b",)),
    Loud("also if one is in a chain of its own", plan("[led a, {series: [led b]}]"), ERROR, "led a", related=("led b",)),
    Loud("an LED in the common lead", plan("[0 ohm]", more="common: {circuit: [led a]}\n"), ERROR, "led a"),
    Loud("on an output of which nothing is known", plan("[led a]", output="mute"), ERROR, "led a"),
]  # fmt: skip


@pytest.mark.parametrize("case", UNPROTECTED, ids=has_name)
def test_unprotected_led(case: Loud) -> None:
    assert_loud("unprotected-led", case)


def test_two_branches_are_two_mistakes() -> None:
    text = plan("[{parallel: [[led a], [led b], [1.5 kohm 1 W, low led]]}]")
    assert [place for rule, place, _ in says(text) if rule == "unprotected-led"] == ["led a", "led b"]


def test_also_where_the_sheet_has_no_such_output() -> None:
    text = plan("[led a]", output="lilac")
    assert [(rule, place) for rule, place, _ in says(text)] == [("unknown-name", "lilac"), ("unprotected-led", "led a")]


@pytest.mark.parametrize(
    "text",
    [
        plan("[1.5 kohm 1 W, led a]"),
        plan("[led a, 1.5 kohm 1 W]"),
        plan("[led a, {series: [{series: [1.5 kohm 1 W]}]}]"),
        plan("[1.5 kohm 1 W, {parallel: [[led a], [low led]]}]"),
        plan("[{parallel: [[1.5 kohm 1 W, led a], [1.5 kohm 1 W, led b]]}]"),
        plan("[{parallel: [[1.5 kohm 1 W], [2.2 kohm 1 W]]}, led a]"),
        plan("[led a]", more="common: {circuit: [1.5 kohm 1 W]}\n"),
        plan("[0 ohm, {diode: 0.7 V}, 1.5 kohm 1 W, led a]"),
        plan("[leaded led]"),
        plan("[leaded led, led a]"),
        plan("[micro bulb, led a]"),
        plan("[{current-regulator: 10 mA}, led a]"),
        plan("[{parallel: [[{current-regulator: 10 mA}], [micro bulb]]}, led a]"),
        plan("[1.5 kohm 1 W]", more="common: {circuit: [led a]}\n"),
        plan("[cab bulb]"),
    ],
)
def test_protected_led(text: str) -> None:
    assert_silent("unprotected-led", text)


@pytest.mark.parametrize(
    ("text", "lack"),
    [
        (plan("[1 kuhm, led a]"), ("led a", "a readable element")),
        (plan("[led c, led a]"), ("led a", "a lamp of this name")),
        (plan("[micro bulb, led a]").replace("15 mA", "15 V"), ("led a", "readable data of this lamp")),
        (plan("[led a]", more="common: {circuit: [1 kuhm]}\n"), ("led a", "a readable element")),
        (plan("[{parallel: [[1 kohm 1 W], []]}, led a]"), ("led a", "an element in this list")),
    ],
)
def test_what_may_protect_but_cannot_be_read(text: str, lack: tuple[str, str]) -> None:
    whole = report(text)
    assert "unprotected-led" not in {finding.rule for finding in whole.findings}
    assert lacks(whole, "unprotected-led") == [lack]


# The next value of E12 up, for what is wished for, else for 10 mA, and within 90 % of the maximum in the hot corner.
SIZED = [
    # 13.1 V - 3.1 V = 10 V at 10 mA are 1 kohm; 10 V² / 950 ohm = 105 mW, of which twice is 1/4 W.
    (plan("[led a]"), "[1 kohm 1/4 W, led a]"),
    # (13.1 V - 3.1 V) / 7 mA = 1429 ohm; in the hot corner 10.3 V / 1425 ohm = 7.23 mA.
    (plan("[wide led]"), "[1.5 kohm 1/4 W, wide led]"),
    # 10 V / 2 mA = 5 kohm.
    (plan("[weak led]"), "[5.6 kohm 1/8 W, weak led]"),
    # 6.9 V / 10 mA = 690 ohm; with the one that is wished 2 mA for 3450 ohm.
    (plan("[led a, led b]"), "[820 ohm 1/8 W, led a, led b]"),
    (plan("[led a, weak led]"), "[3.9 kohm 1/8 W, led a, weak led]"),
    # The diode takes its share: 9.3 V / 10 mA = 930 ohm.
    (plan("[{diode: 0.7 V}, led a]"), "[{diode: 0.7 V}, 1 kohm 1/4 W, led a]"),
    # What stands outside of its own chain takes its share too: 13.1 V - 5.1 V = 8 V.
    (plan("[low led, {series: [led a]}]"), "[820 ohm 1/4 W, low led, {series: [led a]}]"),
    (plan("[wide led]", supply="{common: 8.1 V}"), "[820 ohm 1/8 W, wide led]"),
    # 22 V - 3.1 V = 18.9 V: 1890 ohm.
    (plan("[led a]", supply="{common: 22 V}"), "[2.2 kohm 1/2 W, led a]"),
    (plan("[{parallel: [[1.5 kohm 1 W, led b], [led a]]}]"), "[{parallel: [[1.5 kohm 1 W, led b], [1 kohm 1/4 W, led a]]}]"),
    # A common lead with an LED in it: 13.1 V - 5.1 V = 8 V.
    (plan("[led a]", more="common: {circuit: [{diode: 2 V}]}\n"), "[820 ohm 1/4 W, led a]"),
    # An output of 5 mA, of which 90 % are 4.5 mA: 10 V / 4.5 mA / 0.95 = 2339 ohm.
    (plan("[led a]").replace("limit: 100 mA}, yellow", "limit: 5 mA}, yellow"), "[2.7 kohm 1/8 W, led a]"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "cured"), SIZED, ids=[cured for _, cured in SIZED])
def test_the_resistor_that_is_put_in(text: str, cured: str) -> None:
    once = fix(text)
    assert f"{{circuit: {cured}}}" in once
    assert report(once).findings == ()


def test_the_suggested_value_stands_in_the_data() -> None:
    found = only_finding("unprotected-led", UNPROTECTED[0])
    assert dict(found.data) == {"suggested": 1000.0}
    assert [(fix.title, fix.sure) for fix in found.fixes] == [("Put in 1 kohm 1/4 W", False)]


# --- unwired-lamp -----------------------------------------------------------------------------------------------------

SPARE = "lamps:\n  spare: {led: {forward-voltage: 3 V}}"


@pytest.mark.parametrize(
    "text",
    [
        plan().replace("lamps:", SPARE),
        plan("[]").replace("lamps: {}", SPARE),
        plan("[{current-regulator: 10 mA}, led a]").replace("lamps:", SPARE),
    ],
)
def test_unwired_lamp(text: str) -> None:
    assert_loud("unwired-lamp", Loud("", text, WARNING, "spare", ('no output feeds the lamp "spare"',), related=()))


def test_unwired_lamp_with_broken_data() -> None:
    text = plan().replace("lamps:", SPARE.replace("3 V", "3 A"))
    assert [(rule, place) for rule, place, _ in says(text)] == [("unwired-lamp", "spare"), ("wrong-unit", "3 A")]


@pytest.mark.parametrize(
    "text",
    [
        plan(),
        plan("[{parallel: [[{series: [1 kohm 1 W, led a]}]]}]"),
        plan("[1 kohm 1 W, {lamp: led a, reversed: true}]"),
        plan("[1.5 kohm 1 W]", more="common: {circuit: [led a]}\n"),
        plan(output="lilac"),
    ],
)
def test_wired_lamp(text: str) -> None:
    assert_silent("unwired-lamp", text)


@pytest.mark.parametrize(
    "text",
    [
        plan("[1 kohm 1 W, {sries: [led a]}]"),
        plan("[1 kohm 1 W, led c, led a]"),
        plan("[{parallel: [[1 kohm 1 W, led a], 12]}]"),
        plan("led a"),
        plan(more="common: {circuit: spare}\n"),
    ],
)
def test_unwired_rests_where_a_circuit_was_dropped(text: str) -> None:
    text = text.replace("lamps: {}", "lamps:").replace("lamps:", SPARE, 1)
    whole = report(text)
    assert "unwired-lamp" not in {finding.rule for finding in whole.findings}
    assert ("spare", "circuits that can all be read") in lacks(whole, "unwired-lamp")


# --- twice-wired-lamp -------------------------------------------------------------------------------------------------

TWICE = [
    Loud("on two outputs", plan(yellow="[1.5 kohm 1 W, led a]"), ERROR, "led a", ('the lamp "led a" is wired a second time here',), related=("led a",)),
    Loud("in one chain", plan("[1.5 kohm 1 W, led a, led a]"), ERROR, "led a"),
    Loud("in two branches", plan("[{parallel: [[2.2 kohm 1 W, led a], [2.2 kohm 1 W, {lamp: led a}]]}]"), ERROR, "led a"),
    Loud("in the common lead", plan(more="common: {circuit: [led a]}\n"), ERROR, "led a"),
]  # fmt: skip


@pytest.mark.parametrize("case", TWICE, ids=has_name)
def test_twice_wired_lamp(case: Loud) -> None:
    assert_loud("twice-wired-lamp", case)
    found = only_finding("twice-wired-lamp", case)
    assert found.span.start > found.notes[0].span.start


def test_a_lamp_in_three_places_is_one_mistake_with_all_places_beside_it() -> None:
    text = plan("[1.5 kohm 1 W, led a]", yellow="[1.5 kohm 1 W, led a, led a]")
    first, second, third = (
        index for index in range(len(text)) if text.startswith("led a]", index) or text.startswith("led a,", index)
    )
    found = report(text).findings
    assert [(one.span.start, [note.span.start for note in one.notes]) for one in found] == [
        (second, [first, third]),
    ]


@pytest.mark.parametrize(
    "text",
    [
        plan("[1.5 kohm 1 W, led a]", yellow="[1.5 kohm 1 W, led b]"),
        # A name that is defined nowhere is another mistake, once in each place.
        plan("[1.5 kohm 1 W, led c]", yellow="[1.5 kohm 1 W, led c]"),
    ],
)
def test_lamp_in_one_place(text: str) -> None:
    assert_silent("twice-wired-lamp", text)
