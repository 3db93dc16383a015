"""What electrical verdicts hang on: which supply counts, weak facts and their ceiling, what is cured first, what lacks."""

from __future__ import annotations

import pytest

from lampwright.diagnostics import Finding, Report
from lampwright.model.settings import Margins, Settings
from lampwright.model.values import Figure
from laws_again import amperes_at, led, ohms
from rule_cases import ERROR, REACHING, WARNING, Loud, assert_loud, assert_silent, beside_advice, has_name, lacks, plan
from seam import report

ELECTRICAL = ("overdriven-led", "overheated-resistor", "overloaded-output", "unlit-string", "wrong-lamp-voltage")

REGULATED = "{common: {regulated: 12 V}, outputs: {white: {number: 1, limit: 100 mA, surge: 9 A}}}"
NO_DROP = "{outputs: {white: {number: 1, limit: 100 mA, surge: 9 A}}}"
WIDE_DROP = "{common: {drop: 1 V to 2 V}, outputs: {white: {number: 1, limit: 100 mA, surge: 9 A}}}"

FROM_MEMORY = "; this hangs on a decoder drop of 0.6 V (from memory)"
OF_SCALE = "; this hangs on the normal track voltage of the scale with 10 % either way (common practice)"
OF_COLOUR = "; this hangs on a forward voltage of 1.8 V for this colour (read second-hand)"


def behind(resistance: float, supply: float, forward: float = 3.1) -> float:
    """Amperes of an LED behind that resistor."""
    return amperes_at(supply, ohms(resistance), led(forward))


# All LEDs of 3.1 V at 10 mA that stand 20 mA, all resistors without spread.
SUPPLIES = [
    Loud(
        "measured: track and drop do not count",
        plan("[400 ohm 1 W 0 %, led a]", supply="{track: 22 V, common: 13.1 V}", sheet=NO_DROP),
        ERROR,
        "led a",
        ("would carry 24.5 mA", "; at your 13.1 V between common and output, "),
        {"current": behind(400, 13.1), "corner": {"supply": 13.1, "forward-voltage": 3.1, "resistance": 400.0}},
    ),
    Loud(
        "measured with a spread",
        plan("[400 ohm 1 W 0 %, led a]", supply="{common: 12.5 V to 13.5 V}"),
        ERROR,
        "led a",
        ("would carry 25.5 mA", "; at 13.5 V between common and output, "),
        {"current": behind(400, 13.5)},
    ),
    Loud(
        "regulated: the track does not count",
        plan("[400 ohm 1 W 0 %, led a]", sheet=REGULATED),
        ERROR,
        "led a",
        ("would carry 21.9 mA", "; at your 12 V of the regulated common, "),
        {"current": behind(400, 12.0)},
    ),
    Loud(
        # 14.5 V - 1 V = 13.5 V.
        "drop with a spread: the hot corner has the least of it",
        plan("[500 ohm 1 W 0 %, led a]", sheet=WIDE_DROP),
        ERROR,
        "led a",
        ("would carry 20.5 mA", "; at your 14.5 V on the track, "),
        {"current": behind(500, 13.5), "corner": {"supply": 13.5, "forward-voltage": 3.1, "resistance": 500.0}},
    ),
    Loud(
        "the settings' supply, where the plan says none",
        plan("[400 ohm 1 W 0 %, led a]", supply="").replace(", scale: N", ""),
        ERROR,
        "led a",
        ("would carry 29.4 mA", "; at your 16.5 V on the track, "),
        {"current": behind(400, 15.1)},
        settings=Settings(track=Figure.exact(16.5)),
    ),
]

WEAK = [
    Loud(
        # 14.5 V - 0.6 V = 13.9 V.
        "no drop on the sheet",
        plan("[500 ohm 1 W 0 %, led a]", sheet=NO_DROP),
        WARNING,
        "led a",
        ("would carry 21.3 mA; its maximum is 20 mA; at", FROM_MEMORY),
        {"current": behind(500, 13.9)},
    ),
    Loud(
        # Scale N: 12 V by 10 % more is 13.2 V; less 1.4 V leaves 11.8 V.
        "no supply, by the scale",
        plan("[400 ohm 1 W 0 %, led a]", supply=""),
        WARNING,
        "led a",
        ("would carry 21.4 mA", "; at 13.2 V on the track, ", OF_SCALE),
        {"current": behind(400, 11.8)},
    ),
    Loud(
        "neither supply nor drop",
        plan("[400 ohm 1 W 0 %, led a]", supply="", sheet=NO_DROP),
        WARNING,
        "led a",
        (OF_SCALE.removesuffix(" (common practice)"), "and a decoder drop of 0.6 V (from memory)"),
        {"current": behind(400, 13.2 - 0.6)},
    ),
    Loud(
        "forward voltage by the colour",
        plan("[500 ohm 1 W 0 %, red led]"),
        WARNING,
        "red led",
        ("would carry 22.3 mA", OF_COLOUR),
        {"current": behind(500, 13.1, 1.8)},
    ),
    Loud(
        "maximum not stated",
        plan("[470 ohm 1 W 0 %, any led]"),
        WARNING,
        "any led",
        ("would carry 21 mA; its maximum is not stated, and 20 mA is usual (read second-hand); at",),
        {"current": behind(470, 13.1), "limit": 0.02},
        related=(),
    ),
    Loud(
        "heat behind an LED of that colour",
        plan("[820 ohm 1/8 W 0 %, stout scarlet]"),
        WARNING,
        "820 ohm 1/8 W 0 %",
        ("would turn 154 mW into heat; it is rated for 1/8 W and needs 1/2 W", OF_COLOUR),
        {"power": 820 * behind(820, 13.1, 1.8) ** 2},
    ),
    Loud("bulb", plan("[cab bulb]", sheet=NO_DROP), WARNING, "cab bulb", ("would get 13.9 V", FROM_MEMORY)),
    Loud("output", plan("[120 ohm 5 W 0 %]", sheet=NO_DROP), WARNING, "white", ("would carry 116 mA", FROM_MEMORY)),
    Loud(
        # The usual drop is 1.4 V: 3.1 + 3.1 + 2 + 5 = 13.2 V against 13.1 V.
        "string",
        plan("[1 kohm 1 W, led a, led b, low led, {diode: 5 V}]", sheet=NO_DROP),
        WARNING,
        "white",
        ("add up to 13.2 V", "; this hangs on a decoder drop of 1.4 V (from memory)"),
    ),
]

RULE_OF_CULPRIT = {"cab bulb": "wrong-lamp-voltage", "820 ohm 1/8 W 0 %": "overheated-resistor"}


@pytest.mark.parametrize("case", [*SUPPLIES, *WEAK], ids=has_name)
def test_supplies_and_weak_facts(case: Loud) -> None:
    of_output = "unlit-string" if case.name == "string" else "overloaded-output"
    by_culprit = {"white": of_output, **RULE_OF_CULPRIT}
    assert_loud(by_culprit.get(case.culprit, "overdriven-led"), case)


@pytest.mark.parametrize(
    "text",
    [
        # A weak fact beside an LED on its own way does not lower its level: what is in the other branch is no matter.
        plan("[{parallel: [[400 ohm 1 W 0 %, led a], [2.2 kohm 1 W, red led]]}]"),
        # A measured common makes the drop no matter.
        plan("[400 ohm 1 W 0 %, led a]", supply="{common: 13.1 V}", sheet=NO_DROP),
    ],
)
def test_a_weak_fact_elsewhere_lowers_nothing(text: str) -> None:
    (finding,) = beside_advice(report(text))
    assert (finding.level, finding.span.text) == (ERROR, "led a")
    assert "hangs on" not in finding.message


@pytest.mark.parametrize("rule", ELECTRICAL)
def test_a_sound_plan_leaves_nothing_undecided(rule: str) -> None:
    assert_silent(rule, plan("[1.5 kohm 1 W, led a]", yellow="[47 ohm 1 W, cab bulb]"))


# --- What is cured first ----------------------------------------------------------------------------------------------

# Each of these circuits is faulty in more ways than the one that is named.
FIRST = [
    ("unprotected-led", "[{parallel: [[led a], [47 ohm 1/8 W, low led], [micro bulb]]}]"),
    (
        "unlit-string",
        "[47 ohm 1/8 W, {parallel: [[led a, led b, low led, {diode: 5 V}], [10 ohm, any led], [micro bulb]]}]",
    ),
    ("overloaded-output", "[{parallel: [[0 ohm], [47 ohm 1/8 W, low led], [micro bulb]]}]"),
]


@pytest.mark.parametrize(("first", "circuit"), FIRST)
def test_an_output_has_no_other_electrical_finding(first: str, circuit: str) -> None:
    whole = report(plan(circuit, yellow="[400 ohm 1 W 0 %, wide led]"))
    of_other = [finding.rule for finding in beside_advice(whole) if "wide led" in finding.span.text]
    assert [finding.rule for finding in beside_advice(whole) if "wide led" not in finding.span.text] == [first]
    assert of_other == ["overdriven-led"]
    resting = set(ELECTRICAL) - {first}
    waiting = [item for item in whole.undecided if item.rule in {*ELECTRICAL, first}]
    assert {item.rule for item in waiting} == resting
    assert {(item.span.text, item.lacks) for item in waiting} == {("white", f"a cure for its {first} first")}


def test_a_common_lead_waits_for_its_outputs() -> None:
    text = plan("[led a]", more="common: {circuit: [{diode: 0.7 V}]}\n", yellow="[1.5 kohm 1 W, led b]")
    waits = ("{diode: 0.7 V}", "a cure for the unprotected-led of its outputs first")
    assert waits in lacks(report(text), "overheated-resistor")


def test_outputs_that_may_never_burn_together() -> None:
    # Alone each makes 45.8 mW of the 600 ohm (13.1 V / 1.5 kohm = 8.73 mA), together 93.4 mW: half of 1/8 W is between.
    keys = "{F0: {turns-on: [{output: white, when: forward}, {output: yellow, when: reverse}]}}"
    text = plan(
        "[900 ohm 1 W 0 %]", more="common: {circuit: [600 ohm 1/8 W 0 %]}\n", yellow="[900 ohm 1 W 0 %]", keys=keys
    )
    whole = report(text)
    assert beside_advice(whole) == []
    assert lacks(whole, "overheated-resistor") == [("600 ohm 1/8 W 0 %", "which outputs burn together")]


# --- What lacks -------------------------------------------------------------------------------------------------------

# All of these have a law: nothing is left undecided, and with these figures nothing is wrong.
LAWFUL = [
    "[{current-regulator: 10 mA, needs: 2 V}, led a]",
    "[{board: {voltage: 12 V, current: 20 mA}}]",
    "[{driver: {limit: 200 mA}}, 1 kohm 1 W, led a]",
    "[{parallel: [{series: [1 kohm 1 W, led a], return: rail}, [1 kohm 1 W, led b]]}]",
    # What stands before it is on the way of the other branch only.
    "[1 kohm 1 W, {parallel: [{series: [1 kohm 1 W, led a], return: rail}, [led b]]}]",
]


def electrical(whole: Report) -> list[Finding]:
    """The findings of the rules that this is about."""
    return [finding for finding in whole.findings if finding.rule in ELECTRICAL]


@pytest.mark.parametrize("circuit", LAWFUL)
@pytest.mark.parametrize("rule", ELECTRICAL)
def test_every_element_has_a_law(rule: str, circuit: str) -> None:
    assert_silent(rule, plan(circuit))


@pytest.mark.parametrize("rule", ELECTRICAL)
def test_a_reversed_led_is_cured_first(rule: str) -> None:
    whole = report(plan("[1 kohm, {lamp: led a, reversed: true}]"))
    assert electrical(whole) == []
    assert lacks(whole, rule) == [("white", "a cure for its reversed-led first")]


def test_a_regulator_that_lets_through_too_much() -> None:
    # It rises by a millionth for each volt above the 2 V that it needs: by 8 of them here.
    text = plan("[{current-regulator: 25 mA, needs: 2 V}, led twenty]")
    (finding,) = electrical(report(text))
    assert (finding.rule, finding.level, finding.span.text) == ("overdriven-led", ERROR, "led twenty")
    assert finding.data["current"] == pytest.approx(0.025, rel=1e-5)
    assert "would carry 25 mA; its maximum is 20 mA" in finding.message


def test_a_driver_is_judged_by_its_own_limit() -> None:
    # Of a logic-level output only the driver carries the lamp: 10 V over 500 ohm at the LED's 20 mA.
    circuit = "[{{driver: {{limit: {}}}}}, 500 ohm 1 W 0 %, led twenty]"
    generous = Settings(margins=Margins(output_current=1.0, lamp_current=1.0, resistor_power=1.0))
    (finding,) = electrical(report(plan(circuit.format("19 mA"), output="logic"), settings=generous))
    assert (finding.rule, finding.level, finding.span.text) == ("overloaded-output", ERROR, "logic")
    assert finding.message.startswith('the driver at the output "logic" would carry 20 mA; its limit is 19 mA; at your')
    assert finding.data["current"] == pytest.approx(0.020)
    assert_silent("overloaded-output", plan(circuit.format("20 mA"), output="logic"), settings=generous)
    # A tenth of that is the margin.
    found = electrical(report(plan(circuit.format("22 mA"), output="logic")))
    assert [(each.level, each.data["limit"]) for each in found if each.rule == "overloaded-output"] == [
        (WARNING, 0.022)
    ]


def test_a_lamp_at_a_rail_gets_half_of_the_drop_more() -> None:
    # 14.5 V - 0.7 V - 3.1 V = 10.7 V over 535 ohm, at the LED's 20 mA.
    circuit = "{{series: [{} ohm 1 W 0 %, led twenty], return: rail}}"
    (finding,) = electrical(report(plan(f"[{{parallel: [{circuit.format(535)}]}}]")))
    assert (finding.rule, finding.level, finding.data["current"]) == ("overdriven-led", WARNING, pytest.approx(0.020))
    assert finding.data["corner"] == {"supply": pytest.approx(13.8), "forward-voltage": 3.1, "resistance": 535.0}
    (finding,) = electrical(report(plan(f"[{{parallel: [{circuit.format(534)}]}}]")))
    assert (finding.rule, finding.level) == ("overdriven-led", ERROR)


def test_a_bulb_at_a_rail_has_71_percent_of_the_voltage_in_effect() -> None:
    # 18 V - 0.7 V for half of the time are 17.3 V / 1.414 = 12.23 V in effect: safe for a bulb of 12 V; 19.5 V are not.
    circuit = "[{parallel: [{series: [cab bulb], return: rail}]}]"
    assert_silent("wrong-lamp-voltage", plan(circuit, supply="{track: 18 V}"))
    (finding,) = electrical(report(plan(circuit, supply="{track: 19.5 V}")))
    assert (finding.rule, finding.level, finding.span.text) == ("wrong-lamp-voltage", ERROR, "cab bulb")
    assert finding.data["voltage"] == pytest.approx(18.8 * 0.5**0.5)


LACKING = [
    # What two feeds share carries now the sum and now one of them.
    (
        plan("[{parallel: [{series: [1 kohm 1 W, led a], return: rail}, [1 kohm 1 W, led b]]}, 10 ohm]"),
        "an output of its own for what returns to a rail",
    ),
    (plan("[1 kohm 1 W, led a]", output="logic"), "a driver at this logic-level output"),
    # One branch with a driver and one without.
    (
        plan("[{parallel: [[{driver: {limit: 20 mA}}, 1 kohm 1 W, led a], [1 kohm 1 W, led b]]}]", output="logic"),
        "a driver at this logic-level output",
    ),
]


@pytest.mark.parametrize(("text", "lack"), LACKING)
@pytest.mark.parametrize("rule", ELECTRICAL)
def test_a_circuit_outside_the_law(rule: str, text: str, lack: str) -> None:
    whole = report(text)
    assert electrical(whole) == []
    ((where, what),) = lacks(whole, rule)
    assert what == lack
    assert text.count(where) == 1


@pytest.mark.parametrize("rule", ELECTRICAL)
def test_what_was_measured_at_the_common_says_nothing_of_a_rail(rule: str) -> None:
    text = plan("[{parallel: [{series: [1 kohm 1 W, led a], return: rail}]}]", supply="{common: 13 V}")
    assert lacks(report(text), rule) == [("white", "the track voltage, for a lamp that returns to a rail")]


ZERO = [
    (plan("[1 kohm 1 W, {diode: 0 V}]"), "{diode: 0 V}"),
    (plan("[{board: {voltage: 0 V, current: 20 mA}}]"), "{board: {voltage: 0 V, current: 20 mA}}"),
    (plan("[{board: {voltage: 12 V, current: 0 mA}}]"), "{board: {voltage: 12 V, current: 0 mA}}"),
    (plan("[{current-regulator: 0 mA}]"), "{current-regulator: 0 mA}"),
    (plan("[1 kohm 1 W, led a]").replace("3.1 V", "0 V"), "led a"),
    (plan("[1 kohm 1 W, led a]").replace("3.1 V", "3.1 V, at: 0 mA"), "led a"),
    (plan("[cab bulb]").replace("12 V", "0 V"), "cab bulb"),
    (plan("[cab bulb]").replace("60 mA", "0 mA"), "cab bulb"),
]


@pytest.mark.parametrize(("text", "where"), ZERO)
@pytest.mark.parametrize("rule", ELECTRICAL)
def test_a_figure_of_zero_never_gets_as_far_as_a_law(rule: str, text: str, where: str) -> None:
    whole = report(text)
    assert [finding.rule for finding in whole.findings] == ["implausible-value"]
    assert [place for place, _ in lacks(whole, rule)] == [where]


@pytest.mark.parametrize(
    ("text", "lack"),
    [
        (plan("[1 kohm 1 W, led a]", sheet="lost.decoder.yaml"), ("white", "a readable decoder sheet")),
        (
            plan("[1 kohm 1 W, led a]", sheet="lost.decoder.yaml", supply="{common: 13 V}"),
            ("white", "a readable decoder sheet"),
        ),
        (plan("[1 kohm 1 W, led a]", output="lilac"), ("lilac", "an output of this name on the decoder sheet")),
        (plan("[1 kohm 1 W, led a]", supply="{track: 14 bananas}"), ("white", "a readable supply voltage")),
        (plan("[1 kohm 1 W, led a]", supply="").replace(", scale: N", ""), ("white", "a readable supply voltage")),
        (
            plan("[1 kohm 1 W, led a]", sheet="{common: {drop: x}, outputs: {white: {number: 1}}}"),
            ("white", "a readable common voltage of the decoder"),
        ),
        (plan("[1 kohm 1 W, led a]").replace("3.1 V", "3.1 A"), ("led a", "readable data of this lamp")),
        (plan("[1 kohm 1 W, led c]"), ("led c", "a lamp of this name")),
        (plan("[1 kuhm 1 W, led a]"), ("1 kuhm 1 W", "a readable element")),
        (plan("[1 kohm 1 W, led a]", more="common: {circuit: [1 kuhm]}\n"), ("1 kuhm", "a readable element")),
    ],
)
@pytest.mark.parametrize("rule", ELECTRICAL)
def test_a_plan_that_says_too_little(rule: str, text: str, lack: tuple[str, str]) -> None:
    whole = report(text)
    assert [finding.rule for finding in whole.findings if finding.rule in ELECTRICAL] == []
    assert set(lacks(whole, rule)) == {lack}


@pytest.mark.parametrize("digits", [f"0.{'0' * 40}1", f"0.{'0' * 310}1", f"1{'0' * 40}", f"1{'0' * 300}"])
@pytest.mark.parametrize("shape", ["[{}]", "[10 ohm, {{parallel: [[{}], [2 kohm, cab bulb]]}}]"])
@pytest.mark.parametrize(
    "elements",
    [
        "1 kohm 1 W, {diode: X V}, led a",
        "1 kohm 1 W, {board: {voltage: X V, current: 20 mA}}",
        "1 kohm 1 W, {board: {voltage: 12 V, current: X mA}}",
        "{current-regulator: X mA, needs: 2 V}, led a",
        "{current-regulator: 10 mA, needs: X V}, led a",
        "X ohm 1 W, led a",
    ],
)
def test_no_figure_is_so_small_or_large_that_a_rule_fails(elements: str, shape: str, digits: str) -> None:
    # A rule that fails raises.
    assert report(plan(shape.format(elements.replace("X", digits))))
    assert report(plan(shape.format("1 kohm, led a")).replace("3.1 V", f"{digits} V"))


def test_a_limit_that_the_sheet_does_not_state() -> None:
    whole = report(
        plan("[1 kohm 1 W, led a]", output="mute", keys="{F0: {turns-on: [{output: mute}]}}", sheet=REACHING)
    )
    assert whole.findings == ()
    assert [(item.rule, *lacks(whole, item.rule)) for item in whole.undecided] == [
        ("overloaded-output", ("mute", "a limit of this output on the decoder sheet"))
    ]
