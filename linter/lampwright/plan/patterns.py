"""Regular expressions of quantities for the JSON Schemas: what they refuse, the checker refuses too.

Made from the table of `units`, so that no spelling of a unit stands in two places.
"""

from __future__ import annotations

from lampwright.units import UNITS, Dimension
from lampwright.units.dimensions import FRACTIONS, NUMBER, SPACE

_LETTER_CODE = "[0-9]+[RkKM][0-9]*"


def pattern_of(dimension: Dimension, *, is_range: bool = False) -> str:
    """What a quantity of `dimension` looks like, or with `is_range` also two of them with "to" between."""
    one = _one(dimension)
    if not is_range:
        return rf"^\s*{one}\s*$"
    # "30 to 120 per minute" says its unit once.
    lower = f"(?:{NUMBER}|{one})" if dimension is Dimension.RATE else one
    return rf"^\s*(?:{lower}{SPACE}to{SPACE})?{one}\s*$"


def _one(dimension: Dimension) -> str:
    units = "|".join(name for name, unit in UNITS.items() if unit.dimension is dimension)
    forms = [f"{NUMBER}{SPACE}?(?:{units})"]
    if dimension is Dimension.POWER:
        forms.append(f"(?:{'|'.join(FRACTIONS)}){SPACE}?W")
    if dimension is Dimension.RESISTANCE:
        forms.append(_LETTER_CODE)
    return f"(?:{'|'.join(forms)})"
