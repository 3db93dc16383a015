"""How fixes write a resistor: the one piece that changes, in whatever way the resistor is written."""

from __future__ import annotations

from functools import partial

import pytest

from lampwright.model.settings import Settings
from lampwright.model.values import Figure
from lampwright.text import apply
from rule_cases import ADVICE, beside_advice, plan
from seam import PLAN, report
from seam import fix as fix_all

# Values that nobody sells make the figures of these cases.
fix = partial(fix_all, but=ADVICE)

# Behind an LED of 3.1 V at 13.1 V: 10 V² over the ohms are the watts, 10 V over them the amperes.

RATED = [
    # Hot at 5 % less: 10 V² / 665 ohm = 150 mW, of which twice is 1/2 W.
    ("700 ohm", "700 ohm 1/2 W"),
    ("700ohm 1/8 W", "700ohm 1/2 W"),
    ("700R 62.5 mW", "700R 1/2 W"),
    ("0.7 kΩ   125 mW   5 %", "0.7 kΩ   1/2 W   5 %"),
    ("700 ohm 5 %", "700 ohm 1/2 W 5 %"),
    ('"700 ohm 1/8 W"', '"700 ohm 1/2 W"'),
    ("'700 ohm 5 %'", "'700 ohm 1/2 W 5 %'"),
    # No digit of the resistance is lost.
    ("701.25 ohm", "701.25 ohm 1/2 W"),
    ("{resistor: 700 ohm}", "{resistor: 700 ohm, rating: 1/2 W}"),
    ("{resistor: '700 ohm', tolerance: 5 %}", "{resistor: '700 ohm', rating: 1/2 W, tolerance: 5 %}"),
    ("{tolerance: 5 %, rating: 1/8 W, resistor: 700R}", "{tolerance: 5 %, rating: 1/2 W, resistor: 700R}"),
    # Of a chip the size says the rating (1/16 W, 1/10 W); one of 1/2 W is 1812. A stated rating goes before.
    ("{resistor: 700 ohm, size: 0603}", "{resistor: 700 ohm, size: 1812}"),
    ("{resistor: 700 ohm, size: '0805'}", "{resistor: 700 ohm, size: '1812'}"),
    ("{resistor: 700 ohm, size: 0805, rating: 1/8 W}", "{resistor: 700 ohm, size: 0805, rating: 1/2 W}"),
]  # fmt: skip


@pytest.mark.parametrize(("written", "rated"), RATED)
def test_a_rating(written: str, rated: str) -> None:
    text = plan(f"[{written}, led a]")
    assert [finding.rule for finding in beside_advice(report(text))] == ["overheated-resistor"]
    assert fix(text) == plan(f"[{rated}, led a]")


# Above its test current the LED takes a little more than 3.1 V, so that less than 10 V / 18 mA = 556 ohm keep it at 18 mA:
# at 5 % less 680 ohm of E12, at 1 % less 560 ohm, hot at least 10 V² / 680 ohm = 147 mW, for which 1/4 W is too little.
SIZED = [
    ("470 ohm 1 W", "680 ohm 1 W"),
    ("470R 1 W 5 %", "680 ohm 1 W 5 %"),
    ("470 ohm 1/2 W 1 %", "560 ohm 1/2 W 1 %"),
    ('"470 ohm 1 W"', '"680 ohm 1 W"'),
    ("470 ohm 1/4 W", "680 ohm 1/2 W"),
    ("470 ohm", "680 ohm 1/2 W"),
    ("{resistor: 470 ohm, rating: 1 W}", "{resistor: 680 ohm, rating: 1 W}"),
    ("{rating: 1/4 W, resistor: 470 ohm}", "{rating: 1/2 W, resistor: 680 ohm}"),
    ("{resistor: '470 ohm', rating: \"1/4 W\"}", "{resistor: '680 ohm', rating: \"1/2 W\"}"),
    ("{resistor: 470 ohm, size: 1210}", "{resistor: 680 ohm, size: 1812}"),
    ("{resistor: 470 ohm, tolerance: 1 %}", "{resistor: 560 ohm, rating: 1/2 W, tolerance: 1 %}"),
]


@pytest.mark.parametrize(("written", "sized"), SIZED)
def test_another_resistance(written: str, sized: str) -> None:
    text = plan(f"[{written}, led a]")
    overdriven = next(one for one in report(text).findings if one.rule == "overdriven-led")
    cured = apply(overdriven.span.source, overdriven.fixes[0].edits)
    assert cured == plan(f"[{sized}, led a]")
    assert beside_advice(report(cured)) == []


BLOCK = """\
      - resistor: 700 ohm   # from the box
        tolerance: 5 %
      - led a               # the only one
"""


@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_a_block_keeps_its_comments_and_line_ends(line_end: str) -> None:
    text = plan("[]").replace("{circuit: []}", "\n    circuit:\n" + BLOCK.rstrip("\n"))
    text = text.replace("lamps: {}", "lamps:\n  led a: {led: {forward-voltage: 3.1 V, maximum-current: 20 mA}}")
    rated = text.replace("# from the box\n", "# from the box\n        rating: 1/2 W\n")
    assert fix(text.replace("\n", line_end)) == rated.replace("\n", line_end)


def test_a_block_of_one_entry() -> None:
    text = plan("[led a]").replace("[led a]}", "[{parallel: [\n    [led a, 700 ohm],\n  ]}]}")
    assert fix(text) == text.replace("700 ohm", "700 ohm 1/2 W")
    block = plan("[]").replace("{circuit: []}", "\n    circuit:\n      - resistor: 700 ohm\n      - led a")
    block = block.replace("lamps: {}", "lamps: {led a: {led: {forward-voltage: 3.1 V, maximum-current: 20 mA}}}")
    assert fix(block) == block.replace("700 ohm\n", "700 ohm\n        rating: 1/2 W\n")


CATALOGUE = {"club.parts.yaml": "parts-catalogue: 1\nresistors:\n  - {value: 470 ohm, rating: 1 W}\n"}
PARTS = "parts: [club.parts.yaml]\n"


@pytest.mark.parametrize(
    ("more", "cured"),
    [
        # The catalogue states 1 W for the old value and nothing for the new one, which needs 1/2 W.
        ("", "680 ohm 1/2 W"),
        ("  - {value: 680 ohm, rating: 1/4 W}\n", "680 ohm 1/2 W"),
        ("  - {value: 680 ohm, rating: 1/2 W}\n", "680 ohm"),
        # With 20 % of tolerance 680 ohm may be 544 ohm: 18.4 mA, above 18 mA; 820 ohm are 13 mA at the worst.
        ("  - {value: 680 ohm, rating: 1 W, tolerance: 20 %}\n", "820 ohm 1/2 W"),
        # Two entries of one value say nothing of it.
        ("  - {value: 680 ohm, rating: 1 W}\n  - {value: 680 ohm, rating: 2 W}\n", "680 ohm 1/2 W"),
    ],
)
def test_what_the_catalogue_has_of_the_new_value(more: str, cured: str) -> None:
    files = {"club.parts.yaml": CATALOGUE["club.parts.yaml"] + more}
    text = plan("[470 ohm, led a]", more=PARTS)
    assert fix(text, files=files) == plan(f"[{cured}, led a]", more=PARTS)


def test_what_the_settings_say_of_every_resistor() -> None:
    text = plan("[470 ohm, led a]")
    house = Settings(resistor_rating=Figure.exact(0.5), resistor_tolerance=0.01, series="E24")
    (finding,) = report(text, PLAN, settings=house).findings
    # A little less than 10 V / 18 mA / 0.99 = 561 ohm, for the LED takes more than its 3.1 V: 560 ohm of E24.
    assert apply(finding.span.source, finding.fixes[0].edits) == plan("[560 ohm, led a]")


def test_an_element_that_cannot_be_changed_piece_by_piece_has_no_fix() -> None:
    text = plan("[led a]").replace("[led a]", '["700\\u0020ohm", led a]')
    assert [(finding.rule, finding.fixes) for finding in beside_advice(report(text))] == [("overheated-resistor", ())]


def test_a_fix_that_would_hurt_another_lamp_is_not_offered() -> None:
    # The LED draws 18.9 mA and the bulb stands at 12.58 V, just below its 12.6 V. With 560 ohm before the LED
    # the bulb would get more than that: so it is the resistor before both that must grow.
    circuit = "[{0}, {{parallel: [[495 ohm 1 W 0 %, led a], [cab bulb]]}}]"
    text = plan(circuit.format("50 ohm 5 W 0 %"), supply="{common: 16.6 V}")
    (finding,) = beside_advice(report(text))
    assert (finding.rule, finding.span.text) == ("overdriven-led", "led a")
    assert fix(text) == plan(circuit.format("68 ohm 5 W 0 %"), supply="{common: 16.6 V}")
    with_560 = plan(circuit.format("50 ohm 5 W 0 %"), supply="{common: 16.6 V}").replace("495 ohm", "560 ohm")
    assert [finding.rule for finding in beside_advice(report(with_560))] == ["wrong-lamp-voltage"]


def test_more_cures_than_there_is_time_for() -> None:
    # Sixty branches coupled by one resistor: each is found, a few have a fix.
    names = [f"lamp {number}" for number in range(60)]
    lamps = "".join(f"  {name}: {{led: {{forward-voltage: 3 V, maximum-current: 20 mA}}}}\n" for name in names)
    branches = ", ".join(f"[10 ohm 1/8 W, {name}]" for name in names)
    text = plan(
        f"[1 ohm 5 W, {{parallel: [{branches}]}}]", sheet="{common: {regulated: 5 V}, outputs: {white: {number: 1}}}"
    )
    text = text.replace("lamps: {}\n", f"lamps:\n{lamps}")
    found = [finding for finding in report(text).findings if finding.rule == "overdriven-led"]
    assert len(found) == 60
    assert 0 < sum(bool(finding.fixes) for finding in found) < 10
