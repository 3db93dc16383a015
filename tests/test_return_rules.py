"""Which way round lamps are put in and where they return to: reversed-led, half-wave-bulb, sneak-path."""

from __future__ import annotations

import pytest

from rule_cases import ERROR, WARNING, Loud, assert_loud, assert_silent, has_name, lacks, plan
from seam import fix, report


def railed(circuit: str) -> str:
    """A plan whose output white returns to a rail."""
    return plan(circuit).replace(f"white: {{circuit: {circuit}}}", f"white: {{circuit: {circuit}, return: rail}}")


# --- reversed-led -----------------------------------------------------------------------------------------------------

REVERSED = [
    Loud("in a chain", plan("[1.5 kohm 1 W, {lamp: led a, reversed: true}]"), ERROR, "led a", ('the LED "led a" is put in against the feed and stays dark',), related=()),
    Loud("behind a rail", railed("[1.5 kohm 1 W, {lamp: led a, reversed: true}]"), ERROR, "led a"),
    Loud("in a branch", plan("[{parallel: [[1.5 kohm 1 W, {lamp: led a, reversed: true}], [1.5 kohm 1 W, led b]]}]"), ERROR, "led a"),
    Loud("in the common lead", plan("[1.5 kohm 1 W, led b]", more="common: {circuit: [{lamp: led a, reversed: true}]}\n"), ERROR, "led a"),
    Loud("on an output of which nothing is known", plan("[1 kohm 1 W, {lamp: led a, reversed: true}]", output="mute"), ERROR, "led a"),
]  # fmt: skip


@pytest.mark.parametrize("case", REVERSED, ids=has_name)
def test_reversed_led(case: Loud) -> None:
    assert_loud("reversed-led", case)


@pytest.mark.parametrize(
    "text",
    [
        plan("[1.5 kohm 1 W, led a]"),
        plan("[1.5 kohm 1 W, {lamp: led a}]"),
        plan("[1.5 kohm 1 W, {lamp: led a, reversed: false}]"),
        plan("[{lamp: tough bulb, reversed: true}]"),
    ],
)
def test_led_the_right_way_round(text: str) -> None:
    assert_silent("reversed-led", text)


def test_a_reversed_lamp_of_which_nothing_is_known() -> None:
    text = plan("[1.5 kohm 1 W, {lamp: led a, reversed: true}]").replace("3.1 V", "3.1 A")
    assert lacks(report(text), "reversed-led") == [("led a", "readable data of this lamp")]


@pytest.mark.parametrize(
    ("written", "cured"),
    [
        ("[1.5 kohm 1 W, {lamp: led a, reversed: true}]", "[1.5 kohm 1 W, led a]"),
        ("[1.5 kohm 1 W, {reversed: true, lamp: led a}]", "[1.5 kohm 1 W, led a]"),
        ("[1.5 kohm 1 W, { lamp: 'led a' , reversed: true }]", "[1.5 kohm 1 W, 'led a']"),
        (
            "\n    - 1.5 kohm 1 W\n    - lamp: led a\n      reversed: true # so\n",
            "\n    - 1.5 kohm 1 W\n    - lamp: led a\n",
        ),
        (
            "\n    - 1.5 kohm 1 W\n    - reversed: true\n      lamp: led a\n",
            "\n    - 1.5 kohm 1 W\n    - lamp: led a\n",
        ),
        ("[1.5 kohm 1 W, {lamp: led a,\n     reversed: true}]", "[1.5 kohm 1 W, {lamp: led a}]"),
    ],
)
def test_what_is_left_of_a_reversed_led(written: str, cured: str) -> None:
    def text(circuit: str) -> str:
        return plan().replace("{circuit: [1.5 kohm 1 W, led a]}", f"\n    circuit: {circuit}")

    assert fix(text(written)) == text(cured)


# --- half-wave-bulb ---------------------------------------------------------------------------------------------------

# The root of one half is 0.707, its power of 3.5 is 0.297.
HALF = 0.5**1.75

HALF_WAVE = [
    Loud(
        "on an output",
        railed("[tough bulb]"),
        WARNING,
        "rail",
        ('the bulb "tough bulb" returns to a rail, so that it flickers with 0.71 of the voltage in effect and about 0.3 of its light', "an LED suits a rail, a bulb the common wire"),
        {"light": HALF},
        related=("tough bulb",),
    ),
    Loud(
        "two on a branch are one mistake",
        plan("[{parallel: [{series: [cab bulb, {series: [tough bulb]}, {diode: 0.7 V}], return: rail}]}]"),
        WARNING,
        "rail",
        ('the bulbs "cab bulb" and "tough bulb" return to a rail, so that they flicker',),
        related=("cab bulb", "tough bulb"),
    ),
]  # fmt: skip


@pytest.mark.parametrize("case", HALF_WAVE, ids=has_name)
def test_half_wave_bulb(case: Loud) -> None:
    assert_loud("half-wave-bulb", case)


@pytest.mark.parametrize(
    "text",
    [
        railed("[1.5 kohm 1 W, led a]"),
        plan("[tough bulb]"),
        plan("[{parallel: [[tough bulb], {series: [1.5 kohm 1 W, {diode: 0.7 V}, led a], return: rail}]}]"),
    ],
)
def test_bulb_on_the_common(text: str) -> None:
    assert_silent("half-wave-bulb", text)


def test_a_lamp_at_a_rail_of_which_nothing_is_known() -> None:
    text = railed("[tough bulb]").replace("60 mA", "60 V")
    assert lacks(report(text), "half-wave-bulb") == [("tough bulb", "readable data of this lamp")]


# --- sneak-path -------------------------------------------------------------------------------------------------------


def two_returns(feed: str, rail: str, before: str = "", after: str = "") -> str:
    return plan(f"[{before}{{parallel: [[{feed}], {{series: [{rail}], return: rail}}]}}{after}]")


SNEAKING = [
    Loud(
        "an LED at the rail",
        two_returns("1.5 kohm 1 W, led a", "1.5 kohm 1 W, led b"),
        WARNING,
        "rail",
        ('while the output "white" is off, nearly the whole track voltage stands against the LED "led b", between a rail and the common of "led a"',),
        related=("led a", "led b"),
    ),
    Loud(
        "only a resistor at the rail",
        two_returns("1.5 kohm 1 W, led a", "1.5 kohm 1 W"),
        WARNING,
        "rail",
        ('a current flows from the common to the rail through "led a", which glows',),
        related=("led a",),
    ),
    Loud(
        "an LED beside a resistor holds nothing off",
        two_returns("1.5 kohm 1 W, led a", "{parallel: [[10 kohm 1 W], [1.5 kohm 1 W, led b]]}"),
        WARNING,
        "rail",
        ('through "led a", which glows',),
    ),
    Loud(
        "by way of the outer joint",
        plan(
            "[{parallel: [[{parallel: [{series: [1 kohm 1 W, led a], return: rail}, {series: [1 kohm 1 W, {diode: 0.7 V},"
            " low led], return: rail}]}, 470 ohm 1 W], [1.5 kohm 1 W, led b]]}]"
        ),
        WARNING,
        "rail",
        ('stands against the LED "led a", between a rail and the common of "led b"',),
    ),
    Loud(
        "what is before the parallel is on the way, what is behind it is not",
        two_returns("1.5 kohm 1 W", "1.5 kohm 1 W, led b", "led a, ", ", low led"),
        WARNING,
        "rail",
        ('against the LED "led b", between a rail and the common of "led a"',),
        related=("led a", "led b"),
    ),
]  # fmt: skip


@pytest.mark.parametrize("case", SNEAKING, ids=has_name)
def test_sneak_path(case: Loud) -> None:
    assert_loud("sneak-path", case)


def test_bulbs_on_both_returns_glow() -> None:
    (found,) = (
        found
        for found in report(two_returns("tough bulb", "micro bulb, 1 kohm 1 W")).findings
        if found.rule == "sneak-path"
    )
    assert found.message.endswith(
        'a current flows from the common to the rail through "tough bulb" and "micro bulb", which glow'
    )


def test_what_flows_beside_it_leaves_an_led_less_than_the_whole_voltage() -> None:
    # 2.2 kohm and an LED from the common, 1 kohm and a cold bulb to the rail: about 5 V of 13.8 V are left between.
    beside = "{series: [1.5 kohm 1 W, led b], return: rail}, {series: [1 kohm 1 W, tough bulb], return: rail}"
    whole = report(plan(f"[{{parallel: [[2.2 kohm 1 W, led a], {beside}]}}]"))
    (found,) = (found for found in whole.findings if found.rule in ("sneak-path", "reverse-voltage"))
    assert found.message.endswith('through "led a" and "tough bulb", which glow')
    assert lacks(whole, "reverse-voltage") == [("led b", "a cure for its sneak-path first")]


@pytest.mark.parametrize(
    "text",
    [
        two_returns("1.5 kohm 1 W, led a", "1.5 kohm 1 W, {diode: 0.7 V}, led b"),
        two_returns("1.5 kohm 1 W", "1.5 kohm 1 W"),  # no lamp is concerned
        plan(
            "[{parallel: [{series: [1.5 kohm 1 W, led a], return: rail}, {series: [1.5 kohm 1 W, led b], return: rail}]}]"
        ),
        railed("[{parallel: [[1.5 kohm 1 W, led a], [1.5 kohm 1 W, led b]]}]"),
        railed("[1.5 kohm 1 W, led a]").replace("keys:", "  yellow: {circuit: [1.5 kohm 1 W, led a]}\nkeys:"),
        two_returns("1.5 kohm 1 W, led a, {driver: {limit: 200 mA}}", "1.5 kohm 1 W, led b"),
        two_returns("1.5 kohm 1 W, led a", "1.5 kohm 1 W, led b, {driver: {limit: 200 mA}}"),
    ],
)
def test_returns_that_do_not_meet(text: str) -> None:
    assert_silent("sneak-path", text)


@pytest.mark.parametrize(
    ("text", "place"),
    [
        (two_returns("1.5 kohm 1 W, led a", "{board: {voltage: 12 V, current: 20 mA}}"), "{board: {voltage: 12 V, current: 20 mA}}"),
        (two_returns("1.5 kohm 1 W, led a", "1 kohm 1 W, {lamp: led b, reversed: true}"), "led b"),
        (two_returns("1.5 kohm 1 W, led a", "1 kuhm, led b"), "1 kuhm"),
        (two_returns("1.5 kohm 1 W, led a", "1 kohm 1 W, led c"), "led c"),
    ],
)  # fmt: skip
def test_returns_of_which_nobody_can_tell(text: str, place: str) -> None:
    whole = report(text)
    assert "sneak-path" not in {finding.rule for finding in whole.findings}
    assert lacks(whole, "sneak-path") == [(place, "what this lets through while the output is off")]


def test_a_circuit_without_measure_is_not_searched() -> None:
    branches = ", ".join(["{series: [1 kohm], return: rail}", "[1 kohm]"] * 600)
    whole = report(plan(f"[{{parallel: [{branches}]}}, led a]"))
    assert lacks(whole, "sneak-path") == [("white", "a circuit of at most 1000 elements")]
