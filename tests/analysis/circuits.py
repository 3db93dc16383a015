"""Small builders of model objects for tests, as a plan reader would make them, and random circuits made of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from random import Random

from lampwright.analysis.electrical import electrical_facts
from lampwright.analysis.electrical.facts import OutputFacts
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
from lampwright.model.decoder import Decoder, DecoderOutput
from lampwright.model.keys import Look
from lampwright.model.lighting import LightingPlan, Output, Supply
from lampwright.model.settings import Settings
from lampwright.model.values import Figure, Origin
from lampwright.text import Source, Span

SOURCE = Source("test.lights.yaml", " " * 100_000)
_next_place = iter(range(1, 10**9))

Value = float | tuple[float, float] | tuple[float, float, float] | Figure


def place() -> Span:
    """A span of its own for every element."""
    at = next(_next_place) % 99_000
    return Span(SOURCE, at, at + 1)


def figure(value: Value, origin: Origin = Origin.STATED) -> Figure:
    """A figure: exact, with the middle as the usual value, or lowest, usual, highest."""
    match value:
        case Figure():
            return value
        case (lowest, highest):
            return Figure(lowest, (lowest + highest) / 2, highest, place(), origin)
        case (lowest, usual, highest):
            return Figure(lowest, usual, highest, place(), origin)
        case _:
            return Figure.exact(value, place(), origin)


def within(value: float, tolerance: float) -> Figure:
    return Figure(value * (1 - tolerance), value, value * (1 + tolerance), place())


def resistor(ohms: Value, tolerance: float = 0.0) -> Resistor:
    resistance = within(ohms, tolerance) if isinstance(ohms, float | int) else figure(ohms)
    return Resistor(place(), resistance, None)


def led(forward_voltage: Value, name: str = "led", built_in: Value = 0.0, *, backwards: bool = False) -> PlacedLamp:
    kind = Led(figure(forward_voltage), 0.01, None, figure(0.02), figure(built_in))
    return PlacedLamp(place(), name, Lamp(name, place(), kind), reversed=backwards)


def bulb(voltage: Value, current: Value, name: str = "bulb", tolerance: float = 0.0) -> PlacedLamp:
    amperes = within(current, tolerance) if isinstance(current, float) else figure(current)
    volts = figure(voltage)
    return PlacedLamp(place(), name, Lamp(name, place(), Bulb(volts, amperes, figure(1.1 * volts.usual))))


def diode(drop: Value = 0.7) -> Diode:
    return Diode(place(), figure(drop))


def regulator(current: Value, needs: Value | None = None) -> Regulator:
    return Regulator(place(), figure(current), figure(needs) if needs is not None else None)


def board(voltage: Value, current: Value) -> Board:
    return Board(place(), figure(voltage), figure(current))


def driver() -> Driver:
    return Driver(place(), figure(0.2))


def chain(*elements: Element) -> Chain:
    return Chain(place(), elements)


def to_rail(circuit: Chain) -> Chain:
    return replace(circuit, rail_span=place())


def parallel(*branches: Chain) -> Parallel:
    return Parallel(place(), branches)


def output(name: str, circuit: Chain | None, **sheet: Figure) -> Output:
    return Output(name, place(), circuit, DecoderOutput(name, place(), **sheet), Look())


def plan(
    circuits: Mapping[str, Chain | None],
    *,
    common: Value | None = None,
    track: Value | None = None,
    drop: Value = 1.4,
    regulated: Value | None = None,
    lead: Chain | None = None,
) -> LightingPlan:
    """A plan whose outputs have these circuits; `common`, `track`, `drop` and `regulated` feed them."""
    outputs = {name: output(name, circuit) for name, circuit in circuits.items()}
    return LightingPlan(
        span=place(),
        supply=Supply(figure(track) if track is not None else None, figure(common) if common is not None else None),
        decoder=Decoder(
            span=place(),
            drop=figure(drop),
            regulated=figure(regulated) if regulated is not None else None,
            common_is_readable=True,
            outputs={name: made.decoder_output for name, made in outputs.items()},
            effects=None,
        ),
        lamps={},
        outputs=outputs,
        common_circuit=chain() if lead is None else lead,
        keys={},
        always=(),
        settings=Settings(),
        wiring_is_complete=True,
        keys_are_complete=True,
    )


def solved(circuit: Chain, supply: Value, lead: Chain | None = None) -> OutputFacts:
    """The facts of a lone output with `circuit` at `supply` volts."""
    facts = electrical_facts(plan({"white": circuit}, common=supply, lead=lead)).outputs["white"]
    assert isinstance(facts, OutputFacts)
    return facts


def example_plan() -> LightingPlan:
    """The plan that the description of the language shows: a quarry switcher with its five outputs."""
    warm_white = (2.8, 3.0, 3.3)
    return plan(
        {
            "white": chain(resistor(1500, 0.05), led(warm_white, "front headlamp")),
            "yellow": chain(resistor(1500, 0.05), led(warm_white, "rear headlamp")),
            "green": chain(resistor(820, 0.05), bulb(1.5, 0.015, "left ditch lamp")),
            "violet": chain(resistor(820, 0.05), bulb(1.5, 0.015, "right ditch lamp")),
            "brown": chain(
                parallel(
                    chain(resistor(2700, 0.05), led((1.9, 2.2), "marker lamp")),
                    chain(resistor(100, 0.05), bulb(12.0, 0.04, "cab lamp")),
                )
            ),
        },
        track=14.5,
    )


@dataclass(frozen=True)
class Maker:
    """Makes random circuits. `ideal` ones may hold LEDs and branches that nothing limits, and resistors of zero."""

    random: Random
    spread: bool = False
    ideal: bool = False

    def circuit(self, levels: int = 2, length: int = 3) -> Chain:
        """A chain with parallels down to `levels`."""
        elements: list[Element] = [self._element(levels, length) for _ in range(self.random.randint(1, length))]
        if not self.ideal:
            elements.insert(self.random.randrange(len(elements) + 1), self._resistor())
        return chain(*elements)

    def supply(self) -> Value:
        return self._value(self.random.uniform(2, 22), 0.2)

    def _element(self, levels: int, length: int) -> Element:
        if levels and self.random.random() < 0.35:
            branches = (self.circuit(levels - 1, length) for _ in range(self.random.randint(1, 3)))
            return parallel(*branches)
        if self.random.random() < 0.1:
            return self.circuit(max(levels - 1, 0), length)
        usual = [self._resistor, self._led, self._bulb, self._diode]
        return self.random.choice(usual if self.random.random() < 0.9 else self._rare())()

    def _rare(self) -> list[Callable[[], Element]]:
        return [
            lambda: regulator(
                self._value(self.random.choice([0.005, 0.01, 0.02]), 0.1), self.random.choice([None, 2.0, 3.0])
            ),
            lambda: board(self._value(12.0, 0.1), self._value(0.02, 0.1)),
            driver,
            lambda: led(3.0, backwards=True),
        ]

    def _resistor(self) -> Resistor:
        if self.ideal and self.random.random() < 0.2:
            return resistor(0.0)
        return resistor(self._value(10 ** self.random.uniform(1, 4), self.random.choice([0.01, 0.05, 0.2])))

    def _led(self) -> PlacedLamp:
        built_in = self.random.choice([0.0, 0.0, self._value(1000.0, 0.1)])
        return led(self._value(self.random.choice([1.8, 2.1, 3.0, 3.2]), 0.1), built_in=built_in)

    def _bulb(self) -> PlacedLamp:
        voltage, current = self.random.choice([(1.5, 0.015), (12.0, 0.04), (16.0, 0.03)])
        return bulb(voltage, self._value(current, 0.1))

    def _diode(self) -> Diode:
        return diode(self._value(0.7, 0.15))

    def _value(self, middle: float, share: float) -> Value:
        if not self.spread:
            return middle
        return (
            middle * (1 - share * self.random.random()),
            middle,
            middle * (1 + share * self.random.random()),
        )


def figures(element: Element) -> int:
    """How many figures with a spread stand below `element`."""
    count = 0

    def counted(one: Figure) -> Figure:
        nonlocal count
        count += one.has_spread
        return one

    exactly(element, counted)
    return count


def exactly(element: Element, pick) -> Element:
    """The same element with each figure of its law replaced by what `pick` makes of it, in reading order."""
    match element:
        case Chain(elements=parts):
            return replace(element, elements=tuple(exactly(part, pick) for part in parts))
        case Parallel(branches=branches):
            return replace(element, branches=tuple(exactly(branch, pick) for branch in branches))
        case Resistor():
            return replace(element, resistance=pick(element.resistance))
        case Diode():
            return replace(element, drop=pick(element.drop))
        case Regulator() | Board():
            exact = {"current": pick(element.current)}
            return replace(
                element, **exact, **({"voltage": pick(element.voltage)} if isinstance(element, Board) else {})
            )
        case Driver():
            return element
        case PlacedLamp(lamp=Lamp(kind=Led() as kind) as lamp):
            kind = replace(
                kind,
                forward_voltage=pick(kind.forward_voltage),
                built_in_resistor=pick(kind.built_in_resistor),
            )
            return replace(element, lamp=replace(lamp, kind=kind))
        case PlacedLamp(lamp=Lamp(kind=Bulb() as kind) as lamp):
            kind = replace(kind, voltage=pick(kind.voltage), current=pick(kind.current))
            return replace(element, lamp=replace(lamp, kind=kind))
    raise TypeError(element)
