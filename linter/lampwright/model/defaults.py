"""What is meant when a plan, sheet or catalogue does not say it. Each table names its source and its trust."""

from __future__ import annotations

from collections.abc import Mapping

from lampwright.model.values import Figure, Origin

NORMAL_TRACK_VOLTAGE: Mapping[str, float] = {
    # NMRA S-9.1 (2020-03-07) Table 3, normal peak voltage at the track: N and smaller, HO to O, large scale.
    "Z": 12.0,
    "N": 12.0,
    # TT is larger than N, so the row of HO is meant; S-9.1 does not name it.
    "TT": 15.0,
    "HO": 15.0,
    "S": 15.0,
    "O": 15.0,
    "G": 18.0,
}

SUPPLY_SPREAD = 0.1
"""Ten per cent either way around the normal voltage: common practice."""

DROP = Figure(0.6, 1.4, 1.4, origin=Origin.MEMORY)
"""Rectifier and switch of a decoder, volts: two silicon diodes, or Schottky ones in the hot corner; from memory."""

TEST_CURRENT = 0.010
"""The current, amperes, at which a forward voltage holds unless said otherwise: common practice."""

LED_MAXIMUM_CURRENT = Figure.exact(0.020, origin=Origin.SECOND_HAND)
"""Indicator LEDs carry 10 to 20 mA, amperes; read second-hand in LED reference pages."""

FORWARD_VOLTAGE: Mapping[str, tuple[float, float]] = {
    # Forward voltage at about 20 mA by colour and chemistry, lowest and highest, volts; read second-hand.
    "infrared": (1.2, 1.2),
    "red": (1.8, 2.1),
    "orange": (2.0, 2.1),
    "yellow": (2.1, 2.2),
    # Green is made in two chemistries, GaP (2.1 V) and InGaN (3.0 to 3.5 V), and the colour does not tell which.
    "green": (2.1, 3.5),
    "blue": (3.0, 3.3),
    "white": (3.0, 3.3),
    "warm white": (3.0, 3.3),
    "cool white": (3.0, 3.3),
    "ultraviolet": (3.3, 4.0),
}

BULB_MAXIMUM = 1.1
"""A bulb survives this multiple of its rated voltage unless said otherwise."""

RESISTOR_TOLERANCE = 0.05
"""Five per cent, the class of the E24 series of IEC 60063."""

SIZE_RATING: Mapping[str, float] = {
    # Basic ratings at 70 degrees Celsius, watts; two tables of generic thick-film chip resistors agree.
    "0201": 1 / 20,
    "0402": 1 / 16,
    "0603": 1 / 16,
    "0805": 1 / 10,
    "1206": 1 / 8,
    "1210": 1 / 4,
    "1812": 1 / 2,
    "2010": 1 / 2,
    "2512": 1.0,
}
