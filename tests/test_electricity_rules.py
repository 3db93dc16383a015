"""Currents against their limits: just below, at and above each limit and each margin.

The figures of each case are worked out beside it. Unless said otherwise 14.5 V on the track less a drop of 1.4 V leave
13.1 V, of which an LED of 3.1 V leaves 10 V for its resistor where it carries its test current, and a little less or
more elsewhere: there the laws written down again in `laws_again` tell the current.
"""

from __future__ import annotations

import pytest

from lampwright.model.settings import Margins, Settings
from laws_again import amperes_at, amperes_of, beside, bulb, led, ohms
from rule_cases import ERROR, WARNING, Loud, assert_loud, assert_silent, has_name, plan
from seam import report

STRICT = Settings(margins=Margins(output_current=0.5, lamp_current=0.5, resistor_power=0.2))
GENEROUS = Settings(margins=Margins(output_current=1.0, lamp_current=1.0, resistor_power=1.0))

# Behind 250 ohm, LEDs of 3.1 V and 2 V side by side: what the second one carries.
SHARED = amperes_of(led(2.0), 13.1 - 250 * amperes_at(13.1, ohms(250), beside(led(3.1), led(2.0))))

# --- overdriven-led ---------------------------------------------------------------------------------------------------

OVERDRIVEN = [
    Loud(
        "at the maximum",
        plan("[500 ohm 1 W 0 %, led twenty]"),
        WARNING,
        "led twenty",
        ("would carry 20 mA; its maximum is 20 mA, of which 90 % is the margin; at your 14.5 V on the track",),
        {
            "current": 10 / 500,
            "limit": 0.020,
            "margin": 0.9,
            "corner": {"supply": 13.1, "forward-voltage": 3.1, "resistance": 500},
            "suggested": 560.0,
        },
        related=("20 mA",),
    ),
    Loud(
        "just above the maximum, said with a digit more",
        plan("[499 ohm 1 W 0 %, led twenty]"),
        ERROR,
        "led twenty",
        ("would carry 20.04 mA; its maximum is 20 mA; at", "forward voltage 3.1 V, 499 ohm"),
        {"current": amperes_at(13.1, ohms(499), led(3.1, at=0.020))},
    ),
    Loud(
        # 90 % of 20 mA are 18 mA, 10 V over which are 555.6 ohm.
        "just above the margin",
        plan("[555 ohm 1 W 0 %, led eighteen]"),
        WARNING,
        "led eighteen",
        ("would carry 18.02 mA",),
        {"current": amperes_at(13.1, ohms(555), led(3.1, at=0.018))},
    ),
    Loud(
        "tolerance of the resistor",
        plan("[500 ohm 1 W, led a]"),
        ERROR,
        "led a",
        ("would carry 20.7 mA", ", 500 ohm \N{MINUS SIGN} 5 %"),
        {
            "current": amperes_at(13.1, ohms(475), led(3.1)),
            "corner": {"supply": 13.1, "forward-voltage": 3.1, "resistance": 475},
        },
    ),
    Loud(
        # 16 V - 1.4 V are 14.6 V; 5 % less than 600 ohm are 570 ohm.
        "spread of supply, forward voltage and resistor",
        plan("[600 ohm 1 W, wide led]", supply="{track: 13 V to 16 V}"),
        ERROR,
        "wide led",
        ("would carry 20.5 mA", "at 16 V on the track, forward voltage 2.8 V, 600 ohm \N{MINUS SIGN} 5 %"),
        {
            "current": amperes_at(14.6, ohms(570), led(2.8)),
            "corner": {"supply": 14.6, "forward-voltage": 2.8, "resistance": 570},
        },
    ),
    Loud(
        "resistor in the common lead",
        plan("[200 ohm 1 W 0 %, led a]", more="common: {circuit: [200 ohm 1 W 0 %]}\n"),
        ERROR,
        "led a",
        ("would carry 24.5 mA", ", 400 ohm"),
        {
            "current": amperes_at(13.1, ohms(400), led(3.1)),
            "corner": {"supply": 13.1, "forward-voltage": 3.1, "resistance": 400},
        },
    ),
    Loud(
        "built-in resistor, which has no tolerance",
        plan("[leaded led]"),
        ERROR,
        "leaded led",
        ("would carry 21 mA", ", 470 ohm"),
        {"current": amperes_at(13.1, led(3.1, built_in=470)), "suggested": 100.0},
    ),
    Loud(
        # The LED of 2 V holds the node near 2 V, at which the other one stays dark.
        "one of two behind a shared resistor takes all",
        plan("[250 ohm 2 W 0 %, {parallel: [[led a], [low led]]}]"),
        ERROR,
        "low led",
        ("would carry 42.8 mA",),
        {"current": SHARED},
    ),
    Loud(
        # The 2 mA that the weaker one is wished for ask for 3.6 kohm: both LEDs take 2.94 V there.
        "chain: the LED that stands least, the others related",
        plan("[820 ohm 1 W 0 %, led a, weak led]"),
        ERROR,
        "weak led",
        ("would carry 8.47 mA; its maximum is 5 mA",),
        {"current": amperes_at(13.1, ohms(820), led(3.1), led(3.1)), "limit": 0.005, "suggested": 3900.0},
        related=("5 mA",),
    ),
    Loud(
        "chain of two alike, one of them in a series of its own",
        plan("[330 ohm 1 W 0 %, {series: [led a]}, led b]"),
        ERROR,
        "led a",
        ("would carry 20.1 mA",),
        {"current": amperes_at(13.1, ohms(330), led(3.1), led(3.1))},
        related=("led b", "20 mA"),
    ),
    Loud(
        "margin from the settings",
        plan("[910 ohm 1 W 0 %, led a]"),
        WARNING,
        "led a",
        ("would carry 11 mA; its maximum is 20 mA, of which 50 % is the margin",),
        {"current": amperes_at(13.1, ohms(910), led(3.1)), "margin": 0.5},
        settings=STRICT,
    ),
    Loud(
        # Below its rating the bulb of 12 V and 60 mA has less than its 200 ohm.
        "bulb in series",
        plan("[100 ohm 1 W 0 %, cab bulb, led a]"),
        ERROR,
        "led a",
        ("would carry 39.7 mA", ", 300 ohm"),
        {"current": amperes_at(13.1, ohms(100), bulb(12.0, 0.06), led(3.1))},
    ),
]


@pytest.mark.parametrize("case", OVERDRIVEN, ids=has_name)
def test_overdriven_led(case: Loud) -> None:
    assert_loud("overdriven-led", case)


def test_brightness_does_not_count() -> None:
    text = plan("[470 ohm 1 W 0 %, led a]").replace("led a]}", "led a], brightness: 10 %}")
    (found,) = (finding for finding in report(text).findings if finding.rule == "overdriven-led")
    assert (found.level, found.span.text) == (ERROR, "led a")
    assert found.data["current"] == pytest.approx(amperes_at(13.1, ohms(470), led(3.1)))


@pytest.mark.parametrize(
    ("text", "settings"),
    [
        # 10 V / 556 ohm = 17.99 mA, and 9 V / 500 ohm = 18 mA, which is the margin and not above it.
        (plan("[556 ohm 1 W 0 %, led eighteen]"), None),
        (plan("[500 ohm 1 W 0 %, led eighteen]", supply="{track: 13.5 V}"), None),
        # At a margin of 100 % the maximum itself is allowed.
        (plan("[500 ohm 1 W 0 %, led twenty]"), GENEROUS),
        (plan("[560 ohm 1 W 1 %, led a]", supply="{common: 12.9 V}"), None),
        # 11.8 V / 712.5 ohm = 16.6 mA at 2.8 V; the LED takes more there.
        (plan("[750 ohm 1 W, wide led]", supply="{track: 13 V to 16 V}"), None),
        (plan("[300 ohm 1 W 0 %, led a]", more="common: {circuit: [300 ohm 1 W 0 %]}\n"), None),
        # A diode of 0.7 V at 10 mA takes 0.052 ln 1.8 = 0.03 V more at 18 mA: 9.27 V / 516 ohm = 17.96 mA.
        (plan("[516 ohm 1 W 0 %, {diode: 0.7 V}, led eighteen]"), None),
        (plan("[{parallel: [[1.2 kohm 1 W, led a], [1.2 kohm 1 W, led b]]}]"), None),
    ],
)
def test_led_within_its_margin(text: str, settings: Settings | None) -> None:
    assert_silent("overdriven-led", text, settings=settings)


# --- overloaded-output ------------------------------------------------------------------------------------------------

OVERLOADED = [
    Loud(
        "two chains add up",
        plan("[{parallel: [[131 ohm 5 W 0 %], [262 ohm 2 W 0 %]]}]"),
        ERROR,
        "white",
        ("would carry 150 mA; its limit is 100 mA; at your 14.5 V on the track",),
        {"current": 13.1 / 131 + 13.1 / 262, "limit": 0.1, "margin": 0.9, "suggested": 68.0},
        related=("100 mA",),
    ),
    Loud(
        "exactly the limit",
        plan("[131 ohm 5 W 0 %]"),
        WARNING,
        "white",
        ("would carry 100 mA; its limit is 100 mA, of which 90 % is the margin; at",),
        {"current": 0.1, "suggested": 150.0, "corner": {"supply": 13.1, "forward-voltage": None, "resistance": None}},
    ),
    Loud(
        "just above the limit",
        plan("[130.9 ohm 5 W 0 %]"),
        ERROR,
        "white",
        ("would carry 100.1 mA; its limit is 100 mA; at",),
        {"current": 13.1 / 130.9},
    ),
    Loud(
        # 90 mA are 145.6 ohm.
        "just above the margin",
        plan("[145 ohm 5 W 0 %]"),
        WARNING,
        "white",
        ("would carry 90.3 mA",),
        {"current": 13.1 / 145},
    ),
    Loud(
        "margin from the settings",
        plan("[250 ohm 5 W 0 %]"),
        WARNING,
        "white",
        ("50 % is the margin",),
        settings=STRICT,
    ),
    Loud(
        "resistors in the common lead and its tolerance",
        plan("[90 ohm 5 W 10 %]", more="common: {circuit: [30 ohm 2 W 0 %]}\n"),
        ERROR,
        "white",
        ("would carry 118 mA",),
        {"current": 13.1 / (81 + 30)},
    ),
    Loud(
        "short circuit, of which the limit is no matter",
        plan("[0 ohm]", output="mute"),
        ERROR,
        "mute",
        ("would be short-circuited, with nothing that limits its current; at your 14.5 V on the track",),
        {"current": None, "limit": None, "suggested": None},
        related=(),
    ),
    Loud(
        "short circuit beside a lamp",
        plan("[{parallel: [[1.5 kohm 1 W, led a], [{diode: 0.7 V}]]}]"),
        ERROR,
        "white",
        ("would be short-circuited, with nothing that limits its current; its limit is 100 mA",),
        {"current": None, "limit": 0.1},
    ),
]


@pytest.mark.parametrize("case", OVERLOADED, ids=has_name)
def test_overloaded_output(case: Loud) -> None:
    assert_loud("overloaded-output", case)


@pytest.mark.parametrize(
    ("text", "settings"),
    [
        (plan("[146 ohm 5 W 0 %]"), None),  # 13.1 V / 146 ohm = 89.7 mA
        (plan("[131 ohm 5 W 0 %]", supply="{common: 11.79 V}"), None),  # exactly 90 mA
        (plan("[131 ohm 5 W 0 %]"), GENEROUS),
        (plan("[47 ohm 1 W, cab bulb]"), None),
        (plan("[]"), None),
        # An LED that stays dark draws nothing; that is for another rule.
        (plan("[{diode: 0.7 V}, 146 ohm 5 W 0 %]"), None),
    ],
)
def test_output_within_its_margin(text: str, settings: Settings | None) -> None:
    assert_silent("overloaded-output", text, settings=settings)
