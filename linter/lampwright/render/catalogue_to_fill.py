"""The text of a new parts catalogue: the resistors that were asked for stand in it, the rest is there to be filled in.

A line that begins with `#:` is one of the catalogue, put out of action. All of them together are a catalogue as well.
"""

from __future__ import annotations

from collections.abc import Sequence

from lampwright.syntax.quoting import scalar

_HEAD = """\
# A parts catalogue: lamps and resistors with their data, and how many of each are in the drawer (stock).
# Lines that begin with #: are proposals; take the #: away from what you have, and correct the rest.
parts-catalogue: 1

# Lamps by the names that plans shall use, with the figures of their data sheets. The forward-voltage of an
# LED holds at its test current; current is what you want in it, maximum-current what it stands for good.
#:lamps:
#:  warm white 0603:
#:    led: {forward-voltage: 2.8 V to 3.3 V, at: 10 mA, current: 5 mA, maximum-current: 20 mA}
#:    stock: 40
#:  micro bulb 12 V:
#:    bulb: {voltage: 12 V, current: 40 mA}
#:    stock: 10

# Resistors: 1.5 kohm, 4k7, 470R; the rating is the power that each may turn into heat.
"""
_PROPOSAL = "#:  - {value: 1.8 kohm, rating: 1/4 W, tolerance: 5 %, stock: 100}\n"


def render_catalogue_to_fill(resistors: Sequence[str]) -> str:
    """The catalogue with resistors of these values; with a line end."""
    key = "resistors:\n" if resistors else "#:resistors:\n"
    return "".join([_HEAD, key, *(f"  - {{value: {scalar(value)}}}\n" for value in resistors), _PROPOSAL])
