"""What the currents say beside too much: dim lamps, surges, starved regulators, the decoder as a whole, other layouts.

Circuits are drawn so that each LED carries its test current, where its voltage is the stated one: so the figures are
exact, and the limits can be met to the last digit.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lampwright.diagnostics import Severity
from rule_cases import ERROR, WARNING, Loud, assert_loud, assert_silent, beside_advice, has_name, lacks
from seam import report

NOTE = Severity.NOTE


def plan(
    circuit: str,
    *,
    led: str = "forward-voltage: 3.1 V, maximum-current: 30 mA",
    bulb: str = "voltage: 12 V, current: 60 mA",
    supply: str = "track: 14.5 V",
    output: str = "number: 1, limit: 200 mA, surge: 2 A",
    look: str = "",
    keys: str = "{}",
    vehicle: str = "",
    sheet: str = "",
) -> str:
    """A plan with one output; 14.5 V less 1.4 V leave 13.1 V. `lamp` and `other` are LEDs, `bulb` is a bulb."""
    used = {
        "lamp": f"{{led: {{{led}}}}}",
        "other": f"{{led: {{{led}}}}}",
        "third": f"{{led: {{{led}}}}}",
        "bulb": f"{{bulb: {{{bulb}}}}}",
    }
    lamps = "".join(f"\n  {name}: {data}" for name, data in used.items() if name in circuit)
    return (
        f"vehicle: {{name: Tipper 9{vehicle}}}\nsupply: {{{supply}}}\n"
        f"decoder: {{common: {{drop: 1.4 V}}, {sheet}outputs: {{white: {{{output}}}}}}}\n"
        f"lamps:{lamps or ' {}'}\noutputs:\n  white: {{circuit: {circuit}{look}}}\nkeys: {keys}\n"
    )


def exact(ohms: float) -> str:
    return f"{{resistor: {ohms:.10g} ohm, rating: 5 W, tolerance: 0 %}}"


# --- dim-led ----------------------------------------------------------------------------------------------------------


def wished(current: str) -> str:
    return f"forward-voltage: 3.1 V, current: {current}, maximum-current: 60 mA"


# (13.1 V - 3.1 V) / 1 kohm are the 10 mA at which the LED has its 3.1 V.
DIM = [
    Loud("below half of the wish", plan(f"[{exact(1000)}, lamp]", led=wished("20.1 mA")), WARNING, "lamp", ('the LED "lamp" gets 10 mA, less than 50 % of the 20.1 mA',), {"current": 0.01, "limit": 0.01005, "corner": {"supply": 13.1, "forward-voltage": 3.1, "resistance": 1000.0}}, related=("20.1 mA",)),
    # At 5.1 V less 1.4 V there is hardly more than the forward voltage.
    Loud("cold, below a quarter", plan(f"[{exact(1000)}, lamp]", led=wished("12 mA"), supply="track: {lowest: 5.1 V, usual: 14.5 V, highest: 15 V}"), WARNING, "lamp", ("may get no more than", "25 %", "at 5.1 V on the track")),
]  # fmt: skip


@pytest.mark.parametrize("case", DIM, ids=has_name)
def test_dim_led(case: Loud) -> None:
    assert_loud("dim-led", case)


@pytest.mark.parametrize("wish", ["20 mA", "10 mA"])
def test_led_with_half_of_its_wish(wish: str) -> None:
    assert_silent("dim-led", plan(f"[{exact(1000)}, lamp]", led=wished(wish)))


def test_without_a_wish_no_led_is_dim() -> None:
    assert_silent("dim-led", plan(f"[{exact(100000)}, lamp]"))


# --- dim-bulb ---------------------------------------------------------------------------------------------------------


def bulb_at(share: float) -> str:
    """A 12 V, 60 mA bulb with a resistor that leaves it this share of its voltage: I = 60 mA * share^0.55 (Fink and
    Beaty, p. 22-8, read second-hand)."""
    return f"[{exact((13.1 - 12 * share) / (0.06 * share**0.55))}, bulb]"


# 0.1^(1/3.5) = 0.518 of the voltage is a tenth of the light, by the exponent of the same source.
def test_dim_bulb() -> None:
    case = Loud("below a tenth", plan(bulb_at(0.517)), WARNING, "bulb", ("gets 6.2 V of its 12 V", "about 10 % of its light"), {"voltage": 12 * 0.517, "light": 0.517**3.5}, related=("12 V",))  # fmt: skip
    assert_loud("dim-bulb", case)


def test_hardly_glowing_bulb() -> None:
    case = Loud("below a hundredth", plan(bulb_at(0.2)), WARNING, "bulb", ("less than 1 % of its light",))
    assert_loud("dim-bulb", case)


@pytest.mark.parametrize("share", [0.519, 0.8, 1.0])
def test_bulb_with_a_tenth_of_its_light(share: float) -> None:
    assert_silent("dim-bulb", plan(bulb_at(share)))


# --- starved-regulator ------------------------------------------------------------------------------------------------


def regulated(needs: str) -> str:
    return plan(f"[{{current-regulator: 10 mA{needs}}}, {exact(500)}, lamp]")


# 13.1 V - 3.1 V - 500 ohm * 10 mA leave 5 V for the regulator while it holds its current.
def test_starved_regulator() -> None:
    case = Loud(
        "too little",
        regulated(", needs: 5.1 V"),
        WARNING,
        "{current-regulator: 10 mA, needs: 5.1 V}",
        ("but needs 5.1 V",),
    )
    findings = beside_advice(report(case.text))
    assert [finding.rule for finding in findings] == ["starved-regulator"]
    assert findings[0].span.text == case.culprit
    assert case.says[0] in findings[0].message
    assert findings[0].data["current"] < 0.01


def test_regulator_with_what_it_needs() -> None:
    assert_silent("starved-regulator", regulated(", needs: 5 V"))


def test_regulator_of_which_nobody_knows_what_it_needs() -> None:
    assert lacks(report(regulated("")), "starved-regulator") == [
        ("{current-regulator: 10 mA}", "the voltage that this regulator needs")
    ]


# --- brightness-is-no-limit -------------------------------------------------------------------------------------------

BRIGHT = f"[{exact(1000)}, lamp]"
TIGHT = "forward-voltage: 3.1 V, maximum-current: 9.9 mA"
UNDER_A_KEY = "{F0: {turns-on: [{output: white, brightness: 40 %}]}}"


@pytest.mark.parametrize(
    ("text", "culprit"),
    [
        (plan(BRIGHT, led=TIGHT, look=", brightness: 30 %"), "30 %"),
        (plan(BRIGHT, led=TIGHT, keys=UNDER_A_KEY), "40 %"),
    ],
)
def test_brightness_is_no_limit(text: str, culprit: str) -> None:
    findings = report(text).findings
    assert sorted(finding.rule for finding in findings) == ["brightness-is-no-limit", "overdriven-led"]
    found = next(finding for finding in findings if finding.rule == "brightness-is-no-limit")
    assert (found.level, found.span.text) == (WARNING, culprit)
    assert found.data["current"] == pytest.approx(0.01, rel=1e-9)
    assert [note.span.text for note in found.notes] == ["lamp"]


@pytest.mark.parametrize(
    "text",
    [
        plan(BRIGHT, led=TIGHT),
        plan(BRIGHT, led=TIGHT, look=", brightness: 100 %"),
        plan(BRIGHT, look=", brightness: 30 %"),
        # Within the margin of its maximum is no matter of brightness.
        plan(BRIGHT, led="forward-voltage: 3.1 V, maximum-current: 10.1 mA", look=", brightness: 30 %"),
    ],
)
def test_brightness_that_saves_nothing(text: str) -> None:
    assert_silent("brightness-is-no-limit", text)


# --- surging-output ---------------------------------------------------------------------------------------------------

# Cold, a 12 V, 60 mA bulb has a tenth of its 200 ohm: 13.1 V / (12 ohm + 20 ohm) = 409 mA.
SURGING = f"[{exact(12)}, bulb]"


def test_surging_output() -> None:
    text = plan(SURGING, output="number: 1, limit: 100 mA, surge: 409 mA")
    case = Loud("above its surge", text, WARNING, "white", ("would carry 409.4 mA for a moment", "it stands 409 mA"), {"current": 13.1 / 32, "limit": 0.409}, related=("409 mA",))  # fmt: skip
    assert_loud("surging-output", case)


def test_surging_output_without_a_stated_surge_is_a_note() -> None:
    text = plan(SURGING, output="number: 1, limit: 200 mA")
    case = Loud(
        "twice its limit", text, NOTE, "white", ("no surge is stated", "twice its limit, 400 mA"), related=("200 mA",)
    )
    assert_loud("surging-output", case)


def test_surging_driver() -> None:
    text = plan(
        f"[{exact(12)}, bulb, {{driver: {{limit: 200 mA}}}}]", output="number: 1, logic-level: 5 V, limit: 0.5 mA"
    )
    assert_loud("surging-output", Loud("a driver", text, NOTE, "white", ('the driver at the output "white"',)))


@pytest.mark.parametrize(
    "text",
    [
        plan(SURGING, output="number: 1, limit: 100 mA, surge: 410 mA"),
        plan(SURGING, output="number: 1, limit: 205 mA"),
        plan(f"[{exact(1000)}, lamp]", output="number: 1"),
    ],
)
def test_output_that_stands_its_surge(text: str) -> None:
    assert_silent("surging-output", text)


def test_surge_that_nobody_can_tell() -> None:
    text = plan(SURGING, output="number: 1")
    assert lacks(report(text), "surging-output") == [
        ("white", "a surge or a limit of this output on the decoder sheet")
    ]


# --- overloaded-decoder -----------------------------------------------------------------------------------------------


def decoder(limits: str, keys: str, motor: str = "", unread: str = "") -> str:
    """Three outputs with a resistor of 131 ohm each: 100 mA."""
    outputs = "".join(
        f"{name}: {{number: {number}, limit: 1 A}}, " for number, name in enumerate(("white", "yellow", "green"), 1)
    )
    circuits = "".join(f"  {name}: {{circuit: [{exact(131)}]}}\n" for name in ("white", "yellow", "green"))
    return (
        f"vehicle: {{name: Tipper 9{motor}}}\nsupply: {{track: 14.5 V}}\n"
        f"decoder: {{common: {{drop: 1.4 V}}, limits: {{{limits}}}, outputs: {{{outputs}}}}}\n"
        f"lamps: {{}}\noutputs:\n{circuits}{unread}keys: {keys}\n"
    )


APART = "{F0: {turns-on: [{output: [white, green], when: forward}, {output: yellow, when: reverse}]}}"
ALL = "{F0: {turns-on: [{output: [white, yellow, green]}]}}"


@pytest.mark.parametrize(
    ("text", "level", "says", "state"),
    [
        (decoder("outputs-together: 199 mA", APART), ERROR, 'carry 200 mA with F0 on, forward; the limit of all its outputs together is 199 mA', ["F0"]),
        (decoder("outputs-together: 220 mA", APART), WARNING, "of which 90 % is the margin", ["F0"]),
        (decoder("outputs-together: 299 mA", ALL), ERROR, "carry 300 mA with F0 on", ["F0"]),
        (decoder("whole-decoder: 599 mA", ALL, ", motor: 300 mA"), ERROR, "carry 600 mA with F0 on, forward, 300 mA of it for the motor; the limit of the whole decoder is 599 mA", ["F0"]),
        # The worse of two limits is told.
        (decoder("outputs-together: 310 mA, whole-decoder: 500 mA", ALL, ", motor: 300 mA"), ERROR, "the whole decoder", ["F0"]),
    ],
)  # fmt: skip
def test_overloaded_decoder(text: str, level: Severity, says: str, state: list[str]) -> None:
    findings = beside_advice(report(text))
    assert [(finding.rule, finding.level) for finding in findings] == [("overloaded-decoder", level)]
    assert says in findings[0].message
    assert findings[0].span.text == "white"
    assert findings[0].data["state"]["keys"] == state


@pytest.mark.parametrize(
    "text",
    [
        decoder("outputs-together: 223 mA", APART),
        decoder("outputs-together: 334 mA", ALL),
        decoder("whole-decoder: 667 mA", ALL, ", motor: 300 mA"),
        decoder("", ALL),
        decoder("outputs-together: 100 mA", "{}"),
    ],
)
def test_decoder_that_carries_it(text: str) -> None:
    assert_silent("overloaded-decoder", text)


def test_what_is_known_can_be_too_much_without_the_rest() -> None:
    unread = "  aux: {circuit: [1 kohm]}\n"
    few = decoder("outputs-together: 299 mA", ALL, unread=unread)
    assert [each.rule for each in beside_advice(report(few))] == ["overloaded-decoder", "unknown-name"]
    enough = decoder("outputs-together: 400 mA", ALL, unread=unread)
    assert lacks(report(enough), "overloaded-decoder") == [("aux", "an output of this name on the decoder sheet")]


def test_keys_that_could_not_be_read_leave_the_sum_of_all() -> None:
    text = decoder("outputs-together: 299 mA", "{F0: {turns-on: [{output: white, when: forwards}]}}")
    found = next(finding for finding in report(text).findings if finding.rule == "overloaded-decoder")
    assert found.level is WARNING
    assert "with all outputs on, as far as can be told" in found.message


# --- hot-on-other-layouts ---------------------------------------------------------------------------------------------

# S-9.1 (2020), Table 3: 22 V. (22 V - 1.4 V - 3.1 V) / 20 mA = 875 ohm.
VISITING = "forward-voltage: 3.1 V, at: 20 mA, maximum-current: 20 mA"


def test_hot_on_other_layouts() -> None:
    text = plan(f"[{exact(874)}, lamp]", led=VISITING)
    case = Loud("at 22 V", text, NOTE, "lamp", ("would carry 20.02 mA on a layout with 22 V", "its maximum is 20 mA"))
    assert_loud("hot-on-other-layouts", case)


def test_led_that_may_travel() -> None:
    assert_silent("hot-on-other-layouts", plan(f"[{exact(876)}, lamp]", led=VISITING))


@settings(deadline=None)
@given(
    shape=st.sampled_from(
        (
            "[{0}, lamp]",
            "[{0}, lamp, {1}, other]",
            "[{0}, {{parallel: [[{1}, lamp], [{2}, other]]}}]",
            "[{{parallel: [[{0}, lamp], [{1}]]}}, {2}, other]",
            "[{{parallel: [[lamp], [{0}]]}}, {1}]",
        )
    ),
    ohms=st.tuples(*[st.integers(200, 3000)] * 3),
    maximum=st.integers(8, 30),
    tolerance=st.sampled_from((1, 5, 10)),
)
def test_what_is_not_computed_is_right_all_the_same(
    shape: str, ohms: tuple[int, int, int], maximum: int, tolerance: int
) -> None:
    circuit = shape.format(*(f"{each} ohm 10 W {tolerance} %" for each in ohms))
    led = f"forward-voltage: 2.8 V to 3.2 V, at: 5 mA, maximum-current: {maximum} mA"
    home, there = (
        {(found.rule, found.level) for found in report(plan(circuit, led=led, supply=supply)).findings}
        for supply in ("track: 14.5 V", "track: 22 V")
    )
    is_hot_there = ("overdriven-led", ERROR) in there
    is_hot_here = any(rule == "overdriven-led" for rule, _ in home)
    assert (("hot-on-other-layouts", NOTE) in home) == (is_hot_there and not is_hot_here)


def test_regulated_common_is_the_same_everywhere() -> None:
    text = plan(f"[{exact(500)}, lamp]").replace("drop: 1.4 V", "regulated: 12 V")
    assert_silent("hot-on-other-layouts", text)


def test_common_that_was_measured_at_home() -> None:
    text = plan(f"[{exact(874)}, lamp]", led=VISITING, supply="common: 13.1 V")
    assert [words for _, words in lacks(report(text), "hot-on-other-layouts")] == [
        "the common on another layout: it was measured at home"
    ]


# --- reverse-voltage --------------------------------------------------------------------------------------------------


def fed_twice(*back: str) -> str:
    circuit = f"[{{parallel: [[{exact(2000)}], {{series: [{', '.join((exact(2000), *back))}], return: rail}}]}}]"
    return plan(circuit)


# 14.5 V less one of the two rectifier diodes, half of 1.4 V.
@pytest.mark.parametrize(("back", "volts"), [(["lamp"], 13.8), (["lamp", "other"], 6.9)])
def test_reverse_voltage(back: list[str], volts: float) -> None:
    found = next(finding for finding in report(fed_twice(*back)).findings if finding.rule == "reverse-voltage")
    assert (found.level, found.span.text) == (WARNING, "lamp")
    assert f"{volts:g} V stand against" in found.message
    assert found.data["voltage"] == pytest.approx(volts)
    assert len(found.notes) == len(back) - 1


@pytest.mark.parametrize("back", [["lamp", "other", "third"], ["{diode: 0.7 V}", "lamp"], []])
def test_led_that_bears_it(back: list[str]) -> None:
    assert_silent("reverse-voltage", fed_twice(*back))


# --- Lamps in the common lead -----------------------------------------------------------------------------------------


def in_lead(lamp: str, entries: str) -> str:
    """A lamp in the common lead of two outputs with 1 kohm each, at 10 V behind it and more in front."""
    sheet = "{common: {regulated: 12 V}, outputs: {white: {number: 1, limit: 1 A, surge: 2 A}, yellow: {number: 2, limit: 1 A, surge: 2 A}}}"
    circuits = "".join(f"  {name}: {{circuit: [{exact(1000)}]}}\n" for name in ("white", "yellow"))
    return (
        f"vehicle: {{name: Tipper 9}}\nsupply: {{track: 14.5 V}}\ndecoder: {sheet}\nlamps: {{lamp: {lamp}}}\n"
        f"common: {{circuit: [lamp]}}\noutputs:\n{circuits}keys: {{F0: {{turns-on: [{entries}]}}}}\n"
    )


TOGETHER = "{output: white}, {output: yellow}"
APART_ONLY = "{output: white, when: forward}, {output: yellow, when: reverse}"
# 2 V at the 20 mA of both, which 10 V over half a kiloohm are.
LEAD_LED = "{led: {forward-voltage: 2 V, at: 20 mA, maximum-current: 19.9 mA}}"
# 2 V at the 20 mA of both.
LEAD_BULB = "{bulb: {voltage: 1.8 V, current: 18.87 mA, maximum-voltage: 1.9 V}}"


@pytest.mark.parametrize(("lamp", "rule"), [(LEAD_LED, "overdriven-led"), (LEAD_BULB, "wrong-lamp-voltage")])
def test_lamp_in_the_common_lead_has_too_much_where_outputs_burn_together(lamp: str, rule: str) -> None:
    findings = [each for each in report(in_lead(lamp, TOGETHER)).findings if each.rule == rule]
    assert [(each.level, each.span.text) for each in findings] == [(ERROR, "lamp")]
    assert "with F0 on" in findings[0].message
    assert findings[0].data["state"]["keys"] == ["F0"]


@pytest.mark.parametrize(("lamp", "rule"), [(LEAD_LED, "overdriven-led"), (LEAD_BULB, "wrong-lamp-voltage")])
def test_lamp_in_the_common_lead_of_outputs_that_never_burn_together(lamp: str, rule: str) -> None:
    assert [each for each in report(in_lead(lamp, APART_ONLY)).findings if each.rule == rule] == []
