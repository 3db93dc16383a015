"""Lamps of one output that return to the common and to a rail: what flows and what stands against LEDs when it is off."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

from nodal import COMMON, OUTPUT, RAIL, Part, Placed, Row, amperes, placed, potentials
from node_plans import BULB, DROP, LED, case_of, is_led
from published import BORNE_BACKWARDS, HIGHEST_TRACK
from trials import Case, Maker, Pair, bisected, searched

GLOW = 1e-5
"""Amperes: far less than any lamp takes, far more than any leak."""


def _solved(circuit: Row, track: float, *, on: bool = False) -> tuple[list[Placed], dict[int, float]]:
    """While the rail is the negative one: one diode of the rectifier is before the common, one behind the output."""
    parts = placed(circuit)
    volts = {COMMON: track - DROP / 2, RAIL: 0.0} | ({OUTPUT: DROP / 2} if on else {})
    return parts, potentials(parts, volts)


def most_backwards(circuit: Row, track: float) -> float:
    """The most volts that stand against an LED while the output is off, or on."""
    solved = [_solved(circuit, track, on=on) for on in (False, True)]
    leds = [(each, at) for parts, at in solved for each in parts if is_led(each.part)]
    return max((at[each.end] - at[each.start] for each, at in leds), default=0.0)


def sneaks(circuit: Row, track: float) -> bool:
    """Whether lamps glow while the output is off, or LEDs have most of the voltage against them together."""
    parts, at = _solved(circuit, track)
    return (
        glows(circuit, track)
        or sum(max(at[each.end] - at[each.start], 0.0) for each in parts if is_led(each.part)) > track / 2
    )


def glows(circuit: Row, track: float) -> bool:
    """Whether lamps glow while the output is off."""
    parts, at = _solved(circuit, track)
    return any(abs(amperes(each, at)) > GLOW for each in parts if each.part.name)


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


# --- What is tried ----------------------------------------------------------------------------------------------------


def _sneaking(random: Random) -> Iterator[tuple[Case, bool]]:
    while True:
        circuit, track = _circuit(random), random.randint(140, 200) / 10
        yield case_of(circuit, track), sneaks(circuit, track)


def _backwards(random: Random) -> Iterator[tuple[Case, bool]]:
    while True:
        circuit, track = _circuit(random), random.randint(140, 200) / 10
        # Where lamps glow, that is to be cured first.
        if not glows(circuit, track):
            yield case_of(circuit, track), most_backwards(circuit, track) > BORNE_BACKWARDS


def _just_backwards(random: Random) -> Pair | None:
    """The voltage on the track is turned to where so many LEDs in series bear just too much, or just not."""
    circuit, least = _circuit(random), 9.0
    # Forwards, too, something is left at an LED that leaks: up to a hundredth of the whole.
    turns = bisected(lambda turn: most_backwards(circuit, least * turn) > BORNE_BACKWARDS, random, away=(0.01, 0.04))
    if turns is None or turns[0] * least > HIGHEST_TRACK or glows(circuit, turns[0] * least):
        return None
    return Pair(*(case_of(circuit, least * turn) for turn in turns))


def _either(random: Random) -> Pair | None:
    if random.random() < 0.5:
        return searched(_backwards)(random)
    # Few circuits have so many LEDs in a row that their share is near what one bears.
    return next(filter(None, (_just_backwards(random) for _ in range(100))), None)


MAKERS: dict[str, tuple[str, Maker]] = {
    "reverse-voltage": ("figure, by SciPy", _either),
    "sneak-path": ("currents, by SciPy", searched(_sneaking)),
}
