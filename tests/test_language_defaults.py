"""The table "What is meant when it is not said" of the language page, row by row, in the model that all rules read."""

from __future__ import annotations

import pytest

from changed import PARTS, PLAN, SETTINGS, SHEET, Change, files, reported, settings_in
from lampwright.diagnostics import Severity
from lampwright.engine import RULE_NAMES, Refusal, _assemble
from lampwright.engine.documents import read_document
from lampwright.kinds import Kind
from lampwright.model.circuit import Bulb, Led, Resistor, leaves
from lampwright.model.lighting import LightingPlan
from lampwright.model.lowering.memory import Memory
from lampwright.model.values import Figure, Origin
from lampwright.text import Source

TRACK = "track: 14.5 V  "
NO_SUPPLY: Change = (PLAN, "supply:\n  track: 14.5 V ", "#")
NO_HOUSE_SUPPLY: Change = (SETTINGS, "supply: {track: 14.5 V}", "# none")
MARKER = "led: {forward-voltage: 1.9 V to 2.2 V, current: 4 mA, maximum-current: 20 mA, colour: red}"


def lowered(*changes: Change) -> LightingPlan:
    """The plan that the files mean after the changes."""
    texts = files(*changes)
    sources = {name: Source(name, text) for name, text in texts.items()}
    document = read_document(sources[PLAN], Kind.LIGHTING_PLAN, RULE_NAMES)
    settings = settings_in(texts[SETTINGS])
    _, plan, problems = _assemble(document, settings, lambda _, path: sources.get(path, Refusal("missing")), Memory())
    assert plan is not None
    assert not problems
    return plan


def values(figure: Figure | None) -> tuple[float, float, float] | None:
    return None if figure is None else (figure.lowest, figure.usual, figure.highest)


def marker(led: str) -> Led:
    kind = lowered((PLAN, MARKER, led)).lamps["marker lamp"].kind
    assert isinstance(kind, Led)
    return kind


def cab(bulb: str) -> Bulb:
    kind = lowered((PLAN, "{voltage: 12 V, current: 40 mA}", bulb)).lamps["cab lamp"].kind
    assert isinstance(kind, Bulb)
    return kind


def resistor(text: str, *changes: Change) -> Resistor:
    circuit = (
        lowered((PLAN, "[1.5 kohm, front headlamp]", f"[{text}, front headlamp]"), *changes).outputs["white"].circuit
    )
    assert circuit is not None
    first = leaves(circuit)[0]
    assert isinstance(first, Resistor)
    return first


# --- Spread -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("13 V to 16 V", (13, 14.5, 16)),
        ("{lowest: 13 V, highest: 16 V}", (13, 14.5, 16)),
        ("{lowest: 13 V, usual: 14 V, highest: 16 V}", (13, 14, 16)),
        ("14.5 V", (14.5, 14.5, 14.5)),
    ],
)
def test_the_usual_value_of_a_range_is_its_middle_and_a_single_figure_has_no_spread(said: str, meant: object) -> None:
    assert values(lowered((PLAN, TRACK, f"track: {said}  ")).supply.track) == pytest.approx(meant)


# --- Supply -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("silence", [NO_SUPPLY, (PLAN, "supply:\n  track: 14.5 V  ", "supply: {}  ")])
def test_without_a_supply_the_settings_count(silence: Change) -> None:
    plan = lowered(silence, (SETTINGS, "track: 14.5 V", "track: 15 V to 17 V"))
    assert values(plan.supply.track) == pytest.approx((15, 16, 17))
    assert lowered(silence, (SETTINGS, "track: 14.5 V", "common: 13 V")).supply.track is None


def test_the_plan_comes_before_the_settings() -> None:
    assert values(lowered((SETTINGS, "track: 14.5 V", "track: 20 V")).supply.track) == (14.5, 14.5, 14.5)


@pytest.mark.parametrize(
    ("scale", "normal"),
    # NMRA S-9.1 (2020-03-07) Table 3, normal peak voltage at the track. TT is not named there; it is larger than N.
    [("Z", 12), ("N", 12), ("TT", 15), ("HO", 15), ("S", 15), ("O", 15), ("G", 18)],
)
def test_without_any_supply_the_scale_counts_with_ten_per_cent(scale: str, normal: float) -> None:
    plan = lowered(NO_SUPPLY, NO_HOUSE_SUPPLY, (PLAN, "scale: HO", f"scale: {scale}"))
    assert values(plan.supply.track) == pytest.approx((0.9 * normal, normal, 1.1 * normal))
    assert plan.supply.track is not None
    assert plan.supply.track.origin is Origin.PRACTICE


def test_without_a_scale_nobody_can_tell() -> None:
    changes = [NO_SUPPLY, NO_HOUSE_SUPPLY, (PLAN, "scale: HO ", "# ")]
    assert lowered(*changes).supply.track is None
    assert {item.rule for item in reported(*changes).undecided} >= {"overdriven-led", "overloaded-output"}


def test_what_the_scale_implies_is_a_warning_at_most() -> None:
    changes = [NO_SUPPLY, NO_HOUSE_SUPPLY, (PLAN, "[1.5 kohm, front headlamp]", "[330 ohm, front headlamp]")]
    levels = {finding.level for finding in reported(*changes).findings}
    assert levels == {Severity.WARNING}


# --- The decoder ------------------------------------------------------------------------------------------------------


def test_a_drop_that_is_not_said_is_1_4_volts_and_in_the_hot_corner_0_6() -> None:
    decoder = lowered((SHEET, "common: {drop: 1.4 V}", "# none")).decoder
    assert decoder is not None
    assert values(decoder.drop) == (0.6, 1.4, 1.4)
    assert decoder.drop.origin is Origin.MEMORY
    stated = lowered().decoder
    assert stated is not None
    assert values(stated.drop) == (1.4, 1.4, 1.4)


def test_a_verdict_that_hangs_on_that_drop_is_a_warning() -> None:
    # 14.5 V less 0.6 V less 2.8 V across 551 ohm (580 less 5 %) is 20.1 mA; less 1.4 V it is 18.7 mA.
    led = (PLAN, "[1.5 kohm, front headlamp]", "[580 ohm 1 W 5 %, front headlamp]")
    guessed = reported(led, (SHEET, "common: {drop: 1.4 V}", "# none")).findings
    assert [(each.rule, each.level) for each in guessed if each.rule == "overdriven-led"] == [
        ("overdriven-led", Severity.WARNING)
    ]
    assert "from memory" in next(each.message for each in guessed if each.rule == "overdriven-led")


def test_a_limit_that_is_not_said_is_not_judged() -> None:
    changes = [(SHEET, "limit: 100 mA, ", "")]
    checked = reported(*changes)
    assert checked.findings == ()
    assert [(item.rule, item.span.text) for item in checked.undecided] == [("overloaded-output", "white")]


# --- Resistors --------------------------------------------------------------------------------------------------------

HOUSE = (SETTINGS, "resistors: E12 ", "resistors: {tolerance: 2 %, rating: 1/8 W} ")
TWICE = (PARTS, "resistors:\n", "resistors:\n  - {value: 1.5 kohm, rating: 1/2 W, tolerance: 1 %}\n")


@pytest.mark.parametrize(
    ("text", "changes", "tolerance", "rating"),
    [
        # What stands in the circuit, else the only entry of the catalogue, else the settings, else 5 % and no rating.
        ("1.5 kohm 1 W 10 %", [HOUSE], 0.1, 1.0),
        ("1.5 kohm", [HOUSE], 0.05, 0.25),
        ("1k5", [], 0.05, 0.25),
        ("{resistor: 1500 ohm}", [], 0.05, 0.25),
        ("1.5 kohm 1 W", [HOUSE], 0.05, 1.0),
        ("1.2 kohm", [HOUSE], 0.02, 0.125),
        ("1.2 kohm", [], 0.05, None),
        ("1.5 kohm", [TWICE, HOUSE], 0.02, 0.125),
        ("1.5 kohm", [TWICE], 0.05, None),
        ("1.5 kohm", [(PARTS, "{value: 1.5 kohm, rating: 1/4 W, tolerance: 5 %", "{value: 1.5 kohm, size: 1206"), HOUSE], 0.02, 0.125),
        ("1.5 kohm", [(PLAN, "[club.parts.yaml]", "[club.parts.yaml, club.parts.yaml]")], 0.05, 0.25),
        ("{resistor: 1.2 kohm, size: 0805}", [], 0.05, 0.1),
        ("{resistor: 1.2 kohm, size: 0805, rating: 1/4 W}", [], 0.05, 0.25),
    ],
)  # fmt: skip
def test_tolerance_and_rating(text: str, changes: list[Change], tolerance: float, rating: float | None) -> None:
    found = resistor(text, *changes)
    ohms = found.resistance.usual
    assert values(found.resistance) == pytest.approx((ohms * (1 - tolerance), ohms, ohms * (1 + tolerance)))
    assert (found.rating.usual if found.rating is not None else None) == rating


def test_without_a_rating_half_of_an_eighth_of_a_watt_is_the_measure() -> None:
    # 13.1 V less 2.8 V across 1140 ohm (1.2 kohm less 5 %) is 93 mW: above 62.5 mW, so that 1/4 W is needed.
    found = reported((PLAN, "[1.5 kohm, front headlamp]", "[1.2 kohm, front headlamp]")).findings
    assert [(each.rule, each.level, each.span.text) for each in found] == [
        ("overheated-resistor", Severity.WARNING, "1.2 kohm")
    ]
    assert "1/4 W" in found[0].message
    assert reported((PLAN, "[1.5 kohm, front headlamp]", "[2.2 kohm, front headlamp]")).findings == ()


# --- Lamps ------------------------------------------------------------------------------------------------------------


def test_a_bulb_has_no_tolerance_and_stands_a_tenth_more() -> None:
    silent = cab("{voltage: 12 V, current: 40 mA}")
    assert values(silent.current) == (0.04, 0.04, 0.04)
    assert values(silent.maximum_voltage) == pytest.approx((13.2, 13.2, 13.2))
    stated = cab("{voltage: 12 V, current: 40 mA, tolerance: 10 %, maximum-voltage: 14 V}")
    assert values(stated.current) == pytest.approx((0.036, 0.04, 0.044))
    assert stated.maximum_voltage.usual == 14


def test_an_led_is_tested_at_ten_milliamperes_and_wishes_nothing() -> None:
    silent = marker("led: {forward-voltage: 2.0 V}")
    assert (silent.test_current, silent.wish) == (0.01, None)
    assert values(silent.built_in_resistor) == (0, 0, 0)
    stated = marker("led: {forward-voltage: 2.0 V, at: 20 mA, current: 4 mA, built-in-resistor: 1 kohm}")
    assert (stated.test_current, values(stated.wish)) == (0.02, (0.004, 0.004, 0.004))
    assert values(stated.built_in_resistor) == (1000, 1000, 1000)


def test_an_led_of_unknown_maximum_is_judged_against_twenty_milliamperes_as_a_warning() -> None:
    silent = marker("led: {forward-voltage: 2.0 V}")
    assert values(silent.maximum_current) == (0.02, 0.02, 0.02)
    assert silent.maximum_current.origin.is_weak
    changes = [(PLAN, MARKER, "led: {forward-voltage: 2.0 V}"), (PLAN, "2.7 kohm, marker", "330 ohm 1 W, marker")]
    overdriven = [each for each in reported(*changes).findings if each.rule == "overdriven-led"]
    assert [each.level for each in overdriven] == [Severity.WARNING]


@pytest.mark.parametrize(
    ("colour", "lowest", "highest"),
    # Forward voltage at about 20 mA by colour, as LED reference pages give it; read second-hand.
    [("red", 1.8, 2.1), ("yellow", 2.1, 2.2), ("blue", 3.0, 3.3), ("warm white", 3.0, 3.3), ("green", 2.1, 3.5)],
)
def test_an_led_without_forward_voltage_has_that_of_its_colour(colour: str, lowest: float, highest: float) -> None:
    led = marker(f"led: {{colour: {colour}}}")
    assert values(led.forward_voltage) == pytest.approx((lowest, (lowest + highest) / 2, highest))
    assert led.forward_voltage.origin is Origin.SECOND_HAND


def test_a_stated_forward_voltage_counts_whatever_the_colour_is_called() -> None:
    led = marker("led: {forward-voltage: 2.0 V, colour: sunset}")
    assert (led.forward_voltage.usual, led.forward_voltage.origin, led.colour) == (2.0, Origin.STATED, "sunset")


# --- Not said is not unread -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "changes",
    [
        [NO_SUPPLY, (SETTINGS, "track: 14.5 V", "track: 14.5")],
        [NO_SUPPLY, (SETTINGS, "supply: {track: 14.5 V}", "suply: {track: 14.5 V}")],
        [NO_SUPPLY, (SETTINGS, "supply: {track: 14.5 V}", "supply {track: 14.5 V}")],
        [(PLAN, "  track: 14.5 V", "  track: 14.5")],
        [(PLAN, "  track: 14.5 V", "  trak: 14.5 V")],
        [(SHEET, "common: {drop: 1.4 V}", "common: {drop: 1.4}")],
        [(SHEET, "common: {drop: 1.4 V}", "comon: {drop: 1.4 V}")],
    ],
)
def test_no_default_stands_in_for_what_could_not_be_read(changes: list[Change]) -> None:
    checked = reported(*changes)
    assert len(checked.findings) == 1
    assert {item.span.text for item in checked.undecided if item.rule == "overdriven-led"} >= {
        "white",
        "yellow",
        "brown",
    }
