"""What electrical verdicts hang on: which supply counts, weak facts and their ceiling, what is cured first, what lacks."""

from __future__ import annotations

import pytest

from lampwright.model.settings import Settings
from lampwright.model.values import Figure
from rule_cases import ERROR, WARNING, Loud, assert_loud, assert_silent, beside_wiring, has_name, lacks, plan
from seam import report

ELECTRICAL = ("overdriven-led", "overheated-resistor", "overloaded-output", "unlit-string", "wrong-lamp-voltage")

REGULATED = "{common: {regulated: 12 V}, outputs: {white: {number: 1, limit: 100 mA}}}"
NO_DROP = "{outputs: {white: {number: 1, limit: 100 mA}}}"
WIDE_DROP = "{common: {drop: 1 V to 2 V}, outputs: {white: {number: 1, limit: 100 mA}}}"

FROM_MEMORY = "; this hangs on a decoder drop of 0.6 V (from memory)"
OF_SCALE = "; this hangs on the normal track voltage of the scale with 10 % either way (common practice)"
OF_COLOUR = "; this hangs on a forward voltage of 1.8 V for this colour (read second-hand)"

# All LEDs of 3.1 V and 20 mA, all resistors without spread.
SUPPLIES = [
    Loud(
        "measured: track and drop do not count",
        plan("[400 ohm 1 W 0 %, led a]", supply="{track: 22 V, common: 13.1 V}", sheet=NO_DROP),
        ERROR,
        "led a",
        ("would carry 25 mA", "; at your 13.1 V between common and output, "),
        {"current": 10 / 400, "corner": {"supply": 13.1, "forward-voltage": 3.1, "resistance": 400.0}},
    ),
    Loud(
        "measured with a spread",
        plan("[400 ohm 1 W 0 %, led a]", supply="{common: 12.5 V to 13.5 V}"),
        ERROR,
        "led a",
        ("would carry 26 mA", "; at 13.5 V between common and output, "),
        {"current": 10.4 / 400},
    ),
    Loud(
        "regulated: the track does not count",
        plan("[400 ohm 1 W 0 %, led a]", sheet=REGULATED),
        ERROR,
        "led a",
        ("would carry 22.3 mA", "; at your 12 V of the regulated common, "),
        {"current": 8.9 / 400},
    ),
    Loud(
        # 14.5 V - 1 V = 13.5 V.
        "drop with a spread: the hot corner has the least of it",
        plan("[500 ohm 1 W 0 %, led a]", sheet=WIDE_DROP),
        ERROR,
        "led a",
        ("would carry 20.8 mA", "; at your 14.5 V on the track, "),
        {"current": 10.4 / 500, "corner": {"supply": 13.5, "forward-voltage": 3.1, "resistance": 500.0}},
    ),
    Loud(
        "the settings' supply, where the plan says none",
        plan("[400 ohm 1 W 0 %, led a]", supply="").replace(", scale: N", ""),
        ERROR,
        "led a",
        ("would carry 30 mA", "; at your 16.5 V on the track, "),
        {"current": 12 / 400},
        settings=Settings(track=Figure.exact(16.5)),
    ),
]

WEAK = [
    Loud(
        # 14.5 V - 0.6 V - 3.1 V = 10.8 V.
        "no drop on the sheet",
        plan("[500 ohm 1 W 0 %, led a]", sheet=NO_DROP),
        WARNING,
        "led a",
        ("would carry 21.6 mA; its maximum is 20 mA; at", FROM_MEMORY),
        {"current": 10.8 / 500},
    ),
    Loud(
        # Scale N: 12 V by 10 % more is 13.2 V; less 1.4 V and 3.1 V leaves 8.7 V.
        "no supply, by the scale",
        plan("[400 ohm 1 W 0 %, led a]", supply=""),
        WARNING,
        "led a",
        ("would carry 21.8 mA", "; at 13.2 V on the track, ", OF_SCALE),
        {"current": 8.7 / 400},
    ),
    Loud(
        "neither supply nor drop",
        plan("[400 ohm 1 W 0 %, led a]", supply="", sheet=NO_DROP),
        WARNING,
        "led a",
        (OF_SCALE.removesuffix(" (common practice)"), "and a decoder drop of 0.6 V (from memory)"),
        {"current": 9.5 / 400},
    ),
    Loud(
        # 13.1 V - 1.8 V = 11.3 V.
        "forward voltage by the colour",
        plan("[500 ohm 1 W 0 %, red led]"),
        WARNING,
        "red led",
        ("would carry 22.6 mA", OF_COLOUR),
        {"current": 11.3 / 500},
    ),
    Loud(
        "maximum not stated",
        plan("[470 ohm 1 W 0 %, any led]"),
        WARNING,
        "any led",
        ("would carry 21.3 mA; its maximum is not stated, and 20 mA is usual (read second-hand); at",),
        {"current": 10 / 470, "limit": 0.02},
        related=(),
    ),
    Loud(
        "heat behind an LED of that colour",
        plan("[820 ohm 1/8 W 0 %, red led]"),
        WARNING,
        "820 ohm 1/8 W 0 %",
        ("would turn 156 mW into heat; it is rated for 1/8 W and needs 1/2 W", OF_COLOUR),
        {"power": 11.3**2 / 820},
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
    (finding,) = beside_wiring(report(text))
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
    of_other = [finding.rule for finding in beside_wiring(whole) if "wide led" in finding.span.text]
    assert [finding.rule for finding in beside_wiring(whole) if "wide led" not in finding.span.text] == [first]
    assert of_other == ["overdriven-led"]
    resting = set(ELECTRICAL) - {first}
    assert {item.rule for item in whole.undecided} & {*ELECTRICAL, first} == resting
    assert {(item.span.text, item.lacks) for item in whole.undecided} == {("white", f"a cure for its {first} first")}


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
    assert beside_wiring(whole) == []
    assert lacks(whole, "overheated-resistor") == [("600 ohm 1/8 W 0 %", "which outputs burn together")]


# --- What lacks -------------------------------------------------------------------------------------------------------

LACKING = [
    ("[{current-regulator: 10 mA}, led a]", "{current-regulator: 10 mA}", "the law of a current regulator"),
    (
        "[{board: {voltage: 12 V, current: 20 mA}}]",
        "{board: {voltage: 12 V, current: 20 mA}}",
        "the law of a lighting board",
    ),
    ("[{driver: {limit: 200 mA}}, 1 kohm, led a]", "{driver: {limit: 200 mA}}", "the law of a driver"),
    ("[1 kohm, {lamp: led a, reversed: true}]", "led a", "the law of a reversed LED"),
    (
        "[{parallel: [{series: [1 kohm, led a], return: rail}, [1 kohm, led b]]}]",
        "rail",
        "the law of a lamp that returns to a rail",
    ),
]


@pytest.mark.parametrize(("circuit", "place", "lack"), LACKING)
@pytest.mark.parametrize("rule", ELECTRICAL)
def test_an_element_outside_the_law(rule: str, circuit: str, place: str, lack: str) -> None:
    whole = report(plan(circuit))
    assert beside_wiring(whole) == []
    assert lacks(whole, rule) == [(place, lack)]


@pytest.mark.parametrize(
    ("text", "lack"),
    [
        (plan("[1 kohm 1 W, led a]", output="logic"), ("logic", "the law of a logic-level output")),
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


def test_a_limit_that_the_sheet_does_not_state() -> None:
    whole = report(plan("[1 kohm 1 W, led a]", output="mute"))
    assert whole.findings == ()
    assert [(item.rule, *lacks(whole, item.rule)) for item in whole.undecided] == [
        ("overloaded-output", ("mute", "a limit of this output on the decoder sheet"))
    ]
