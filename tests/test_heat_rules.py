"""Heat of resistors against their ratings: just below, at and above each rating and its margin.

The figures of each case are worked out beside it. Of a lone resistor at 10 V, 100 V² over the ohms are its watts. Else
14.5 V on the track less a drop of 1.4 V leave 13.1 V.
"""

from __future__ import annotations

import pytest

from lampwright.analysis.electrical.derating import derating
from lampwright.model.settings import Margins, Settings
from lampwright.model.values import Figure
from laws_again import amperes_at, led, ohms
from rule_cases import ADVICE, ERROR, WARNING, Loud, assert_loud, assert_silent, has_name, plan
from seam import fix, report

STRICT = Settings(margins=Margins(output_current=0.5, lamp_current=0.5, resistor_power=0.2))
GENEROUS = Settings(margins=Margins(output_current=1.0, lamp_current=1.0, resistor_power=1.0))


def alone(resistor: str) -> str:
    """A plan with this resistor straight across 10 V."""
    return plan(f"[{resistor}]", supply="{common: 10 V}", output="mute")


# Behind a bulb of 12 V and 60 mA, which at `LEFT` volts has the slope of its resistance there, V / 0.55 I, that is also
# the resistor's: then V + V / 0.55 = 13.1 V. Its current is 60 mA (V / 12) ^ 0.55.
LEFT = 13.1 / (1 + 1 / 0.55)
HOTTEST = LEFT / 0.55 / (0.06 * (LEFT / 12) ** 0.55)

OVERHEATED = [
    Loud(
        "above the rating",
        alone("700 ohm 1/8 W 0 %"),
        ERROR,
        "700 ohm 1/8 W 0 %",
        ('the resistor "700 ohm" would turn 143 mW into heat; it is rated for 1/8 W and needs 1/2 W; at your 10 V',),
        {"power": 100 / 700, "current": 10 / 700, "resistance": 700.0, "limit": 0.125, "margin": 0.5, "suggested": 0.5},
        related=(),
    ),
    Loud(
        "exactly the rating",
        alone("800 ohm 1/8 W 0 %"),
        WARNING,
        "800 ohm 1/8 W 0 %",
        ("would turn 125 mW into heat; it is rated for 1/8 W, of which 50 % is the margin, and needs 1/4 W",),
        {"power": 0.125, "suggested": 0.25},
    ),
    Loud(
        "just above the margin",
        alone("1599 ohm 1/8 W 0 %"),
        WARNING,
        "1599 ohm 1/8 W 0 %",
        ("would turn 62.54 mW into heat",),
        {"power": 100 / 1599},
    ),
    Loud(
        "no rating stated: judged as the smallest kind, a warning however hot",
        alone("600 ohm 0 %"),
        WARNING,
        "600 ohm 0 %",
        ("no rating is stated, so that it is judged as one of 1/8 W, of which 50 % is the margin, and needs 1/2 W",),
        {"power": 100 / 600, "limit": 0.125},
    ),
    Loud(
        # 779 ohm get the more.
        "tolerance, behind an LED",
        plan("[820 ohm 1/8 W, stout led]"),
        ERROR,
        "820 ohm 1/8 W",
        ("would turn 127 mW into heat",),
        {
            "power": 779 * amperes_at(13.1, ohms(779), led(3.1)) ** 2,
            "resistance": 0.95 * 820,
            "corner": {"supply": 13.1, "forward-voltage": 3.1, "resistance": 779.0},
        },
    ),
    Loud(
        # A resistor is hottest where it equals the slope of the rest, here inside its tolerance, at 238 ohm.
        "hottest inside its tolerance",
        plan("[230 ohm 1/8 W 10 %, cab bulb]"),
        ERROR,
        "230 ohm 1/8 W 10 %",
        ("would turn 301 mW into heat",),
        {"power": pytest.approx((13.1 - LEFT) ** 2 / HOTTEST), "resistance": pytest.approx(HOTTEST, rel=1e-6)},
    ),
    Loud(
        "rating by the size of a chip",
        alone("{resistor: 1.2 kohm, size: 0603, tolerance: 0 %}"),
        ERROR,
        "{resistor: 1.2 kohm, size: 0603, tolerance: 0 %}",
        ('the resistor "1.2 kohm" would turn 83.3 mW into heat; it is rated for 62.5 mW and needs 1/4 W',),
        {"power": 100 / 1200, "limit": 1 / 16},
    ),
    Loud(
        "hotter than any leaded resistor",
        plan("[20 ohm 1 W 0 %]", output="mute"),
        ERROR,
        "20 ohm 1 W 0 %",
        ("would turn 8.58 W into heat; it is rated for 1 W and needs more than any leaded resistor stands",),
        {"power": 13.1**2 / 20, "suggested": None},
    ),
    Loud(
        "margin from the settings",
        alone("2 kohm 1/8 W 0 %"),
        WARNING,
        "2 kohm 1/8 W 0 %",
        ("would turn 50 mW into heat; it is rated for 1/8 W, of which 20 % is the margin, and needs 1/4 W",),
        {"margin": 0.2},
        settings=STRICT,
    ),
    Loud(
        # Each output alone is 13.1 V / 1.5 kohm = 8.73 mA, which makes 45.7 mW of 600 ohm.
        "in the common lead, with one output on",
        plan("[900 ohm 1 W 0 %]", more="common: {circuit: [600 ohm 62.5 mW 0 %]}\n", yellow="[900 ohm 1 W 0 %]"),
        WARNING,
        "600 ohm 62.5 mW 0 %",
        ("would turn 45.8 mW into heat; it is rated for 62.5 mW, of which 50 % is the margin",),
        {"power": 600 * (13.1 / 1500) ** 2},
    ),
    Loud(
        # Both together: 13.1 V / (600 + 450) ohm = 12.5 mA, which makes 93.4 mW of 600 ohm.
        "in the common lead, with the outputs that one key turns on",
        plan(
            "[900 ohm 1 W 0 %]",
            more="common: {circuit: [600 ohm 62.5 mW 0 %]}\n",
            yellow="[900 ohm 1 W 0 %]",
            keys="{F0: {turns-on: [{output: yellow, when: reverse}]}, F3: {turns-on: [{output: white}]}}",
        ),
        ERROR,
        "600 ohm 62.5 mW 0 %",
        ("would turn 93.4 mW into heat with F0 and F3 on, reverse; it is rated for 62.5 mW and needs 1/4 W",),
        {"power": 600 * (13.1 / 1050) ** 2, "state": {"keys": ["F0", "F3"], "direction": "reverse", "moving": False}},
    ),
]


@pytest.mark.parametrize("case", OVERHEATED, ids=has_name)
def test_overheated_resistor(case: Loud) -> None:
    assert_loud("overheated-resistor", case)


@pytest.mark.parametrize(
    ("text", "settings"),
    [
        (alone("1600 ohm 1/8 W 0 %"), None),  # exactly 62.5 mW
        (alone("1600 ohm 0 %"), None),
        (alone("800 ohm 1/8 W 0 %"), GENEROUS),
        (plan("[{resistor: 1.2 kohm, size: 1206, rating: 1/4 W}, led a]"), None),
        (plan("[{resistor: 1.8 kohm, size: 1206}, led a]"), None),
        (plan("[1.2 kohm, led a]"), Settings(resistor_rating=Figure.exact(0.25))),
        (plan("[cab bulb]"), None),
        (
            plan("[900 ohm 1 W, led a]", more="common: {circuit: [600 ohm 1/8 W]}\n", yellow="[900 ohm 1 W, led b]"),
            None,
        ),
    ],
)
def test_resistor_that_stays_cool(text: str, settings: Settings | None) -> None:
    assert_silent("overheated-resistor", text, settings=settings)


# --- The warmth of the shell ------------------------------------------------------------------------------------------

# Full up to 70 degrees, from there in a straight line to nothing at 155 (data sheets of film and chip resistors, read).
WARM = [(40, 1.0), (70, 1.0), (87, 0.8), (100, 55 / 85), (155, 1e-3), (200, 1e-3)]


@pytest.mark.parametrize(("inside", "share"), WARM)
def test_share_of_a_rating_that_is_left(inside: float, share: float) -> None:
    assert derating(inside) == pytest.approx(share, rel=1e-12)


def warm(inside: str, rating: str) -> str:
    """13.1 V over 1310 ohm are 10 mA and 131 mW."""
    circuit = f"[{{resistor: 1310 ohm, rating: {rating}, tolerance: 0 %}}]"
    return plan(circuit).replace("name: Tipper 9", f"name: Tipper 9, inside: {inside}")


def test_a_rating_is_worth_less_in_a_warm_shell() -> None:
    # 80 % of 160 mW are 128 mW, too little for 131 mW; of 1/2 W they leave 200 mW of margin.
    text = warm("87 °C", "160 mW")
    findings = [each for each in report(text).findings if each.rule == "overheated-resistor"]
    assert [each.level for each in findings] == [ERROR]
    assert "rated for 160 mW, of which 80 % is left at 87 °C in the shell and needs 1/2 W" in findings[0].message
    assert findings[0].data["limit"] == pytest.approx(0.128)
    assert fix(text, but=ADVICE).count("rating: 1/2 W") == 1


def test_a_cool_shell_leaves_the_rating_as_it_is() -> None:
    assert_silent("overheated-resistor", warm("70 °C", "270 mW"))
