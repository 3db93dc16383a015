"""Our tables against the standards and handbooks they come from, each with its source and how far it was read.

"Read": in the text of the standard or a faithful transcription. "Second-hand": in a digest, a reference page or a
textbook's quotation; then no verdict that hangs on it is more than a warning.
"""

from __future__ import annotations

import pytest

from lampwright.analysis.electrical.light import LIFE_EXPONENT
from lampwright.model.defaults import FORWARD_VOLTAGE, LED_MAXIMUM_CURRENT, NORMAL_TRACK_VOLTAGE, SIZE_RATING
from lampwright.model.values import Origin
from lampwright.model.wires import WIRES, Wire
from laws_again import amperes_at, led, ohms
from rule_cases import WARNING, plan
from seam import report, says

# --- Track voltage ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("scale", "volts"),
    [
        # NMRA S-9.1 (2020-03-07) Table 3, power station, normal peak voltage at the track: read.
        # N scale and smaller.
        ("Z", 12),
        ("N", 12),
        # HO, S and O. TT is not named there; it is larger than N.
        ("TT", 15),
        ("HO", 15),
        ("S", 15),
        ("O", 15),
        # Large scale.
        ("G", 18),
    ],
)
def test_normal_track_voltage_of_a_scale(scale: str, volts: float) -> None:
    assert NORMAL_TRACK_VOLTAGE[scale] == volts
    # Ten per cent either way is common practice: a resistor that burns at the upper end gets a warning.
    text = plan("[22 ohm 1 W 0 %]", supply="", output="mute").replace("scale: N", f"scale: {scale}")
    (finding,) = report(text).findings
    assert finding.level == WARNING
    assert finding.data["corner"]["supply"] == pytest.approx(1.1 * volts - 1.4)
    assert "normal track voltage of the scale with 10 % either way (common practice)" in finding.message


def test_every_scale_has_its_row() -> None:
    assert set(NORMAL_TRACK_VOLTAGE) == {"Z", "N", "TT", "HO", "S", "O", "G"}


# --- Wires ------------------------------------------------------------------------------------------------------------

# NMRA RP-9.1.1 (in translation) and NEM 650: read. Green and violet: NEM 660 (2015) Table 2, AUX1 and AUX2, read.
COLOUR_CODE = {
    "red": Wire.RIGHT_RAIL,
    "black": Wire.LEFT_RAIL,
    "orange": Wire.MOTOR_PLUS,
    "grey": Wire.MOTOR_MINUS,
    "blue": Wire.COMMON,
    "white": Wire.FRONT_LIGHT,
    "yellow": Wire.REAR_LIGHT,
    "green": Wire.FIRST_OUTPUT,
    "violet": Wire.SECOND_OUTPUT,
}

NEVER_AN_OUTPUT = {
    "red": "the pick-up of the right rail",
    "black": "the pick-up of the left rail",
    "orange": "the plus of the motor",
    "grey": "the minus of the motor",
    "blue": "the common plus of all lamps",
}


def test_colour_code() -> None:
    assert COLOUR_CODE == WIRES
    assert {colour for colour, wire in WIRES.items() if not wire.is_output} == set(NEVER_AN_OUTPUT)
    # Brown is two things: a loudspeaker in NEM 660, one more output in NMRA S-9.1.1 (second-hand).
    assert "brown" not in WIRES


@pytest.mark.parametrize(("colour", "is_what"), NEVER_AN_OUTPUT.items())
def test_an_unknown_output_of_a_colour_that_is_none(colour: str, is_what: str) -> None:
    (found,) = says(plan(output=colour))
    assert found[:2] == ("unknown-name", colour)
    assert found[2].startswith(f'there is no output "{colour}"; by the colour code that wire is {is_what}; ')


@pytest.mark.parametrize("colour", ["green", "violet", "brown", "pink"])
def test_an_unknown_output_that_may_be_one(colour: str) -> None:
    assert "colour code" not in says(plan(output=colour))[0][2]


def test_a_colour_is_a_wire_only_where_an_output_is_meant() -> None:
    assert says(plan("[1.5 kohm 1 W, blue, led a]"))[0][2] == 'there is no lamp "blue"; there is "led a"'
    # What a sheet lists exists, against the code as it may be.
    (found,) = says(plan(output="red", sheet="{common: {drop: 1.4 V}, outputs: {red: {number: 1, limit: 1 A}}}"))
    assert found[:2] == ("off-code-wire", "red")


# --- Resistors --------------------------------------------------------------------------------------------------------


def test_ratings_of_chips() -> None:
    # Basic ratings at 70 degrees Celsius, watts, in two tables of generic thick-film chips: read.
    assert SIZE_RATING == {
        "0201": 1 / 20,
        "0402": 1 / 16,
        "0603": 1 / 16,
        "0805": 1 / 10,
        "1206": 1 / 8,
        "1210": 1 / 4,
        "1812": 1 / 2,
        "2010": 1 / 2,
        "2512": 1,
    }
    assert list(SIZE_RATING.values()) == sorted(SIZE_RATING.values())


def test_a_micro_bulb_on_twelve_volts_is_too_much_for_an_eighth_of_a_watt() -> None:
    # Common practice of the trade: R = (V - 1.5) / I, which turns (V - 1.5) * I into heat: 10.5 V * 15 mA = 158 mW.
    text = plan("[700 ohm 1/8 W 0 %, micro bulb]", supply="{common: 12 V}")
    (finding,) = (found for found in report(text).findings if found.rule == "overheated-resistor")
    assert finding.data["power"] == pytest.approx(10.5 * 0.015)
    # At half load, the design rule of the handbooks (read; attributed there to IPC-2221), 315 mW are asked for.
    assert "would turn 158 mW into heat; it is rated for 1/8 W and needs 1/2 W" in finding.message


# --- LEDs -------------------------------------------------------------------------------------------------------------

# Forward voltage at about 20 mA in a modern reference page, volts: second-hand. Green is made in two chemistries.
COLOURS = {
    "infrared": (1.2, 1.2),  # GaAs
    "red": (1.8, 2.1),  # AlGaAs, AlInGaP
    "orange": (2.0, 2.1),  # AlInGaP
    "yellow": (2.1, 2.2),
    "green": (2.1, 3.5),  # GaP 2.1 V, InGaN 3.0 V to 3.5 V
    "blue": (3.0, 3.3),  # InGaN
    "white": (3.0, 3.3),  # blue with phosphor
    "warm white": (3.0, 3.3),
    "cool white": (3.0, 3.3),
    "ultraviolet": (3.3, 4.0),
}


def test_forward_voltage_of_a_colour() -> None:
    assert COLOURS == FORWARD_VOLTAGE


@pytest.mark.parametrize("colour", COLOURS)
def test_a_colour_carries_no_more_than_a_warning(colour: str) -> None:
    text = plan("[22 ohm 5 W 0 %, red led]", supply="{common: 5 V}", output="mute").replace(
        "colour: red", f"colour: {colour}"
    )
    (finding,) = report(text).findings
    assert (finding.rule, finding.level) == ("overdriven-led", WARNING)
    lowest = COLOURS[colour][0]
    assert finding.data["current"] == pytest.approx(amperes_at(5.0, ohms(22), led(lowest)))
    assert f"a forward voltage of {lowest:g} V for this colour (read second-hand)" in finding.message


def test_current_of_an_indicator() -> None:
    # Indicator LEDs carry 10 to 20 mA (LED reference pages, second-hand): judged by the most of it.
    assert LED_MAXIMUM_CURRENT.usual == 0.020
    assert LED_MAXIMUM_CURRENT.origin is Origin.SECOND_HAND


# --- Bulbs ------------------------------------------------------------------------------------------------------------

# The life of a bulb at a multiple of its voltage, by the exponent -12 of the re-rating formulas (Wikipedia "Lamp
# rerating", citing Fink and Beaty, Standard Handbook for Electrical Engineers, 11th ed., p. 22-8: second-hand).
RERATING = {0.5: 4096, 0.8: 14.6, 0.9: 3.54, 0.95: 1.85, 1.05: 0.557, 1.1: 0.319, 1.2: 0.112}


@pytest.mark.parametrize(("multiple", "life"), RERATING.items())
def test_life_of_a_bulb(multiple: float, life: float) -> None:
    assert multiple**LIFE_EXPONENT == pytest.approx(life, rel=5e-3)


@pytest.mark.parametrize(
    ("volts", "multiple", "left"), [(13.2, 1.1, "about 32 %"), (14.4, 1.2, "about 11 %"), (18.0, 1.5, "less than 1 %")]
)
def test_life_in_the_message(volts: float, multiple: float, left: str) -> None:
    (finding,) = report(plan("[cab bulb]", supply=f"{{common: {volts} V}}")).findings
    assert finding.data["life"] == pytest.approx(RERATING.get(multiple, 1.5**-12), rel=5e-3)
    assert f"; {left} of its life is left" in finding.message
