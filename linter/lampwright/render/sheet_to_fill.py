"""The text of a new decoder sheet: what was asked for stands in it, the rest is there to be filled in.

A line that begins with `#:` is one of the sheet, put out of action. All of them together are a sheet as well.
"""

from __future__ import annotations

from collections.abc import Sequence

from lampwright.syntax.quoting import scalar

_HEAD = """\
# A decoder sheet: what the manual of one decoder says. Who owns the manual writes it once, for all plans.
# Lines that begin with #: are proposals; take the #: away from what the manual says, and correct the rest.
decoder-sheet: 1
"""
_ELECTRICAL = """
# What rectifier and switch take away together; or {regulated: 12 V}, if the common wire is regulated.
#:common: {drop: 1.4 V}
#:limits: {outputs-together: 500 mA, whole-decoder: 1 A}

# Each output by the colour of its wire, with its number in the function mapping. Add what is known of it,
# such as {number: 1, limit: 100 mA, surge: 400 mA}: for good, and at the moment of switching on. One that
# commands other things and feeds no lamp has a logic-level: 5 V.
outputs:
"""
_LOGIC = """
# The highest key that it knows, and how keys are mapped: function-matrix (CV33 to CV46 of S-9.2.2);
# by-function, by-output-matrix, by-output-numbers or by-output-states (the pages of RCN-227); or fixed.
#:keys: {highest: 28, mapping: function-matrix}

# The effects by the names that plans shall use, with their codes; rates where they can be set.
#:effects:
#:  steady: {code: 0}
#:  flashing marker: {code: 3, rate: 30 to 120 per minute}

# CVs of the maker's own: where in them an effect, a brightness, a rate or a condition stands. A field is a
# digit (ones, tens, hundreds; low, high in hex) or bits; default is the value on delivery.
#:registers:
"""
_HOLDS = """\
#:    holds: [{what: effect, bits: 0 to 4}]
#:    default: 0
"""
_FIRST_REGISTER = 141


def render_sheet_to_fill(name: str, interface: str | None, outputs: Sequence[str]) -> str:
    """The sheet of a decoder with these outputs, of which there is at least one; with a line end."""
    named = f"name: {scalar(name)}\n"
    plug = f"interface: {interface}\n" if interface is not None else "#:interface: NEM 652\n"
    listed = "".join(f"  {scalar(each)}: {{number: {number}}}\n" for number, each in enumerate(outputs, 1))
    cvs = ", ".join(f"{scalar(each)}: {number}" for number, each in enumerate(outputs, _FIRST_REGISTER))
    return "".join([_HEAD, named, plug, _ELECTRICAL, listed, _LOGIC, f"#:  - cv: {{{cvs}}}\n", _HOLDS])
