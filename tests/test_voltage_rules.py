"""Voltages against what LEDs need together and what a bulb stands: just below, at and above each limit.

The figures of each case are worked out beside it. Unless said otherwise 14.5 V on the track less a drop of 1.4 V leave
13.1 V.
"""

from __future__ import annotations

import pytest

from laws_again import amperes_at, bulb, ohms
from rule_cases import ERROR, WARNING, Loud, assert_loud, assert_silent, has_name, only_finding, plan

# --- unlit-string -----------------------------------------------------------------------------------------------------

FOUR = "led a, led b, {series: [low led]}"

UNLIT = [
    Loud(
        # 3.1 + 3.1 + 2 + 5 = 13.2 V against 13.1 V.
        "usual sum above the usual supply",
        plan(f"[1 kohm 1 W, {FOUR}, {{diode: 5 V}}]"),
        ERROR,
        "white",
        ('the forward voltages on "white" add up to 13.2 V, more than the 13.1 V behind the decoder', "stay dark"),
        {"voltage": 13.2, "limit": 13.1, "corner": {"supply": 13.1, "forward-voltage": 13.2, "resistance": None}},
        related=("led a", "led b", "low led", "{diode: 5 V}"),
    ),
    Loud(
        "by a hundredth of a volt",
        plan(f"[1 kohm 1 W, {FOUR}, {{diode: 4.91 V}}]"),
        ERROR,
        "white",
        ("add up to 13.11 V, more than the 13.1 V",),
        {"voltage": 13.11},
    ),
    Loud(
        # Usually 3.1 + 3.1 + 3.1 + 2 = 11.3 V of 13.1 V; at the worst 3.4 V of the first LED, and 12.8 - 1.4 V.
        "highest sum above the lowest supply",
        plan("[1 kohm 1 W, wide led, led a, led b, low led]", supply="{track: 12.8 V to 16.2 V}"),
        WARNING,
        "white",
        ("may add up to 11.6 V, more than the 11.4 V behind the decoder", "may stay dark"),
        {"voltage": 3.4 + 3.1 + 3.1 + 2, "limit": 12.8 - 1.4},
    ),
    Loud(
        "diode in the common lead",
        plan(f"[1 kohm 1 W, {FOUR}]", more="common: {circuit: [{diode: 5 V}]}\n"),
        ERROR,
        "white",
        ("add up to 13.2 V",),
        related=("{diode: 5 V}", "led a", "led b", "low led"),
    ),
    Loud(
        "in one branch of a parallel",
        plan(f"[{{parallel: [[1.5 kohm 1 W, wide led], [1 kohm 1 W, {FOUR}, {{diode: 5 V}}]]}}]"),
        ERROR,
        "white",
        ("add up to 13.2 V",),
        related=("led a", "led b", "low led", "{diode: 5 V}"),
    ),
]


@pytest.mark.parametrize("case", UNLIT, ids=has_name)
def test_unlit_string(case: Loud) -> None:
    assert_loud("unlit-string", case)
    assert only_finding("unlit-string", case).fixes == ()


@pytest.mark.parametrize(
    "text",
    [
        plan(f"[1 kohm 1 W, {FOUR}, {{diode: 4.9 V}}]"),  # exactly 13.1 V: adds up to no more than there is
        plan(f"[1 kohm 1 W, {FOUR}]"),
        plan("[1 kohm 1 W, wide led, led a, led b, low led]", supply="{track: 13 V to 16 V}"),  # exactly 11.6 V
        # Side by side they do not add up.
        plan("[1 kohm 1 W, {parallel: [[led a, low led], [led b, wide led]]}]"),
        plan("[cab bulb]"),
    ],
)
def test_string_that_is_lit(text: str) -> None:
    assert_silent("unlit-string", text)


# --- wrong-lamp-voltage -----------------------------------------------------------------------------------------------

# A bulb stands 1.1 of its voltage unless said otherwise.
CAB, MICRO = bulb(12.0, 0.06), bulb(1.5, 0.015)

WRONG_VOLTAGE = [
    Loud(
        # 13.3 V: 1.108 of 12 V.
        "just above the maximum",
        plan("[cab bulb]", supply="{track: 14.7 V}"),
        ERROR,
        "cab bulb",
        (
            "would get 13.3 V; it is made for 12 V and stands 13.2 V; at your 14.7 V on the track; about 29 % of its life",
        ),
        {
            "voltage": 13.3,
            "current": amperes_at(13.3, CAB),
            "limit": 13.2,
            "life": (13.3 / 12) ** -12,
            "suggested": 22.0,
        },
        related=("12 V",),
    ),
    Loud(
        "just above 1.05 of its voltage",
        plan("[cab bulb]", supply="{common: 12.61 V}"),
        WARNING,
        "cab bulb",
        ("would get 12.61 V; it is made for 12 V and should get at most 12.6 V; at your 12.61 V between",),
        {"voltage": 12.61, "limit": 12.6, "current": amperes_at(12.61, CAB), "life": (12.61 / 12) ** -12},
    ),
    Loud(
        # Usually 12.1 V, which is fine; in the hot corner 14.6 V.
        "spread of the supply",
        plan("[cab bulb]", supply="{track: {lowest: 13 V, usual: 13.5 V, highest: 16 V}}"),
        ERROR,
        "cab bulb",
        (
            "would get 14.6 V; it is made for 12 V and stands 13.2 V; at 16 V on the track; about 10 % of its life is left",
        ),
        {"voltage": 14.6, "corner": {"supply": 14.6, "forward-voltage": None, "resistance": 200.0}},
    ),
    Loud(
        # The bulb's maximum is stated as 16 V; 13.1 V are still 1.09 of 12 V.
        "stated maximum",
        plan("[tough bulb]"),
        WARNING,
        "tough bulb",
        ("would get 13.1 V", "should get at most 12.6 V", "about 35 % of its life is left"),
    ),
    Loud(
        "resistor too small for a micro bulb",
        plan("[390 ohm 1 W 0 %, micro bulb]"),
        ERROR,
        "micro bulb",
        ("would get 3.61 V; it is made for 1.5 V and stands 1.65 V", "less than 1 % of its life is left"),
        {"voltage": MICRO(amperes_at(13.1, ohms(390), MICRO)), "suggested": 820.0},
    ),
    Loud(
        # 14 V - 0.6 V, where 1.4 V would leave 12.6 V.
        "the drop decides",
        plan(
            "[cab bulb]",
            supply="{track: 14 V}",
            sheet="{common: {drop: 0.6 V}, outputs: {white: {number: 1, limit: 1 A}}}",
        ),
        ERROR,
        "cab bulb",
        ("would get 13.4 V",),
        {"voltage": 13.4},
    ),
]


@pytest.mark.parametrize("case", WRONG_VOLTAGE, ids=has_name)
def test_wrong_lamp_voltage(case: Loud) -> None:
    assert_loud("wrong-lamp-voltage", case)


@pytest.mark.parametrize(
    "text",
    [
        plan("[cab bulb]", supply="{common: 12.6 V}"),  # exactly 1.05 of its voltage
        plan("[22 ohm 1 W 0 %, cab bulb]"),  # 1.3 V at nearly 60 mA
        plan("[820 ohm 1 W, micro bulb]"),
        plan("[{diode: 0.7 V}, cab bulb]", supply="{track: 14.7 V}"),  # 13.3 V - 0.7 V
        plan("[cab bulb]", supply="{track: {lowest: 13 V, usual: 14 V, highest: 14.6 V}}"),  # 13.2 V is what it stands
        plan("[1.5 kohm 1 W, led a]"),
    ],
)
def test_bulb_at_a_voltage_that_it_stands(text: str) -> None:
    assert_silent("wrong-lamp-voltage", text)
