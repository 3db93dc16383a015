"""From circuits to netlists for the circuit simulator ngspice; runs nothing.

The elements obey the same laws as ours, with the same constants, but each is written down in the simulator's own terms:
its diode model for LEDs and diodes, behavioural sources for filaments and regulators. A source of 0 V in front of each
element measures its current.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import Enum

from lampwright.analysis.electrical.characteristics import RISE
from lampwright.analysis.electrical.law import (
    CURRENT_EXPONENT,
    EMISSION,
    HOT_OVER_COLD,
    RAIL_SHARE,
    SERIES_DROP,
    SERIES_RESISTANCE,
)
from lampwright.model.circuit import (
    Board,
    Bulb,
    Chain,
    Diode,
    Driver,
    Element,
    Lamp,
    Led,
    Parallel,
    PlacedLamp,
    Regulator,
    Resistor,
)
from lampwright.model.defaults import TEST_CURRENT
from lampwright.model.values import Figure

THERMAL = 1.38064852e-23 * 300.15 / 1.6021766208e-19
"""Volts at the simulator's 27 degrees, with its own constants, as it prints them for `boltz` and `echarge`."""

LEAST_NEEDS = 1e-3
"""Volts that a regulator needs of which nothing is said."""


class Corner(Enum):
    """Which value of each figure of volts and ohms, and which of each figure of amperes."""

    USUAL = ("usual", "usual")
    EAGER = ("lowest", "highest")
    RELUCTANT = ("highest", "lowest")

    def ohms(self, figure: Figure) -> float:
        return getattr(figure, self.value[0])

    volts = ohms

    def amperes(self, figure: Figure) -> float:
        return getattr(figure, self.value[1])


@dataclass(frozen=True)
class Setup:
    """Circuits side by side behind a lead; volts of the common and of the rail to which parts of them may return."""

    circuits: tuple[Chain, ...]
    common: float
    lead: Chain
    rail: float = 0.0
    corner: Corner = Corner.USUAL


def netlist(setup: Setup) -> str:
    """The cards of `setup`, without title, options and end. Ammeters are numbered in reading order, the lead first."""
    deck = _Deck(setup.corner)
    deck.card("vcommon", "common", "0", number(setup.common))
    deck.card("vrail", "rail", "0", number(setup.rail))
    behind = deck.series(setup.lead, "common", None)
    for circuit in setup.circuits:
        deck.chain(circuit, behind, "0", is_on_rail=False)
    return "\n".join(deck.cards) + "\n"


def number(value: float) -> str:
    """Short of the last digits, which the mathematical libraries of two systems may compute differently."""
    return f"{value:.10g}"


@dataclass
class _Deck:
    """The cards so far; nodes and elements are numbered as they come."""

    corner: Corner
    cards: list[str] = field(default_factory=list)
    elements: int = 0
    nodes: int = 0

    def card(self, *words: str) -> None:
        self.cards.append(" ".join(words))

    def node(self) -> str:
        self.nodes += 1
        return f"{self.nodes}"

    def chain(self, chain: Chain, start: str, end: str, *, is_on_rail: bool) -> None:
        """Between two nodes; what returns to a rail begins there instead."""
        on_rail = is_on_rail or chain.rail_span is not None
        self.series(chain, start if chain.rail_span is None else "rail", end, is_on_rail=on_rail)

    def series(self, chain: Chain, start: str, end: str | None, *, is_on_rail: bool = False) -> str:
        """The node behind the last element, which is `end` if that is given."""
        for place, element in enumerate(chain.elements, 1):
            is_last = place == len(chain.elements)
            after = end if is_last and end is not None else self.node()
            self.element(element, start, after, is_on_rail=is_on_rail)
            start = after
        return start

    def element(self, element: Element, start: str, end: str, *, is_on_rail: bool) -> None:
        match element:
            case Chain():
                self.chain(element, start, end, is_on_rail=is_on_rail)
            case Parallel(branches=branches):
                for branch in branches:
                    self.chain(branch, start, end, is_on_rail=is_on_rail)
            case _:
                self.elements += 1
                measured = f"m{self.elements}"
                self.card(f"va{self.elements}", start, measured, "0")
                for words in _cards(element, measured, end, _Terms(self.corner, self.elements, is_on_rail)):
                    self.card(*words)


@dataclass(frozen=True)
class _Terms:
    """What the cards of one element hang on besides the element."""

    corner: Corner
    number: int
    is_on_rail: bool


def _cards(element: Element, start: str, end: str, terms: _Terms) -> Iterator[tuple[str, ...]]:
    corner, own = terms.corner, terms.number
    match element:
        case Resistor(resistance=resistance):
            yield from _ohms(own, start, end, corner.ohms(resistance))
        case Driver():
            yield from _ohms(own, start, end, 0.0)
        case Board(voltage=voltage, current=current):
            yield from _ohms(own, start, end, corner.volts(voltage) / corner.amperes(current))
        case Diode(drop=drop):
            yield from _junction(own, (start, end), corner.volts(drop), TEST_CURRENT, 0.0)
        case Regulator(current=current, needs=needs):
            volts = corner.volts(needs) if needs is not None else LEAST_NEEDS
            yield _regulator(own, (start, end), corner.amperes(current), volts)
        case PlacedLamp(lamp=Lamp(kind=Bulb(voltage=voltage, current=current))):
            rating = corner.volts(voltage), corner.amperes(current)
            yield _filament(own, (start, end), rating, RAIL_SHARE if terms.is_on_rail else 1.0)
        case PlacedLamp(lamp=Lamp(kind=Led() as led), reversed=is_reversed):
            ends = (end, start) if is_reversed else (start, end)
            yield from _led(own, ends, led, corner)
        case _:
            raise TypeError(element)


def _ohms(own: int, start: str, end: str, ohms: float) -> Iterator[tuple[str, ...]]:
    """The simulator raises a resistance of zero to a milliohm; a source of 0 V is a wire."""
    yield (f"r{own}", start, end, number(ohms)) if ohms else (f"v{own}", start, end, "0")


def _led(own: int, ends: tuple[str, str], led: Led, corner: Corner) -> Iterator[tuple[str, ...]]:
    built_in = corner.ohms(led.built_in_resistor)
    inside = min(SERIES_RESISTANCE, SERIES_DROP / led.test_current)
    between = (ends[0], f"x{own}") if built_in else ends
    yield from _junction(own, between, corner.volts(led.forward_voltage), led.test_current, inside)
    if built_in:
        yield f"r{own}", f"x{own}", ends[1], number(built_in)


def _junction(own: int, ends: tuple[str, str], forward: float, at: float, inside: float) -> Iterator[tuple[str, ...]]:
    """I_S from I = I_S (exp((V - R I) / (n V_T)) - 1) at the one point of the data sheet."""
    resistance = min(inside, 0.5 * forward / at)
    saturation = at / math.expm1((forward - resistance * at) / EMISSION)
    yield f"d{own}", *ends, f"j{own}"
    series = f" rs={number(resistance)}" if resistance else ""
    yield ".model", f"j{own}", f"d(is={number(saturation)} n={number(EMISSION / THERMAL)}{series})"


def _filament(own: int, ends: tuple[str, str], rating: tuple[float, float], share: float) -> tuple[str, ...]:
    """Its resistance is that of the steady voltage that heats it as much, and never below that of a cold filament."""
    voltage, current = rating
    across = f"v({ends[0]},{ends[1]})"
    effective = f"{number(math.sqrt(share) / voltage)}*{across}"
    # The ohms at the effective voltage u, of the rated ones: u / u^k. Below a certain u that is less than a cold share.
    threshold = HOT_OVER_COLD ** (-1 / (1 - CURRENT_EXPONENT))
    conductance = current / voltage
    hot = f"{number(conductance)}*{across}*pow({effective},{number(CURRENT_EXPONENT - 1)})"
    cold = f"{number(conductance * HOT_OVER_COLD)}*{across}"
    return f"b{own}", *ends, f"i={effective}>{number(threshold)} ? {hot} : {cold}"


def _regulator(own: int, ends: tuple[str, str], current: float, needs: float) -> tuple[str, ...]:
    across = f"v({ends[0]},{ends[1]})"
    level = f"{number(current)}*(1+{number(RISE)}*({across}-{number(needs)}))"
    return f"b{own}", *ends, f"i={across}>{number(needs)} ? {level} : {number(current / needs)}*{across}"
