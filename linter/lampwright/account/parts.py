"""Parts in the words of a shop: what each is called, by which data it is known, and how it is marked."""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.needs import (
    BoardPart,
    BulbPart,
    DiodePart,
    DriverPart,
    LampPart,
    LedPart,
    Part,
    RegulatorPart,
    ResistorPart,
    Spread,
)
from lampwright.analysis.resistors.preferred import bands
from lampwright.model.defaults import BULB_MAXIMUM
from lampwright.rule.writing import resistor_text
from lampwright.units import Dimension, say

_DIGITS = 6
"""Of a figure of the plan: what was written is said again, not rounded."""

KINDS: dict[type[Part], str] = {
    LedPart: "LED",
    BulbPart: "bulb",
    ResistorPart: "resistor",
    DiodePart: "diode",
    RegulatorPart: "current regulator",
    DriverPart: "driver",
    BoardPart: "lighting board",
}
"""What a part is."""


_SECTIONS: dict[type[Part], str] = {LedPart: "lamps", BulbPart: "lamps", ResistorPart: "resistors"}


def section(part: Part) -> str:
    """Under which heading a part stands: lamps, resistors, other parts."""
    return _SECTIONS.get(type(part), "other parts")


def kind_word(part: Part) -> str:
    """What a part is: LED, bulb, resistor and so on."""
    return KINDS[type(part)]


def part_name(part: Part) -> str:
    """What is asked for: a lamp of a catalogue by its name, all else by its data."""
    match part:
        case LedPart(name=str() as name) | BulbPart(name=str() as name):
            return name
        case LedPart():
            return f"{f'{part.colour} LED' if part.colour is not None else 'LED'}, {part_data(part)}"
        case ResistorPart():
            return part_data(part)
    return f"{kind_word(part)} {part_data(part)}"


def part_data(part: Part) -> str:
    """The figures by which a part is known."""
    return ", ".join(_data(part))


def part_catalogue(part: Part) -> str | None:
    """The file of the catalogue that a lamp is in."""
    return part.catalogue if isinstance(part, LampPart) else None


def part_bands(part: Part) -> tuple[str, ...]:
    """The colour bands of a resistor with leads; none where the code has none for it, and on a chip."""
    if not isinstance(part, ResistorPart) or part.size is not None:
        return ()
    return bands(part.resistance, part.tolerance)


def _data(part: Part) -> Iterator[str]:
    match part:
        case LedPart():
            yield from _led(part)
        case BulbPart():
            yield from _bulb(part)
        case ResistorPart(size=size):
            tolerance = say(part.tolerance, Dimension.SHARE, _DIGITS)
            yield f"{resistor_text(part.resistance, part.rating)} {tolerance}{f' {size}' if size is not None else ''}"
        case DiodePart():
            yield _spread(part.drop, Dimension.VOLTAGE)
        case RegulatorPart():
            yield _spread(part.current, Dimension.CURRENT)
            if part.needs is not None:
                yield f"needs {_spread(part.needs, Dimension.VOLTAGE)}"
        case BoardPart():
            yield _spread(part.voltage, Dimension.VOLTAGE)
            yield _spread(part.current, Dimension.CURRENT)
        case DriverPart():
            yield f"up to {_spread(part.limit, Dimension.CURRENT)}"


def _led(part: LedPart) -> Iterator[str]:
    current = say(part.test_current, Dimension.CURRENT, _DIGITS)
    yield f"{_spread(part.forward_voltage, Dimension.VOLTAGE)} at {current}"
    yield f"at most {_spread(part.maximum_current, Dimension.CURRENT)}"
    if part.built_in_resistor[2]:
        yield f"{_spread(part.built_in_resistor, Dimension.RESISTANCE)} built in"


def _bulb(part: BulbPart) -> Iterator[str]:
    yield _spread(part.voltage, Dimension.VOLTAGE)
    yield _spread(part.current, Dimension.CURRENT)
    if part.maximum_voltage[1] != _usual_maximum(part):
        yield f"at most {_spread(part.maximum_voltage, Dimension.VOLTAGE)}"


def _usual_maximum(part: BulbPart) -> float:
    """What a bulb stands if nothing is said."""
    return float(f"{BULB_MAXIMUM * part.voltage[1]:.9g}")


def _spread(spread: Spread, dimension: Dimension) -> str:
    """`3 V`, or `2.8 to 3.3 V`."""
    low, high = (say(value, dimension, _DIGITS) for value in (spread[0], spread[2]))
    if low == high:
        return low
    number, _, unit = low.partition(" ")
    return f"{number if high.endswith(f' {unit}') else low} to {high}"
