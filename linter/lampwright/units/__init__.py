"""Turns what an installer writes, "20 mA", into SI floats, and floats back into such words; tells what is wrong if not.

A closed table of units decides. Knows nothing of YAML, of fields or of lamps; `foreign` is the only module that asks
pint, and only for the name of a unit that no table of ours holds.
"""

from __future__ import annotations

from lampwright.units.dimensions import UNITS, Dimension, Unit
from lampwright.units.misread import Likely, Misread
from lampwright.units.quantities import read, read_range
from lampwright.units.recognition import is_quantity
from lampwright.units.resistors import ResistorText, read_resistor
from lampwright.units.saying import say, say_rating

__all__ = [
    "UNITS",
    "Dimension",
    "Likely",
    "Misread",
    "ResistorText",
    "Unit",
    "is_quantity",
    "read",
    "read_range",
    "read_resistor",
    "say",
    "say_rating",
]
