"""The colour code of decoder wires: which colour is which wire. A table of the trade, not of any plan."""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum


class Wire(Enum):
    """What a wire of the decoder is for."""

    RIGHT_RAIL = "right rail"
    LEFT_RAIL = "left rail"
    MOTOR_PLUS = "motor plus"
    MOTOR_MINUS = "motor minus"
    COMMON = "common"
    FRONT_LIGHT = "front light"
    REAR_LIGHT = "rear light"
    FIRST_OUTPUT = "first further output"
    SECOND_OUTPUT = "second further output"

    @property
    def is_output(self) -> bool:
        """Whether a lamp can be switched by this wire."""
        return self in (Wire.FRONT_LIGHT, Wire.REAR_LIGHT, Wire.FIRST_OUTPUT, Wire.SECOND_OUTPUT)


WIRES: Mapping[str, Wire] = {
    # NMRA RP-9.1.1 and NEM 650, read.
    "red": Wire.RIGHT_RAIL,
    "black": Wire.LEFT_RAIL,
    "orange": Wire.MOTOR_PLUS,
    "grey": Wire.MOTOR_MINUS,
    "blue": Wire.COMMON,
    "white": Wire.FRONT_LIGHT,
    "yellow": Wire.REAR_LIGHT,
    # NEM 660 (2015) Table 2, read. Brown is left out: a loudspeaker there, one more output in NMRA S-9.1.1.
    "green": Wire.FIRST_OUTPUT,
    "violet": Wire.SECOND_OUTPUT,
}
