"""Lamps of one output that return to the common and to a rail: what flows and what stands against LEDs when it is off."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random
from typing import Any

from nodal import COMMON, OUTPUT, RAIL, Part, Placed, Row, amperes, placed, potentials
from published import BORNE_BACKWARDS, HIGHEST_TRACK
from trials import Case, Maker, Pair, alone, bisected, searched

GLOW = 1e-5
"""Amperes: far less than any lamp takes, far more than any leak."""

DROP = 1.4
LED, BULB = 3.0, (14.0, 0.03)


def _solved(circuit: Row, track: float, *, on: bool = False) -> tuple[list[Placed], dict[int, float]]:
    """While the rail is the negative one: one diode of the rectifier is before the common, one behind the output."""
    parts = placed(circuit)
    ends = {node for each in parts for node in (each.start, each.end)}
    volts = {COMMON: track - DROP / 2, RAIL: 0.0} | ({OUTPUT: DROP / 2} if on else {})
    return parts, potentials(parts, {node: known for node, known in volts.items() if node in ends})


def most_backwards(circuit: Row, track: float) -> float:
    """The most volts that stand against an LED while the output is off, or on."""
    solved = [_solved(circuit, track, on=on) for on in (False, True)]
    leds = [(each, at) for parts, at in solved for each in parts if _is_led(each.part)]
    return max((at[each.end] - at[each.start] for each, at in leds), default=0.0)


def sneaks(circuit: Row, track: float) -> bool:
    """Whether lamps glow while the output is off, or LEDs have most of the voltage against them together."""
    parts, at = _solved(circuit, track)
    return (
        glows(circuit, track)
        or sum(max(at[each.end] - at[each.start], 0.0) for each in parts if _is_led(each.part)) > track / 2
    )


def glows(circuit: Row, track: float) -> bool:
    """Whether lamps glow while the output is off."""
    parts, at = _solved(circuit, track)
    return any(abs(amperes(each, at)) > GLOW for each in parts if each.part.name)


def _is_led(part: Part) -> bool:
    return part.forward is not None and not part.is_diode


# --- Circuits ---------------------------------------------------------------------------------------------------------


def _branch(random: Random, name: str, *, rail: bool, diode: bool) -> Row:
    parts: list[Part | tuple[Row, ...]] = [Part("", ohms=random.choice([1000.0, 1500.0, 2200.0]))]
    if random.random() < 0.35:
        # A bulb that hardly glows has a tenth of its resistance.
        parts.append(Part(f"bulb {name}", ohms=BULB[0] / BULB[1] / 10))
    else:
        parts += [Part(f"led {name}{number}", forward=LED) for number in range(random.randint(1, 4))]
    if diode:
        parts.insert(random.randint(0, len(parts)), Part("", forward=0.7, is_diode=True))
    return Row(tuple(parts), rail)


def _circuit(random: Random) -> Row:
    """Two or three branches side by side, with or without resistors before and behind them."""
    mixed = [(False, True), (False, True), (False, False, True), (False, True, True)]
    rails = random.choice([*mixed, (True, True), (False, False)])
    branches = tuple(
        _branch(random, name, rail=rail, diode=random.random() < 0.3) for name, rail in zip("abc", rails, strict=False)
    )
    row: list[Part | tuple[Row, ...]] = [branches]
    if random.random() < 0.3:
        row.append(Part("", ohms=100.0))
    if random.random() < 0.2 and not all(rails):
        row.insert(0, Part("", ohms=150.0))
    return Row(tuple(row), rail=random.random() < 0.1 and not any(rails))


def written_row(row: Row) -> dict[str, Any]:
    """The circuit of an output."""
    circuit = {"circuit": [_element(part) for part in row.parts]}
    return {**circuit, "return": "rail"} if row.rail else circuit


def _chain(row: Row) -> Any:
    """As it is written: a list, or a mapping where it returns to a rail."""
    elements = [_element(part) for part in row.parts]
    return {"series": elements, "return": "rail"} if row.rail else elements


def _element(part: Part | tuple[Row, ...]) -> Any:
    if not isinstance(part, Part):
        return {"parallel": [_chain(row) for row in part]}
    if part.is_diode:
        return {"diode": f"{part.forward} V"}
    if part.turned:
        return {"lamp": part.name, "reversed": True}
    return part.name or f"{part.ohms:.9g} ohm 2 W"


def _case(circuit: Row, track: float) -> Case:
    names = {each.part.name: _is_led(each.part) for each in placed(circuit) if each.part.name}
    led = {"led": {"forward-voltage": f"{LED} V", "maximum-current": "20 mA"}}
    bulb = {"bulb": {"voltage": f"{BULB[0]} V", "current": f"{BULB[1] * 1e3:.9g} mA"}}
    return alone(
        {
            "vehicle": {"name": "Tipper 9"},
            "supply": {"track": f"{track:.9g} V"},
            "decoder": {"common": {"drop": f"{DROP} V"}, "outputs": {"white": {"number": 1, "limit": "500 mA"}}},
            "lamps": {name: led if is_led else bulb for name, is_led in names.items()},
            "outputs": {"white": written_row(circuit)},
            "keys": {"F0": {"turns-on": [{"output": "white"}]}},
        }
    )


# --- What is tried ----------------------------------------------------------------------------------------------------


def _sneaking(random: Random) -> Iterator[tuple[Case, bool]]:
    while True:
        circuit, track = _circuit(random), random.randint(140, 200) / 10
        yield _case(circuit, track), sneaks(circuit, track)


def _backwards(random: Random) -> Iterator[tuple[Case, bool]]:
    while True:
        circuit, track = _circuit(random), random.randint(140, 200) / 10
        # Where lamps glow, that is to be cured first.
        if not glows(circuit, track):
            yield _case(circuit, track), most_backwards(circuit, track) > BORNE_BACKWARDS


def _just_backwards(random: Random) -> Pair | None:
    """The voltage on the track is turned to where so many LEDs in series bear just too much, or just not."""
    circuit, least = _circuit(random), 9.0
    # Forwards, too, something is left at an LED that leaks: up to a hundredth of the whole.
    turns = bisected(lambda turn: most_backwards(circuit, least * turn) > BORNE_BACKWARDS, random, away=(0.01, 0.04))
    if turns is None or turns[0] * least > HIGHEST_TRACK or glows(circuit, turns[0] * least):
        return None
    return Pair(*(_case(circuit, least * turn) for turn in turns))


def _either(random: Random) -> Pair | None:
    if random.random() < 0.5:
        return searched(_backwards)(random)
    # Few circuits have so many LEDs in a row that their share is near what one bears.
    return next(filter(None, (_just_backwards(random) for _ in range(100))), None)


MAKERS: dict[str, tuple[str, Maker]] = {
    "reverse-voltage": ("figure, by SciPy", _either),
    "sneak-path": ("currents, by SciPy", searched(_sneaking)),
}
