"""What a meter showed, as plans write it: read, held against the plan, and counted by the rules that judge limits.

The figures of each case are worked out beside it. 14.5 V on the track less a drop of 1.4 V leave 13.1 V.
"""

from __future__ import annotations

import pytest

from lampwright.account.figures import plan_figures
from lampwright.engine import Refusal, plan_of
from lampwright.model.lighting import LightingPlan
from lampwright.model.settings import Settings
from lampwright.render.figures_as_text import render_figures_text
from lampwright.text import Source, apply
from rule_cases import ERROR, WARNING, beside_advice, plan
from seam import report


def measured(readings: str, circuit: str = "[1 kohm 1 W 5 %, led a]", **more) -> str:
    """The plan of a white output with this circuit and these readings."""
    text = plan(circuit, **more)
    assert f"white: {{circuit: {circuit}}}" in text
    return text.replace(f"white: {{circuit: {circuit}}}", f"white: {{circuit: {circuit}, measured: {readings}}}")


def found(text: str, settings: Settings | None = None) -> list[tuple[str, str, str]]:
    """Rule, culprit and message of each finding but advice on the circuit."""
    whole = report(text, settings=settings)
    return [(each.rule, each.span.text, each.message) for each in beside_advice(whole)]


def lowered(text: str) -> LightingPlan:
    made = plan_of(Source("test.lights.yaml", text), Settings(), lambda *_: Refusal("missing"))
    assert made is not None
    return made


def rules(text: str, settings: Settings | None = None) -> list[str]:
    return [rule for rule, _, _ in found(text, settings)]


# --- measured-otherwise -----------------------------------------------------------------------------------------------

# 10 V of 13.1 V are left for 1 kohm of 5 %: 9.52 to 10.5 mA.
SILENT = [
    "{current: 10 mA}",
    "{current: 10.7 mA}",  # less 2 % of it, it is 10.4 mA
    "{current: 9.4 mA}",
    "{voltage: 13 V}",  # 12.5 V to 13.5 V, for want of another digit
    "{voltage: 13.1 V, current: 10.0 mA, across: {led a: 3.10 V, 1 kohm: 10.0 V}}",
    "{across: {1k0: 10.0 V}}",
    "{across: {'led a': 3.1 V}}",
    "{}",
]


@pytest.mark.parametrize("readings", SILENT)
def test_what_fits_is_no_matter(readings: str) -> None:
    assert found(measured(readings)) == []


LOUD = [
    # Less 2 % and half of the last digit it is 10.82 mA.
    ("{current: 11.1 mA}", "11.1 mA", ('through the output "white" 11.1 mA', "comes to 9.53 mA to 10.5 mA")),
    ("{voltage: 12.0 V}", "12.0 V", ("12 V was measured", "comes to 13.1 V", "13.4 V on the track would explain it")),
    ("{current: 1.0 mA}", "1.0 mA", ("10 kohm in the place of",)),
    ("{across: {led a: 2.0 V}}", "2.0 V", ('across "led a" 2 V', "a red or yellow LED in the place of")),
    ("{across: {1 kohm: 0.1 V}}", "0.1 V", ('across "1 kohm"',)),
    ("{current: 0 mA}", "0 mA", ("0 A was measured, where", "without contact, or put in the wrong way round")),
    ("{across: {led a: 0.00 V, 1k: 13.1 V}}", "0.00 V", ("a short across",)),
]


@pytest.mark.parametrize(("readings", "culprit", "says"), LOUD, ids=[case[0] for case in LOUD])
def test_what_does_not_fit_is_a_warning(readings: str, culprit: str, says: tuple[str, ...]) -> None:
    whole = report(measured(readings))
    (finding,) = [each for each in whole.findings if each.rule == "measured-otherwise"]
    assert (finding.level, finding.span.text) == (WARNING, culprit)
    assert [words for words in says if words not in finding.message] == [], finding.message


def test_one_cause_is_one_finding_with_the_other_readings_beside_it() -> None:
    # 1 mA through 10 kohm: 10 V across it as planned, and 3.1 V across the LED, which has a little less at 1 mA.
    whole = report(measured("{current: 1.00 mA, across: {1k: 10.1 V, led a: 2.90 V}}"))
    (finding,) = [each for each in whole.findings if each.rule == "measured-otherwise"]
    assert "10 kohm in the place of" in finding.message
    assert [note.span.text for note in finding.notes] == ["2.90 V"]


def fixed(text: str) -> str:
    """The plan with the first fix of its only warning of readings."""
    whole = report(text)
    (finding,) = [each for each in whole.findings if each.rule == "measured-otherwise"]
    fix = finding.fixes[0]
    assert not fix.sure
    return apply(finding.span.source, fix.edits)


# A tired person's plan: 13.1 V less 3.1 V over 1.4 kohm are 7.1 mA, for an output of 50 mA and a resistor of 1/8 W.
SLIPPED = [
    ("{current: 71 mA}", "71 mA", "7.1 mA"),
    ("{current: 0.71 mA}", "0.71 mA", "7.1 mA"),
    ("{current: 710 mA}", "710 mA", "7.10 mA"),
    ("{current: 7.14 A}", "7.14 A", "0.00714 A"),
    ("{current: '0.0714 mA'}", "'0.0714 mA'", "7.14 mA"),
    ("{voltage: 1.31 V}", "1.31 V", "13.1 V"),
    ("{voltage: 131 V}", "131 V", "13.1 V"),
    # All else is held against what the voltage was meant to be.
    ("{voltage: 1.31 V, current: 7.12 mA, across: {1.4 kohm: 10.0 V}}", "1.31 V", "13.1 V"),
    ("{across: {led a: 0.309 V}}", "0.309 V", "3.09 V"),
    ("{current: 7.12 mA, across: {1.4 kohm: 99.8 V}}", "99.8 V", "9.98 V"),
]


@pytest.mark.parametrize(("readings", "culprit", "meant"), SLIPPED)
def test_a_slipped_decimal_point_is_one_finding_with_its_cure(readings: str, culprit: str, meant: str) -> None:
    circuit = "[1.4 kohm 1/8 W 5 %, led a]"
    text = measured(readings, circuit)
    sound = [(each.rule, each.span.text) for each in report(plan(circuit)).findings]
    whole = report(text)
    (finding,) = [each for each in whole.findings if (each.rule, each.span.text) not in sound]
    assert (finding.rule, finding.level, finding.span.text) == ("measured-otherwise", WARNING, culprit)
    assert finding.message.split("; ")[-1].startswith(f"a decimal point that slipped in {meant}"), finding.message
    assert finding.fixes[0].title == f"Write {meant}"
    resting = [each.rule for each in whole.undecided if each.lacks == "a cure for its measured-otherwise first"]
    assert {"overdriven-led", "overheated-resistor", "overloaded-output"} <= set(resting)
    assert "measured-otherwise" not in resting
    cured = fixed(text)
    assert cured == text.replace(culprit.strip("'"), meant)
    assert [(each.rule, each.span.text) for each in report(cured).findings] == sound


def test_until_it_is_cured_figures_go_by_the_plan() -> None:
    circuit = "[1.4 kohm 1 W 5 %, led a]"
    made = [lowered(measured(readings, circuit)) for readings in ("{}", "{current: 71 mA}")]
    planned, slipped = (plan_figures(each).outputs["white"] for each in made)
    assert slipped.current == planned.current
    # What was measured is shown all the same.
    assert [each.measured.usual for each in slipped.readings] == [0.071]
    assert slipped.readings[0].computed == planned.current


def test_a_slip_in_the_common_lead_is_one_finding_with_its_cure() -> None:
    for readings, culprit, meant in (
        ("{current: 167 mA}", "167 mA", "16.7 mA"),
        ("{voltage: 1.31 V, current: 16.7 mA}", "1.31 V", "13.1 V"),
        ("{across: {100 ohm: 16.7 V}}", "16.7 V", "1.67 V"),
    ):
        ((rule, text, message),) = found(of_lead(readings))
        assert (rule, text) == ("measured-otherwise", culprit)
        assert f"a decimal point that slipped in {meant}" in message
        assert found(fixed(of_lead(readings))) == []


def test_a_reading_that_is_odd_otherwise_is_no_slip() -> None:
    # A fifth too much, or a decade and a fifth; two that fit with one another, and so are no slips of the pen.
    for readings in (
        "{current: 12.4 mA}",
        "{current: 124 mA}",
        "{current: 1.00 mA, across: {1k: 1.00 V}}",
        "{current: 0 mA}",
    ):
        (finding,) = [each for each in report(measured(readings)).findings if each.rule == "measured-otherwise"]
        assert "decimal point" not in finding.message
        assert finding.fixes == ()


def test_where_it_is_a_decade_of_the_resistor_the_slip_is_named_first() -> None:
    ((_, _, message),) = found(measured("{current: 1.00 mA}"))
    assert message.endswith(
        '; a decimal point that slipped in 10.0 mA or 10 kohm in the place of "1 kohm" would explain it'
    )
    # Of two readings that do not fit no single point has slipped.
    ((_, _, message),) = found(measured("{current: 1.00 mA, across: {1k: 10.1 V, led a: 2.90 V}}"))
    assert message.endswith('; 10 kohm in the place of "1 kohm" would explain it')


def test_a_slip_is_found_among_many_parts_too() -> None:
    many = "[" + ", ".join(f"{ohms} ohm 1 W" for ohms in range(90, 103)) + ", led a]"
    ((rule, _, message),) = found(measured("{current: 78.0 mA}", many))
    assert rule == "measured-otherwise"
    assert message.endswith("; a decimal point that slipped in 7.80 mA would explain it")


def test_a_club_with_a_better_meter() -> None:
    # 10.7 mA less half of the last digit: more than 10.5 mA.
    text = measured("{current: 10.70 mA}")
    assert rules(text) == []
    assert rules(text, Settings(meter=0.001)) == ["measured-otherwise"]


def test_the_tolerance_of_the_meter_is_a_setting() -> None:
    assert [*report("lampwright: 1\nmeter: 1 %\n", "lampwright.yaml").findings] == []
    (finding,) = report("lampwright: 1\nmeter: 1 V\n", "lampwright.yaml").findings
    assert (finding.rule, finding.span.text) == ("wrong-unit", "1 V")


UNDECIDED = [
    # An LED without a resistor carries whatever it likes.
    ("{current: 10 mA}", "[led a]", "a cure for its unprotected-led first"),
    ("{current: 10 mA}", "[1 kohm, {lamp: led a, reversed: true}]", "a cure for its reversed-led first"),
    ("{across: {led a: 3.1 V}}", "[1 kohm, led b]", "one lamp or resistor of this name in the circuit"),
    ("{across: {1 kohm: 4 V}}", "[1 kohm, 1 kohm, led b]", "one lamp or resistor of this name in the circuit"),
    ("{across: {2.2 kohm: 4 V}}", "[1 kohm, led b]", "one lamp or resistor of this name in the circuit"),
]


@pytest.mark.parametrize(("readings", "circuit", "lacks"), UNDECIDED)
def test_what_cannot_be_told_is_said(readings: str, circuit: str, lacks: str) -> None:
    whole = report(
        measured(readings, circuit, led_a_too="[1 kohm, led a]") if "led b" in circuit else measured(readings, circuit)
    )
    assert lacks in [each.lacks for each in whole.undecided if each.rule == "measured-otherwise"]
    assert "measured-otherwise" not in [finding.rule for finding in whole.findings]


def test_at_a_rail_a_meter_shows_something_else() -> None:
    text = measured("{current: 10 mA}").replace("measured:", "return: rail, measured:")
    whole = report(text)
    assert "a meter that shows what flows only half of the time" in [each.lacks for each in whole.undecided]
    assert "measured-otherwise" not in [finding.rule for finding in whole.findings]


# --- The common lead --------------------------------------------------------------------------------------------------


def of_lead(readings: str, **more: str) -> str:
    """Two outputs behind 100 ohms: 10 V over 1.1 kohm each, if they are alone."""
    lead = f"common: {{circuit: [100 ohm 1 W 5 %], measured: {readings}}}\n"
    return plan("[1 kohm 1 W 5 %, led a]", more=lead, yellow="[1 kohm 1 W 5 %, led b]", **more)


@pytest.mark.parametrize(
    "readings",
    [
        # Together 10 V over 100 and half of 1000 ohms: 16.7 mA; one alone 9.09 mA.
        "{current: 16.7 mA}",
        "{outputs: [white, yellow], current: 16.7 mA, across: {100 ohm: 1.67 V}}",
        "{outputs: white, current: 9.10 mA}",
        "{}",
    ],
)
def test_what_fits_in_the_lead_is_no_matter(readings: str) -> None:
    assert found(of_lead(readings)) == []


@pytest.mark.parametrize(
    ("readings", "culprit", "says"),
    [
        ("{outputs: [white], current: 16.7 mA}", "16.7 mA", "comes to 8.68 mA to 9.58 mA"),
        # Over 1000 and half of 1000 ohms: 6.67 mA.
        (
            "{current: 6.70 mA, across: {100 ohm: 6.70 V}}",
            "6.70 mA",
            '1 kohm in the place of "100 ohm" would explain it',
        ),
        ("{across: {100 ohm: 5 V}}", "5 V", 'across "100 ohm" 5 V was measured'),
    ],
)
def test_what_does_not_fit_in_the_lead_is_a_warning(readings: str, culprit: str, says: str) -> None:
    ((rule, text, message),) = found(of_lead(readings))
    assert (rule, text) == ("measured-otherwise", culprit)
    assert says in message


def test_a_lead_with_nothing_in_it_shows_what_was_measured_there() -> None:
    more = "common: {circuit: [], measured: {voltage: 13.0 V, current: 9.90 mA}}\n"
    made = lowered(plan("[1 kohm 1 W 5 %, led a]", more=more, keys="{F0: {turns-on: [{output: white}]}}"))
    shown = render_figures_text("test.lights.yaml", made, plan_figures(made), 200)
    assert "on and alone, at 13 V, as measured between common and output" in shown
    assert "common lead, in the worst state: 9.9 mA (9.7 to 10.1 mA)" in shown
    assert "with white on measured 9.9 mA, by the plan 9.9 mA (" in shown
    assert "with white on common to output measured 13 V, by the plan 13.1 V" in shown


def test_what_cannot_be_told_of_the_lead_is_said() -> None:
    whole = report(of_lead("{across: {led a: 3 V}}"))
    lacks = [each.lacks for each in whole.undecided if each.rule == "measured-otherwise"]
    assert lacks == ["one lamp or resistor of this name in the common lead"]
    assert ("unknown-name", "green") in [
        (rule, text) for rule, text, _ in found(of_lead("{outputs: green, current: 1 mA}"))
    ]


def test_a_voltage_at_the_common_is_held_against_track_and_drop() -> None:
    assert found(of_lead("{voltage: 13.0 V, current: 16.6 mA}")) == []
    # A fit of the current at what was measured is no second finding, and where the current is odd it is at that.
    ((rule, text, message),) = found(of_lead("{voltage: 14.5 V, current: 19.0 mA}"))
    assert (rule, text) == ("measured-otherwise", "14.5 V")
    assert 'at the "common" 14.5 V was measured' in message
    assert "comes to 13.1 V; 15.9 V on the track would explain it" in message
    ((_, text, message),) = found(of_lead("{voltage: 13.0 V, current: 30.0 mA}"))
    assert text == "30.0 mA"
    assert "at 13 V, as measured between common and output" in message


KEYS = "{F0: {turns-on: [{output: [white, yellow]}]}}"
TOGETHER = "{common: {drop: 1.4 V}, limits: {outputs-together: 18 mA}, outputs: {white: {number: 1, limit: 100 mA}, yellow: {number: 2, limit: 100 mA}}}"


def test_the_decoder_is_judged_by_what_was_measured_in_the_lead() -> None:
    # By the plan 16.7 mA, hot 17.6 mA: more than 90 % of 18 mA, as are 16.25 mA; 15.8 and half a digit and 2 % are not.
    def told(readings: str, sheet: str = TOGETHER) -> list[tuple[str, str]]:
        text = of_lead(readings, sheet=sheet, keys=KEYS)
        return [(str(each.level), each.message) for each in report(text).findings if each.rule == "overloaded-decoder"]

    ((_, planned),) = told("{}")
    assert "17.6 mA" in planned
    assert "on the track" in planned
    assert told("{current: 15.8 mA}") == []
    ((_, read),) = told("{current: 17.00 mA}")
    assert "would carry 17.3 mA with F0 on, forward" in read
    assert "; by the current that was measured in the common lead" in read
    # What contradicts the plan counts for nothing: this is said, and the sum is the plan's.
    assert told("{current: 8.00 mA}") == [(str(WARNING), planned)]


def test_a_resistor_in_the_lead_is_judged_by_what_was_measured_in_it() -> None:
    # By the plan 30.6 mW hot in 100 ohms of 5 %; by 16.0 mA, at most 16.4 mA, 28.1 mW.
    def told(readings: str) -> list[str]:
        text = of_lead(readings, keys=KEYS).replace("100 ohm 1 W", "100 ohm 0.060 W")
        return [each.message for each in report(text).findings if each.rule == "overheated-resistor"]

    (planned,) = told("{}")
    assert "on the track" in planned
    assert told("{current: 16.00 mA}") == []
    (read,) = told("{current: 17.00 mA}")
    assert 'the resistor "100 ohm" would turn 31.6 mW into heat with F0 on, forward' in read
    assert "; by the current that was measured in the common lead" in read


def test_a_bound_is_said_to_be_one() -> None:
    # With white alone 9.30 mA at most; yellow adds 9.5 mA at most, more than by the plan; less than that it is not.
    sheet = TOGETHER.replace("18 mA", "14 mA")
    more = "common: {circuit: [], measured: {outputs: [white], current: 7.00 mA}}\n"
    text = plan("[1.3 kohm 1 W 20 %, led a]", more=more, yellow="[1.3 kohm 1 W 20 %, led b]", sheet=sheet, keys=KEYS)
    (message,) = [each.message for each in report(text).findings if each.rule == "overloaded-decoder"]
    assert "; within what the current that was measured in the common lead leaves open" in message


def test_no_cure_outdates_a_reading_of_the_lead() -> None:
    overdriven = "[470 ohm 1 W 5 %, led a]"
    more = "common: {circuit: [], measured: {outputs: white, current: 21.3 mA}}\n"
    (of_lead_alone,) = [each for each in report(plan(overdriven, more=more)).findings if each.rule == "overdriven-led"]
    assert "by the current that was measured" in of_lead_alone.message
    assert of_lead_alone.fixes == ()
    # Nor where it was one of some; of another output it is no matter.
    for outputs, has_cure in (("[white, yellow]", False), ("yellow", True)):
        more = f"common: {{circuit: [], measured: {{outputs: {outputs}, current: 30.5 mA}}}}\n"
        whole = report(plan(overdriven, more=more, yellow="[330 ohm 1 W 5 %, led b]"))
        white = [each for each in whole.findings if each.rule == "overdriven-led" and each.span.text == "led a"]
        assert [bool(each.fixes) for each in white] == [has_cure], outputs


def test_another_layout_is_not_that_of_the_lead() -> None:
    text = plan("[800 ohm 1 W 5 %, led a]", more="common: {circuit: [], measured: {voltage: 13.1 V}}\n")
    assert "hot-on-other-layouts" in [each.rule for each in report(text).findings]


# --- The rules that judge limits --------------------------------------------------------------------------------------


def test_an_led_is_judged_by_the_current_that_was_measured() -> None:
    # By the plan 10 V over 510 ohms: 19.6 mA, 20.6 mA hot. Measured are 17 mA, at most 17.4 mA: below 18 mA.
    assert "overdriven-led" in rules(plan("[510 ohm 1 W, led a]"))
    assert rules(measured("{current: 17.0 mA}", "[510 ohm 1 W 20 %, led a]")) == []
    # And the other way round.
    assert rules(plan("[1 kohm 1 W 5 %, led a]")) == []
    ((first, _, message), (other, _, _)) = found(measured("{current: 25.0 mA}"))
    assert (first, other) == ("overdriven-led", "measured-otherwise")
    assert 'the LED "led a" would carry 25.5 mA; its maximum is 20 mA; by the current that was measured' in message


def test_an_output_is_judged_by_the_current_that_was_measured() -> None:
    # 13.1 V over 150 ohms are 87 mA; measured are 102 mA.
    text = measured("{current: 102 mA}", "[150 ohm 5 W 20 %]")
    assert 'the output "white" would carry 105 mA; its limit is 100 mA; by the current that was measured' in [
        message for _, _, message in found(text)
    ]


def test_a_sum_says_that_some_of_it_was_measured() -> None:
    # 50 mA for both together; measured is 51 mA at one of them.
    sheet = "{common: {drop: 1.4 V}, limits: {outputs-together: 50 mA}, outputs: {white: {number: 1, limit: 100 mA}}}"
    keys = "{F0: {turns-on: [{output: white}]}}"
    text = measured("{current: 49.9 mA}", "[270 ohm 5 W]", sheet=sheet, keys=keys)
    (message,) = [words for rule, _, words in found(text) if rule == "overloaded-decoder"]
    assert "50.9 mA" in message
    assert "at your 14.5 V on the track, or as measured at each output" in message
    text = plan("[220 ohm 5 W]", sheet=sheet, keys=keys)
    (message,) = [words for rule, _, words in found(text) if rule == "overloaded-decoder"]
    assert "measured" not in message


def test_the_measured_voltage_is_what_feeds_the_output() -> None:
    # 20.0 V, at most 20.45 V, less 3.1 V over 950 ohms: 18.3 mA, more than 90 % of 20 mA.
    rows = found(measured("{voltage: 20.0 V}"))
    assert [rule for rule, _, _ in rows] == ["overdriven-led", "measured-otherwise"]
    assert "at 20.45 V, as measured between common and output" in rows[0][2]


def test_what_is_measured_is_no_weak_fact() -> None:
    # A red LED of which only the colour is said, so that the verdict on it is a warning; measured it is an error.
    circuit = "[330 ohm 1 W, red led]"
    (assumed,) = [each for each in report(plan(circuit)).findings if each.rule == "overdriven-led"]
    assert assumed.level is WARNING
    assert "this hangs on" in assumed.message
    (known,) = [
        each for each in report(measured("{current: 33.0 mA}", circuit)).findings if each.rule == "overdriven-led"
    ]
    assert known.level is ERROR
    assert "hangs on" not in known.message
    # As much by the volts across the LED: 11.1 V over 330 ohms.
    across = "{across: {red led: 2.00 V}}"
    (known,) = [each for each in report(measured(across, circuit)).findings if each.rule == "overdriven-led"]
    assert known.level is ERROR


def test_an_output_that_could_not_be_told() -> None:
    text = plan("[1 kohm 1 W, odd led]", more="").replace("lamps: {}", "lamps: {odd led: {led: {colour: puce}}}")
    undecided = [each.rule for each in report(text).undecided]
    assert "overheated-resistor" in undecided
    told = text.replace("odd led]}", "odd led], measured: {current: 10.0 mA}}")
    assert "overheated-resistor" not in [each.rule for each in report(told).undecided]
    # 0.1 W for a resistor of 1/8 W, of which half is the margin.
    assert "overheated-resistor" in [each.rule for each in report(told.replace(" 1 W", " 1/8 W")).findings]


def test_a_lamp_of_which_nothing_is_known_is_not_judged_by_its_current() -> None:
    text = plan("[1 kohm 1 W, led a, odd led]").replace("lamps:", "lamps:\n  odd led: {led: {colour: puce}}")
    told = text.replace("odd led]}", "odd led], measured: {current: 25.0 mA}}")
    whole = report(told)
    undecided = {each.rule: each.span.text for each in whole.undecided if each.lacks == "readable data of this lamp"}
    judging = {
        "overdriven-led",
        "dim-led",
        "wrong-lamp-voltage",
        "dim-bulb",
        "hot-lamp",
        "unequal-pair",
        "unlit-string",
    }
    assert undecided.keys() >= judging - {"unequal-pair"}
    assert not undecided.keys() & {"overloaded-output", "overheated-resistor"}
    assert set(undecided.values()) == {"odd led"}
    # The one that is known has too much all the same.
    assert ("overdriven-led", "led a") in [(each.rule, each.span.text) for each in whole.findings]


def test_a_string_that_shines_is_not_dark() -> None:
    dark = "[100 ohm, led a, led b, led eighteen, led twenty, low led]"
    assert rules(plan(dark)) == ["unlit-string"]
    assert rules(measured("{current: 5.00 mA}", dark)) == ["measured-otherwise"]


def test_no_cure_outdates_a_reading() -> None:
    overdriven = "[470 ohm 1 W 5 %, led a]"
    (with_cure,) = [each for each in report(plan(overdriven)).findings if each.rule == "overdriven-led"]
    assert with_cure.fixes
    (of_voltage,) = [
        each for each in report(measured("{voltage: 13.1 V}", overdriven)).findings if each.rule == "overdriven-led"
    ]
    assert of_voltage.fixes
    (of_current,) = [
        each for each in report(measured("{current: 21.3 mA}", overdriven)).findings if each.rule == "overdriven-led"
    ]
    assert of_current.fixes == ()


def test_another_layout_is_not_measured() -> None:
    # 22 V less 1.4 V less 3.1 V over 950 ohms: 18.4 mA. Over 760 ohms they are 23 mA.
    assert "hot-on-other-layouts" not in [each.rule for each in report(measured("{voltage: 13.1 V}")).findings]
    circuit = "[800 ohm 1 W 5 %, led a]"
    assert "hot-on-other-layouts" in [each.rule for each in report(measured("{voltage: 13.1 V}", circuit)).findings]
    assert "hot-on-other-layouts" in [each.rule for each in report(measured("{current: 12.5 mA}", circuit)).findings]


# --- The language -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("readings", "rule", "culprit"),
    [
        ("{current: 10 V}", "wrong-unit", "10 V"),
        ("{current: 10}", "missing-unit", "10"),
        ("{curent: 10 mA}", "unknown-key", "curent"),
        ("{across: {led z: 3 V}}", "unknown-name", "led z"),
        ("{across: {1 komh: 3 V}}", "unknown-name", "1 komh"),
        ("{across: 3 V}", "wrong-shape", "3 V"),
        ("10 mA", "wrong-shape", "10 mA"),
        ("{current: 10 mA to 12 mA}", "unreadable-quantity", "10 mA to 12 mA"),
        ("{current: 5 A}", "implausible-value", "5 A"),
    ],
)
def test_mistakes_in_what_was_measured(readings: str, rule: str, culprit: str) -> None:
    text = measured(readings)
    assert (rule, culprit) in [(each.rule, each.span.text) for each in report(text).findings]


def test_a_slip_in_one_reading_costs_no_other() -> None:
    rows = rules(measured("{current: 25.0 mA, voltage: 13 mA}"))
    assert rows == ["overdriven-led", "measured-otherwise", "wrong-unit"]
