"""Lamps beside each other: mixed-lamps-in-series, shared-resistor, unequal-pair; and hot-lamp, no-preferred-value."""

from __future__ import annotations

import pytest

from lampwright.diagnostics import Severity
from lampwright.model.settings import Settings
from rule_cases import WARNING, Loud, assert_loud, assert_silent, beside_advice, has_name, lacks, plan
from seam import fix, report

NOTE = Severity.NOTE


def found_by(rule: str, text: str) -> list[tuple[str, tuple[str, ...]]]:
    """The culprits of that rule in `text`, with the related texts."""
    findings = [finding for finding in report(text).findings if finding.rule == rule]
    return [(finding.span.text, tuple(note.span.text for note in finding.notes)) for finding in findings]


# --- mixed-lamps-in-series --------------------------------------------------------------------------------------------

MIXED = [
    (plan("[1 kohm 1 W, led a, micro bulb]"), [("micro bulb", ("led a",))]),
    (plan("[1 kohm 1 W, micro bulb, led a]"), [("led a", ("micro bulb",))]),
    (plan("[1 kohm 1 W, {series: [led a]}, {series: [{series: [micro bulb]}]}]"), [("micro bulb", ("led a",))]),
    (plan("[1 kohm 1 W, led a, micro bulb, led b, cab bulb]"), [("micro bulb", ("led a",))]),
    # All that passes a branch passes what is in series with the parallel.
    (plan("[1 kohm 1 W, micro bulb, {parallel: [[1 kohm 1 W, led a], [1 kohm 1 W]]}]"), [("led a", ("micro bulb",))]),
    (plan("[{parallel: [[1 kohm 1 W, led a], [1 kohm 1 W]]}, micro bulb]"), [("led a", ("micro bulb",))]),
    (plan("[1 kohm 1 W, led a]", more="common: {circuit: [micro bulb]}\n"), [("led a", ("micro bulb",))]),
    (plan("[{parallel: [[1 kohm 1 W, led a], {series: [1 kohm 1 W, led b], return: rail}]}, micro bulb]"), [("led a", ("micro bulb",)), ("led b", ("micro bulb",))]),
    (plan("[1 kohm 1 W, led a]", more="common: {circuit: [1 kohm 1 W, led b, micro bulb]}\n"), [("micro bulb", ("led b",)), ("led a", ("micro bulb",))]),
]  # fmt: skip


@pytest.mark.parametrize(("text", "places"), MIXED)
def test_mixed_lamps_in_series(text: str, places: list[tuple[str, tuple[str, ...]]]) -> None:
    assert found_by("mixed-lamps-in-series", text) == places


def test_mixed_lamps_are_told_with_their_currents() -> None:
    says = 'the bulb "micro bulb", which needs 15 mA, is in series with the LED "led a", which stands 20 mA'
    assert_loud(
        "mixed-lamps-in-series", Loud("", plan("[1 kohm 1 W, led a, micro bulb]"), WARNING, "micro bulb", (says,))
    )


@pytest.mark.parametrize(
    "text",
    [
        plan("[1 kohm 1 W, led a, led b]"),
        plan("[micro bulb, cab bulb]"),
        plan("[{parallel: [[1 kohm 1 W, led a], [1 kohm 1 W, micro bulb]]}]"),
        plan("[1 kohm 1 W, led a]", yellow="[tough bulb]"),
        # What returns to a rail does not pass what stands before the parallel.
        plan("[micro bulb, {parallel: [[1 kohm 1 W], {series: [1 kohm 1 W, led a], return: rail}]}]"),
        plan("[1 kohm 1 W, led a]", more="common: {circuit: [micro bulb]}\n").replace("led a]}", "led a], return: rail}"),
    ],
)  # fmt: skip
def test_lamps_of_one_kind_in_series(text: str) -> None:
    assert_silent("mixed-lamps-in-series", text)


@pytest.mark.parametrize(
    ("text", "place"),
    [
        (plan("[1 kohm 1 W, led a, micro bulb]").replace("15 mA", "15 V"), "micro bulb"),
        (plan("[1 kohm 1 W, led a, led c]"), "led c"),
        (plan("[1 kohm 1 W, led a, {lmp: led b}]"), "{lmp: led b}"),
    ],
)
def test_lamps_in_series_of_which_nothing_is_known(text: str, place: str) -> None:
    assert lacks(report(text), "mixed-lamps-in-series") == [(place, "readable data of this lamp")]


# --- shared-resistor --------------------------------------------------------------------------------------------------

SIDE_BY_SIDE = [
    (plan("[1 kohm 1 W, {parallel: [[led a], [led b]]}]"), [("1 kohm 1 W", ("led a", "led b"))]),
    (plan("[{parallel: [[led a], [led b]]}, {series: [1 kohm 1 W]}]"), [("1 kohm 1 W", ("led a", "led b"))]),
    (plan("[1 kohm 1 W, {parallel: [[led a, low led], [led b], [470 ohm 1 W, any led]]}]"), [("1 kohm 1 W", ("led a", "low led", "led b"))]),
    (plan("[1 kohm 1 W, {series: [{parallel: [[{diode: 0.7 V}, led a], [0 ohm, led b]]}]}]"), [("1 kohm 1 W", ("led a", "led b"))]),
    (plan("[{current-regulator: 10 mA}, {parallel: [[led a], [led b]]}]"), [("{current-regulator: 10 mA}", ("led a", "led b"))]),
    (plan("[{parallel: [[1 kohm 1 W], [1 kohm 1 W]]}, {parallel: [[led a], [led b]]}]"), [("1 kohm 1 W", ("led a", "led b"))]),
    (plan("[{parallel: [[led a], [led b]]}]", more="common: {circuit: [1 kohm 1 W]}\n"), [("1 kohm 1 W", ("led a", "led b"))]),
    (plan("[tough bulb, {parallel: [[led a], [led b]]}]"), [("tough bulb", ("led a", "led b"))]),
]  # fmt: skip


@pytest.mark.parametrize(("text", "places"), SIDE_BY_SIDE)
def test_leds_side_by_side(text: str, places: list[tuple[str, tuple[str, ...]]]) -> None:
    assert found_by("shared-resistor", text) == places


IN_COMMON = "common: {circuit: [150 ohm 1 W]}\n"
OWN = {"white": "[1.5 kohm 1 W, led a]", "yellow": "[1.5 kohm 1 W, led b]"}
F0_F3 = "{F0: {turns-on: [{output: white}]}, F3: {turns-on: [{output: yellow, when: reverse}]}}"


def common_lead(keys: str, white: str = OWN["white"], yellow: str = OWN["yellow"], more: str = IN_COMMON) -> str:
    return plan(white, yellow=yellow, keys=keys, more=more)


SHARED = [
    Loud(
        "lamps of two keys",
        common_lead(F0_F3),
        WARNING,
        "150 ohm 1 W",
        ('the lamps of "white" and "yellow" share the resistor "150 ohm", so that each takes from the other with F0 and F3 on, reverse',),
        {"state": {"keys": ["F0", "F3"], "direction": "reverse", "moving": False}},
        related=("white", "yellow"),
    ),
    Loud("a key and what is always on", common_lead("{F0: {turns-on: [{output: white}]}}", more=IN_COMMON + "always: [{output: yellow, when: moving}]\n"), WARNING, "150 ohm 1 W", ("with F0 on, forward, moving",)),
    Loud("one key, two conditions", common_lead("{F0: {turns-on: [{output: white}, {output: yellow, when: moving}]}}"), WARNING, "150 ohm 1 W"),
    Loud("LEDs without a resistor of their own, though always together", common_lead("{F0: {turns-on: [{output: [white, yellow]}]}}", "[led a]", "[led b]"), WARNING, "150 ohm 1 W"),
    Loud("an LED without one beside an LED with one, though always together", common_lead("{F0: {turns-on: [{output: [white, yellow]}]}}", "[led a]"), WARNING, "150 ohm 1 W"),
    Loud("two side by side in one output", plan("[1 kohm 1 W, {parallel: [[led a], [led b]]}]"), WARNING, "1 kohm 1 W", ('the LEDs "led a" and "led b" share the resistor "1 kohm" side by side',)),
]  # fmt: skip


@pytest.mark.parametrize("case", SHARED, ids=has_name)
def test_shared_resistor(case: Loud) -> None:
    # Two LEDs behind 150 ohm have too much; that is not what is asked here.
    (found,) = (found for found in report(case.text).findings if found.rule == "shared-resistor")
    assert (found.level, found.span.text) == (case.level, case.culprit)
    assert all(words in found.message for words in case.says)
    assert case.related is None or tuple(note.span.text for note in found.notes) == case.related
    assert dict(found.data) == dict(case.data) or not case.data


@pytest.mark.parametrize(
    "text",
    [
        plan("[{parallel: [[1 kohm 1 W, led a], [1 kohm 1 W, led b]]}]"),
        plan("[1 kohm 1 W, {parallel: [[led a], [470 ohm 1 W, led b]]}]"),
        plan("[1 kohm 1 W, {parallel: [[led a], [1 kohm 1 W]]}]"),
        plan("[100 ohm 1 W, {parallel: [[led a, 1 kohm 1 W], [leaded led]]}]"),
        plan("[1 kohm 1 W, led a, led b]"),
        # Never together, as on the saddle tank; always together; not at all.
        common_lead("{F0: {turns-on: [{output: white, when: forward}, {output: yellow, when: reverse}]}}"),
        common_lead("{F0: {turns-on: [{output: [white, yellow]}]}}"),
        common_lead("{}"),
        common_lead("{F0: {turns-on: [{output: white}]}}"),
        # Nothing to share, or nobody to share it with.
        common_lead(F0_F3, more=""),
        common_lead(F0_F3, more="common: {circuit: [{diode: 0.7 V}]}\n"),
        common_lead(F0_F3, yellow="[1.5 kohm 1 W]"),
        common_lead(F0_F3).replace("led b]}", "led b], return: rail}"),
    ],
)
def test_resistors_of_their_own(text: str) -> None:
    assert_silent("shared-resistor", text)


@pytest.mark.parametrize(
    ("text", "lack"),
    [
        (plan("[1 kohm 1 W, {parallel: [[led a], [led c]]}]"), ("[led c]", "a readable branch")),
        (plan("[{parallel: [[led a], [led b]]}]"), ("led a", "a cure for its unprotected-led first")),
        (common_lead("{F0: {turns-on: [{output: white}]}, F3: {turns-on: [{output: yellow, when: sunday}]}}"), ("150 ohm 1 W", "which outputs burn together")),
    ],
)  # fmt: skip
def test_sharing_that_cannot_be_told(text: str, lack: tuple[str, str]) -> None:
    whole = report(text)
    assert "shared-resistor" not in {finding.rule for finding in whole.findings}
    assert lacks(whole, "shared-resistor") == [lack]


# --- unequal-pair -----------------------------------------------------------------------------------------------------


def pair(white: str, yellow: str, keys: str = "{}", names: tuple[str, str] = ("left lamp", "right lamp")) -> str:
    """Two outputs with `led a` and `led b` in them, under these names. 10 V for each resistor."""
    text = plan(white, yellow=yellow, keys=keys)
    return text.replace("led a", names[0]).replace("led b", names[1])


def bulbs(white: str, yellow: str) -> str:
    """Two outputs with bulbs `lamp a` and `lamp b` of 50 mA at 13.1 V that one entry turns on."""
    text = plan(white, yellow=yellow, keys=TOGETHER)
    data = "{bulb: {voltage: 13.1 V, current: 50 mA, maximum-voltage: 16 V}}"
    return text.replace("lamps: {}", f"lamps:\n  lamp a: {data}\n  lamp b: {data}")


TOGETHER = "{F3: {turns-on: [{output: [white, yellow]}]}}"
BRIGHT, DARK, DARKEST = "[1 kohm 1 W 0 %, led a]", "[2 kohm 1 W 0 %, led b]", "[2.2 kohm 1 W 0 %, led b]"

UNEQUAL = [
    Loud(
        "by name",
        pair(BRIGHT, DARKEST),
        WARNING,
        "right lamp",
        ('of the light of "left lamp", and 50 % is the least for lamps that belong together; at your 14.5 V',),
        {"limit": 0.5},
        related=("left lamp",),
    ),
    Loud("by name, in the middle of it and with a capital", pair(BRIGHT, DARKEST, names=("Left ditch lamp", "Right ditch lamp")), WARNING, "Right ditch lamp"),
    Loud("by entry", pair(BRIGHT, DARKEST, TOGETHER, ("north lamp", "south lamp")), WARNING, "south lamp"),
    Loud("by entry, on one output", plan("[{parallel: [[1 kohm 1 W 0 %, led a], [2.2 kohm 1 W 0 %, led b]]}]", keys="{F3: {turns-on: [{output: white}]}}"), WARNING, "led b"),
    Loud("always on", pair(BRIGHT, DARKEST, names=("north lamp", "south lamp")).replace("keys:", "always: [{output: [white, yellow]}]\nkeys:"), WARNING, "south lamp"),
    Loud("by the brightness of the output", pair(BRIGHT, BRIGHT.replace("led a", "led b")).replace("right lamp]}", "right lamp], brightness: 40 %}"), WARNING, "right lamp", ('"right lamp" would give 40 % of the light of "left lamp"',), {"light": 0.4}),
    Loud("by the brightness of an entry", pair(BRIGHT, BRIGHT.replace("led a", "led b"), "{F3: {turns-on: [{output: white}, {output: yellow, brightness: 40 %}]}}"), WARNING, "right lamp"),
    # The brighter one gets its 13.1 V. The darker one has 0.688 of it, where 50 mA times its power of 0.55 take the rest
    # over 100 ohm; its power of 3.5 is 0.27.
    Loud("bulbs", bulbs("[lamp a]", "[100 ohm 2 W 0 %, lamp b]"), WARNING, "lamp b", ('would give 27 % of the light of "lamp a"',)),
]  # fmt: skip


@pytest.mark.parametrize("case", UNEQUAL, ids=has_name)
def test_unequal_pair(case: Loud) -> None:
    assert_loud("unequal-pair", case)


def test_a_pair_by_name_and_by_entry_is_one_mistake() -> None:
    assert found_by("unequal-pair", pair(BRIGHT, DARKEST, TOGETHER)) == [("right lamp", ("left lamp",))]


@pytest.mark.parametrize(
    "text",
    [
        pair(BRIGHT, DARK),
        pair(BRIGHT, BRIGHT.replace("led a", "led b")).replace("right lamp]}", "right lamp], brightness: 50 %}"),
        pair(BRIGHT, DARKEST, names=("north lamp", "south lamp")),
        pair(BRIGHT, DARKEST, names=("left cab lamp", "right step lamp")),
        pair(BRIGHT, DARKEST, names=("cleft lamp", "bright lamp")),
        pair(BRIGHT, DARKEST, "{F0: {turns-on: [{output: white}, {output: yellow}]}}", ("north lamp", "south lamp")),
        # A brightness makes them equal.
        pair(BRIGHT, DARKEST).replace("left lamp]}", "left lamp], brightness: 50 %}"),
        pair(BRIGHT, DARK, "{F3: {turns-on: [{output: [white, yellow], brightness: 40 %}]}}").replace("right lamp]}", "right lamp], brightness: 10 %}"),
        # An LED and a bulb; LEDs of two colours.
        plan("[1 kohm 1 W, led a]", yellow="[tough bulb]", keys=TOGETHER),
        plan("[1 kohm 1 W, led a]", yellow="[10 kohm, red led]", keys=TOGETHER),
    ],
)  # fmt: skip
def test_equal_pair(text: str) -> None:
    assert_silent("unequal-pair", text)


def test_a_pair_of_which_one_is_not_known() -> None:
    text = pair(BRIGHT, "[1 kuhm, led b]")
    assert lacks(report(text), "unequal-pair") == [("right lamp", "a readable element")]


# --- hot-lamp ---------------------------------------------------------------------------------------------------------


def in_shell(shell: str, circuit: str) -> str:
    return plan(circuit).replace("Tipper 9}", f"Tipper 9{shell}}}")


# 13.1 V at 50 mA are 655 mW.
HOT = [
    Loud(
        "plastic",
        in_shell(", shell: plastic", "[lamp of 50 mA]"),
        WARNING,
        "lamp of 50 mA",
        ('the bulb "lamp of 50 mA" would take 655 mW in a shell of plastic, for which 400 mW is the most (common practice); at your 14.5 V',),
        {"power": 0.655, "limit": 0.4, "voltage": 13.1, "current": 0.05},
        related=("plastic",),
    ),
    Loud("resin", in_shell(", shell: resin", "[{parallel: [[lamp of 50 mA]]}]"), WARNING, "lamp of 50 mA", ("in a shell of resin",)),
]  # fmt: skip


@pytest.mark.parametrize("case", HOT, ids=has_name)
def test_hot_lamp(case: Loud) -> None:
    assert_loud("hot-lamp", case)


@pytest.mark.parametrize(
    "text",
    [
        in_shell(", shell: metal", "[lamp of 50 mA]"),
        in_shell(", shell: plastic", "[lamp of 30 mA]"),
        in_shell(", shell: plastic", "[820 ohm 1 W, micro bulb]"),
        # By its label it takes 0.66 W; behind this resistor it does not.
        in_shell(", shell: plastic", "[220 ohm 1 W, lamp of 50 mA]"),
        in_shell(", shell: plastic", "[470 ohm 2 W, led a]"),
        in_shell("", "[lamp of 30 mA]"),
        in_shell(", shell: metal", "[1 kuhm, tough bulb]"),
        in_shell(", shell: plastic", "[1 kuhm, led a]"),
    ],
)
def test_lamp_that_stays_cool(text: str) -> None:
    assert_silent("hot-lamp", text)


@pytest.mark.parametrize(
    ("text", "lack"),
    [
        (in_shell("", "[lamp of 50 mA]"), ("lamp of 50 mA", "what the shell is made of")),
        (in_shell(", shell: cheese", "[lamp of 50 mA]"), ("lamp of 50 mA", "what the shell is made of")),
        (in_shell(", shell: plastic", "[1 kuhm, tough bulb]"), ("1 kuhm", "a readable element")),
    ],
)  # fmt: skip
def test_heat_that_cannot_be_told(text: str, lack: tuple[str, str]) -> None:
    assert lacks(report(text), "hot-lamp") == [lack]


# --- no-preferred-value -----------------------------------------------------------------------------------------------

DRAWER = {
    "drawer.parts.yaml": "parts-catalogue: 1\nresistors:\n  - {value: 1.4 kohm, rating: 1 W}\n  - {value: 1.3 kohm}\n"
}

ODD = [
    Loud(
        "between two values",
        plan("[1.4 kohm 1 W, led a]"),
        NOTE,
        "1.4 kohm 1 W",
        ('the resistor "1.4 kohm" is no value of E12, and no catalogue lists it; the next ones are 1.2 kohm and 1.5 kohm',),
        {"resistance": 1400.0, "suggested": 1500.0},
        related=(),
    ),
    Loud("between two decades", plan("[950 ohm 1 W, led a]"), NOTE, "950 ohm 1 W", ("the next ones are 820 ohm and 1 kohm",)),
    Loud("of the next series", plan("[1.6 kohm 1 W, led a]"), NOTE, "1.6 kohm 1 W", {}),
    Loud("by the settings", plan("[1.8 kohm 1 W, led a]"), NOTE, "1.8 kohm 1 W", ("is no value of E6",), settings=Settings(series="E6")),
    Loud("in the common lead", plan("[led a]", more="common: {circuit: [1.4 kohm 1 W]}\n"), NOTE, "1.4 kohm 1 W", data={"suggested": None}),
    Loud("with all its digits", plan("[{resistor: 1234 ohm, rating: 1 W}, led a]"), NOTE, "{resistor: 1234 ohm, rating: 1 W}", ('"1.234 kohm"',)),
]  # fmt: skip


@pytest.mark.parametrize("case", ODD, ids=has_name)
def test_no_preferred_value(case: Loud) -> None:
    assert_loud("no-preferred-value", case)


@pytest.mark.parametrize(
    ("text", "how"),
    [
        (plan("[1.5 kohm 1 W, led a]"), {}),
        (plan("[0 ohm, 1.5 kohm 1 W, led a]"), {}),
        (plan("[1k5, led a]"), {}),
        (plan("[1.6 kohm 1 W, led a]"), {"settings": Settings(series="E24")}),
        (plan("[1.4 kohm 1 W, led a]", more="parts: [drawer.parts.yaml]\n"), {"files": DRAWER}),
        (plan("[tough bulb]"), {}),
    ],
)
def test_value_that_is_sold(text: str, how: dict[str, object]) -> None:
    assert_silent("no-preferred-value", text, **how)


def test_a_value_of_a_series_that_could_not_be_read() -> None:
    whole = report(plan("[1.4 kohm 1 W, led a]"), settings=Settings(resistors_are_readable=False))
    assert lacks(whole, "no-preferred-value") == [("1.4 kohm 1 W", "a readable catalogue and settings for resistors")]


def test_a_value_beside_an_element_that_could_not_be_read() -> None:
    whole = report(plan("[1, 5 kohm 1 W, led a]"))
    assert [finding.rule for finding in whole.findings] == ["missing-unit"]
    assert lacks(whole, "no-preferred-value") == [("5 kohm 1 W", "a circuit that can all be read")]


def test_a_value_that_an_unreadable_catalogue_may_list() -> None:
    whole = report(plan("[1.4 kohm, led a]", more="parts: [lost.parts.yaml]\n"))
    assert lacks(whole, "no-preferred-value") == [("1.4 kohm", "a readable catalogue and settings for resistors")]


@pytest.mark.parametrize(
    ("written", "cured"),
    [
        ("[1.4 kohm 1 W, led a]", "[1.5 kohm 1 W, led a]"),
        ("[{resistor: 1.4 kohm, rating: 1 W, tolerance: 1 %}, led a]", "[{resistor: 1.5 kohm, rating: 1 W, tolerance: 1 %}, led a]"),
        ("[{parallel: [[1.4 kohm 1 W, led a], [2.1 kohm 1 W, led b]]}]", "[{parallel: [[1.5 kohm 1 W, led a], [2.2 kohm 1 W, led b]]}]"),
    ],
)  # fmt: skip
def test_the_value_that_is_taken_instead(written: str, cured: str) -> None:
    once = fix(plan(written))
    assert f"{{circuit: {cured}}}" in once
    assert beside_advice(report(once)) == []


@pytest.mark.parametrize(
    "text",
    [
        # What takes current away from an LED must not grow: at about 3 V across it 10.1 mA less 3 V over 530 ohm leave it
        # 4.4 mA, less 3 V over 560 ohm 4.7 mA, and 4.5 mA are its margin.
        plan("[1 kohm 1 W 0 %, {parallel: [[weak led], [530 ohm 1 W 0 %]]}]", supply="{common: 13.1 V}"),
        plan("[1.4 kohm 1 W, led c]"),
        # 10 V over 2.8 kohm is just half of the 7 mA that are wished for; over 3.3 kohm it is not.
        plan("[2.8 kohm 1 W, wide led]"),
        plan("[2.9 kohm 1 W, wide led]"),
        # 12 V and 60 mA: behind 180 ohm the bulb gets 5.8 V, and 0.486 to the power of 3.5 is less than a tenth.
        plan("[160 ohm 1 W, tough bulb]"),
    ],
)
def test_no_value_is_taken_that_cannot_be_proved(text: str) -> None:
    (found,) = (found for found in report(text).findings if found.rule == "no-preferred-value")
    assert found.fixes == ()
