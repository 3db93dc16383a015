"""What is written beside the elements and the ends of a circuit."""

from __future__ import annotations

from lampwright.analysis.resistors.preferred import bands
from lampwright.model.circuit import Board, Bulb, Diode, Driver, Element, Led, PlacedLamp, Regulator, Resistor
from lampwright.model.lighting import LightingPlan, Output
from lampwright.model.wires import WIRES, Wire
from lampwright.records import dataclass
from lampwright.rule.writing import resistor_text
from lampwright.units import Dimension, say

_DIGITS = 6
"""Of a figure of the plan: what was written is said again, not rounded."""


@dataclass(frozen=True, slots=True)
class End:
    """Where a circuit begins or ends. `colour` is the name of a wire's colour, None where there is no such wire."""

    words: str
    colour: str | None


@dataclass(frozen=True, slots=True)
class Ends:
    """Both of them: the side of the plus on the left."""

    left: End
    right: End


_COMMON_WIRE = next(colour for colour, wire in WIRES.items() if wire is Wire.COMMON)
COLOURS = {
    "red": "#d22",
    "black": "#222",
    "orange": "#f80",
    "grey": "#888",
    "gray": "#888",
    "blue": "#26d",
    "white": "#fff",
    "yellow": "#fd0",
    "green": "#2a4",
    "violet": "#93c",
    "purple": "#93c",
    "brown": "#843",
    "pink": "#f9b",
}
"""How the colours of wires are shown on a screen."""


def ends_of_output(plan: LightingPlan, output: Output) -> Ends:
    """Of the circuit of an output."""
    assert output.circuit is not None
    number = output.decoder_output.number if output.decoder_output is not None else None
    of_decoder = f", output {number.value}" if number is not None else ""
    colour = output.name.casefold() if output.name.casefold() in COLOURS else None
    right = End(f"{output.name} wire{of_decoder}" if colour else f"{output.name}{of_decoder}", colour)
    if output.circuit.rail_span is not None:
        return Ends(End("a rail (one rectifier diode)", None), right)
    has_lead = plan.common_circuit is None or bool(plan.common_circuit.elements)
    return Ends(End("the common lead +", None) if has_lead else _common(), right)


def ends_of_common(plan: LightingPlan) -> Ends:
    """Of the common lead, which all outputs share."""
    number = len(plan.outputs)
    return Ends(_common(), End(f"{number} output{'s' if number != 1 else ''}, side by side", None))


def _common() -> End:
    return End(f"common +, {_COMMON_WIRE} wire", _COMMON_WIRE)


@dataclass(frozen=True, slots=True)
class Label:
    """What an element is: `kind` names its symbol, `lines` stand below it, and below them the colours of its bands."""

    kind: str
    name: str
    lines: tuple[str, ...]
    bands: tuple[str, ...] = ()
    is_reversed: bool = False


def label_of(element: Element) -> Label:
    """The label of an element that is neither chain nor parallel."""
    match element:
        case Resistor():
            return _of_resistor(element)
        case PlacedLamp():
            return _of_lamp(element)
        case Diode(drop=drop):
            return Label("diode", "diode", ("diode", say(drop.usual, Dimension.VOLTAGE, _DIGITS)))
        case Regulator(current=current):
            return Label(
                "regulator", "current regulator", ("regulator", say(current.usual, Dimension.CURRENT, _DIGITS))
            )
        case Board(voltage=voltage, current=current):
            said = f"{say(voltage.usual, Dimension.VOLTAGE, _DIGITS)} {say(current.usual, Dimension.CURRENT, _DIGITS)}"
            return Label("board", "lighting board", ("board", said))
        case Driver(limit=limit):
            return Label("driver", "driver", ("driver", f"up to {say(limit.usual, Dimension.CURRENT, _DIGITS)}"))
    return Label("unreadable", "unreadable", ("cannot be read",))


def _of_resistor(resistor: Resistor) -> Label:
    value, rating = resistor.resistance, resistor.rating
    text = resistor_text(value.usual, rating.usual if rating is not None else None)
    tolerance = value.highest / value.usual - 1 if value.usual else 0.0
    worn = bands(value.usual, round(tolerance, 6))
    return Label("resistor", text, (text,), worn)


def _of_lamp(lamp: PlacedLamp) -> Label:
    kind = lamp.lamp.kind if lamp.lamp is not None else None
    match kind:
        case Led():
            words = (
                "LED",
                *([kind.colour] if kind.colour else []),
                *(["put in against the feed"] if lamp.reversed else []),
            )
            return Label("led", lamp.name, (lamp.name, ", ".join(words)), is_reversed=lamp.reversed)
        case Bulb(voltage=voltage, current=current):
            said = f"{say(voltage.usual, Dimension.VOLTAGE, _DIGITS)} {say(current.usual, Dimension.CURRENT, _DIGITS)}"
            return Label("bulb", lamp.name, (lamp.name, f"bulb {said}"))
    return Label("unreadable", lamp.name, (lamp.name, "nothing known"))
