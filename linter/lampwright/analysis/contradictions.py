"""Readings of a meter that a plan cannot come to, and the single causes that would explain them.

What a plan comes to is computed without the readings, but for the voltage at the output: the currents follow from it.
A cause is one change of the plan after which all readings fit; each is proved by computing the output again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from itertools import islice
from math import inf
from typing import Literal

from lampwright.analysis.electrical.built import elements_named, exchanged
from lampwright.analysis.electrical.outside import Lack
from lampwright.analysis.electrical.read_at_output import named_at, reading_of_voltage, readings_at
from lampwright.analysis.electrical.reading import Reading
from lampwright.analysis.electrical.slips import Slip, slip_among
from lampwright.analysis.electrical.supply import measured_common
from lampwright.analysis.electrical.weakness import LawfulElement
from lampwright.analysis.resistors.preferred import next_down, next_up
from lampwright.model.circuit import Chain, Led, PlacedLamp, Resistor, lamp_kind, leaves, returns_to_rail
from lampwright.model.defaults import FORWARD_VOLTAGE
from lampwright.model.lighting import LightingPlan, Output, Supply
from lampwright.model.values import Figure
from lampwright.records import dataclass, replace

LOWEST_TRACK, HIGHEST_TRACK = 7.0, 22.0
"""Volts on a track that is fed at all, and that S-9.1 allows at most: another voltage explains nothing.

The highest was read in NMRA S-9.1 (2020), the lowest is from memory.
"""

DECADES = (10.0, 0.1, 100.0, 0.01)
"""Times a resistance: how far off a slip of the multiplier's band is."""

COLOURS, COLOURS_HOLD_AT = ("red", "yellow", "white"), 0.020
"""LEDs that one may be taken for another: of those in models the three that differ in their forward voltages, and the
amperes at which the table of these holds."""

SHORT = Figure(0.0, 1.0, 5.0)
"""Ohms of a short across a lamp, with its wires and the contacts on the way; common practice."""

MOST_PARTS = 12
"""Elements among which a cause is looked for: each is tried in some ways, at a cost that grows with their number."""

_STEPS = 30


@dataclass(frozen=True, slots=True)
class Cause:
    """One change: a decimal point that slipped in a reading, another resistance in the place of `element`, an LED of
    one of the `colours`, that lamp shorted or open, or other volts on the track.

    `value` is in ohms or in volts, None where there is none; `slip` is what the reading is then. A lamp that is open
    may as well be an LED that is put in the wrong way round.
    """

    what: Literal["slip", "resistor", "colours", "shorted", "open", "track"]
    element: LawfulElement | None
    value: float | None = None
    colours: tuple[str, ...] = ()
    slip: Slip | None = None


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Readings of one output that do not fit, and each cause that would alone explain all that was measured there.

    A slip comes first. `causes` are None where there is none, and too many parts to try all others.
    """

    readings: tuple[Reading, ...]
    causes: tuple[Cause, ...] | None

    @property
    def slip(self) -> Slip | None:
        """The decimal point that may have slipped."""
        return next((cause.slip for cause in self.causes or ()), None)


def contradictions(plan: LightingPlan, output: Output) -> Iterator[Contradiction | Lack]:
    """What was measured at `output` and does not fit, and what cannot be told of.

    The voltage is held against the supply; all else against what that voltage would drive.
    """
    readings = output.measured
    if readings is None:
        return
    if output.circuit is not None and returns_to_rail(output.circuit):
        yield Lack(readings.span, "a meter that shows what flows only half of the time", is_read=True)
        return
    for across in readings.across:
        if len(elements_named([output.circuit, plan.common_circuit], across)) != 1:
            yield Lack(across.name.span, "one lamp or resistor of this name in the circuit", is_read=True)
    if readings.voltage is not None:
        for found in of_voltage(plan, readings.voltage):
            yield found
            if isinstance(found, Contradiction) and found.slip is not None:
                # All else is held against what the voltage was meant to be, or one slip would be two findings.
                output = replace(output, measured=replace(readings, voltage=found.slip.figure))
    if readings.of_parts:
        yield from _of_parts(plan, output)


def of_slip(plan: LightingPlan, readings: Sequence[Reading]) -> tuple[Cause, ...]:
    """The slip that would explain them, if there is one."""
    slip = slip_among(readings, plan.settings.meter)
    return (Cause("slip", None, slip=slip),) if slip is not None else ()


def expected(plan: LightingPlan, output: Output) -> Iterator[Reading]:
    """What was measured at `output` beside what the plan comes to without it, as far as both can be told."""
    if output.measured is None or output.circuit is None or returns_to_rail(output.circuit):
        return
    voltage = output.measured.voltage
    reading = reading_of_voltage(plan, voltage) if voltage is not None else None
    if isinstance(reading, Reading):
        yield reading
    parts = readings_at(plan, output)
    yield from () if isinstance(parts, Lack) else parts


# --- The voltage ------------------------------------------------------------------------------------------------------


def of_voltage(plan: LightingPlan, voltage: Figure) -> Iterator[Contradiction | Lack]:
    """Whether a voltage at the common, or from it to an output, is what the plan comes to."""
    reading = reading_of_voltage(plan, voltage)
    if isinstance(reading, Lack):
        yield reading
    elif not reading.fits:
        track = _track(plan, voltage.usual)
        others = (Cause("track", None, track),) if track is not None else ()
        yield Contradiction((reading,), (*of_slip(plan, [reading]), *others))


def _track(plan: LightingPlan, common: float) -> float | None:
    """Volts on the track that leave `common` at the lamps; None where the track is not what feeds them."""
    decoder = plan.decoder
    if plan.supply.common is not None or decoder is None or decoder.regulated is not None:
        return None
    track = common + decoder.drop.usual
    return track if LOWEST_TRACK <= track <= HIGHEST_TRACK else None


# --- Currents, and what they drop -------------------------------------------------------------------------------------


def _of_parts(plan: LightingPlan, output: Output) -> Iterator[Contradiction | Lack]:
    readings = readings_at(plan, output)
    if isinstance(readings, Lack):
        yield readings
        return
    misfits = tuple(reading for reading in readings if not reading.fits)
    if misfits:
        slip = of_slip(plan, readings)
        few = are_few([output.circuit, plan.common_circuit])
        yield Contradiction(misfits, (*slip, *_causes(plan, output, misfits[0])) if few else slip or None)


def are_few(chains: Iterable[Chain | None]) -> bool:
    """Whether there are so few elements in these circuits that a cause is looked for among them."""
    parts = (part for chain in chains if chain is not None for part in leaves(chain))
    return sum(1 for _ in islice(parts, MOST_PARTS + 1)) <= MOST_PARTS


# --- What would explain them ------------------------------------------------------------------------------------------


def _causes(plan: LightingPlan, output: Output, misfit: Reading) -> Iterator[Cause]:
    chains = [chain for chain in (output.circuit, plan.common_circuit) if chain is not None]
    parts = [part for chain in chains for part in leaves(chain)]
    for part in parts:
        if isinstance(part, Resistor) and misfit.figure.usual:
            yield from other_values(plan, part, partial(_explains, plan, output, part))
    for part in parts:
        if isinstance(part, PlacedLamp):
            yield from _other_lamps(plan, output, part)
    assert output.measured is not None
    if output.measured.voltage is None and measured_common(plan) is None:
        yield from other_track(plan, lambda elsewhere: readings_at(elsewhere, output), misfit)


def other_values(plan: LightingPlan, resistor: Resistor, fits: Callable[[Resistor], bool]) -> Iterator[Cause]:
    """A decade off, or the neighbour in the series, of the same tolerance."""
    resistance, series = resistor.resistance, plan.settings.series
    value = resistance.usual
    if value <= 0:
        return
    near = (next_up(series, value * 1.01), next_down(series, value * 0.99))
    for ohms in (*(times * value for times in DECADES), *near):
        times = ohms / value
        figure = Figure(times * resistance.lowest, ohms, times * resistance.highest)
        if fits(replace(resistor, resistance=figure)):
            yield Cause("resistor", resistor, ohms)


def _other_lamps(plan: LightingPlan, output: Output, placed: PlacedLamp) -> Iterator[Cause]:
    """One of another colour, one that is shorted, one that lets nothing through."""
    colours = [colour for colour in COLOURS if _explains(plan, output, placed, _coloured(placed, colour))]
    if colours:
        yield Cause("colours", placed, colours=tuple(colours))
    if _explains(plan, output, placed, Resistor(placed.span, SHORT, None)):
        yield Cause("shorted", placed)
    if _explains(plan, output, placed, Resistor(placed.span, Figure.exact(inf), None)):
        yield Cause("open", placed)


def _coloured(placed: PlacedLamp, colour: str) -> PlacedLamp:
    """The same LED in another colour; a bulb has none."""
    kind = lamp_kind(placed)
    if not isinstance(kind, Led) or placed.lamp is None:
        return placed
    low, high = FORWARD_VOLTAGE[colour]
    led = replace(kind, forward_voltage=Figure(low, (low + high) / 2, high), test_current=COLOURS_HOLD_AT)
    return replace(placed, lamp=replace(placed.lamp, kind=led))


def _explains(plan: LightingPlan, output: Output, part: LawfulElement, other: LawfulElement) -> bool:
    """Whether all readings fit with `other` in the place of `part`, which is known by identity."""
    own, lead = (
        exchanged(chain, {id(part): other}) if chain is not None else None
        for chain in (output.circuit, plan.common_circuit)
    )
    named = [(other if element is part else element, across) for element, across in named_at(plan, output)]
    readings = readings_at(replace(plan, common_circuit=lead), replace(output, circuit=own), named)
    return not isinstance(readings, Lack) and all(reading.fits for reading in readings)


def other_track(
    plan: LightingPlan, read: Callable[[LightingPlan], tuple[Reading, ...] | Lack], misfit: Reading
) -> Iterator[Cause]:
    """The voltage on the track with which `misfit` is what the plan comes to, if all that is `read` fits there."""
    drop = plan.decoder.drop.usual if plan.decoder is not None else 0.0

    def reading_at(track: float) -> tuple[Reading, ...]:
        supply = Supply(plan.supply.track, Figure.exact(max(track - drop, 0.0)))
        found = read(replace(plan, supply=supply, common_measured=None))
        return () if isinstance(found, Lack) else found

    def usual_at(track: float) -> float:
        same = (each for each in reading_at(track) if each.what == misfit.what and each.element is misfit.element)
        return next((each.expected.usual for each in same), 0.0)

    if _track(plan, HIGHEST_TRACK - drop) is None:
        return
    track = _where(usual_at, misfit.figure.usual)
    if track is not None and all(reading.fits for reading in reading_at(track)):
        yield Cause("track", None, track)


def _where(rising: Callable[[float], float], value: float) -> float | None:
    """Where between the lowest and the highest track voltage what rises with it is `value`."""
    low, high = LOWEST_TRACK, HIGHEST_TRACK
    if not rising(low) <= value <= rising(high):
        return None
    for _ in range(_STEPS):
        middle = (low + high) / 2
        low, high = (middle, high) if rising(middle) < value else (low, middle)
    return high
