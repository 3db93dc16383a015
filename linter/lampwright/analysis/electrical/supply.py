"""The voltage between the common wire and a switched-on output, or between a rail and one, and its weak figures."""

from __future__ import annotations

from collections.abc import Collection

from lampwright.analysis.electrical.facts import Range
from lampwright.analysis.electrical.reading import fits
from lampwright.analysis.electrical.weakness import WeakFact, WeakWhat
from lampwright.model.defaults import DROP
from lampwright.model.lighting import LightingPlan
from lampwright.model.values import Figure
from lampwright.records import dataclass, replace


@dataclass(frozen=True, slots=True)
class CommonSupply:
    """Volts at the lamps, and the weak figures in them. `basis` is what a meter showed there, if that counts."""

    voltage: Range
    weak: tuple[WeakFact, ...]
    basis: Figure | None = None


def common_supply(plan: LightingPlan, on: Collection[str]) -> CommonSupply | str:
    """What feeds the outputs `on` together: what a meter showed at the common, else as `planned_supply`.

    With other outputs on than those it was read with, the decoder drops something else; how much, its drop's own spread
    bounds, by which the reading is widened. A text says what is lacking.
    """
    reading, readings = measured_common(plan), plan.common_measured
    if reading is None or readings is None:
        return planned_supply(plan)
    told, decoder = replace(_from_one("common", reading), basis=reading), plan.decoder
    if set(on) == set(plan.outputs if readings.outputs is None else readings.outputs):
        return told
    if plan.supply.common is not None or decoder is None or decoder.regulated is not None:
        return told
    drop = decoder.drop
    elsewhere = replace(
        reading,
        lowest=max(reading.lowest - (drop.highest - drop.usual), 0.0),
        highest=reading.highest + (drop.usual - drop.lowest),
    )
    weak = _weak(("drop", drop)) if drop.has_spread else ()
    return replace(_from_one("common", elsewhere), weak=weak, basis=elsewhere)


def measured_common(plan: LightingPlan) -> Figure | None:
    """Volts that a meter showed at the common, unless the plan cannot come to them: then one of both is wrong."""
    readings = plan.common_measured
    reading = readings.voltage if readings is not None else None
    if reading is None or reading.usual <= 0:
        return None
    planned = planned_supply(plan)
    return reading if isinstance(planned, str) or fits(reading, planned.voltage) else None


def planned_supply(plan: LightingPlan) -> CommonSupply | str:
    """The common that the plan states; else what the sheet regulates to; else the track less the drop.

    A text says what is lacking, in short plain words.
    """
    decoder, supply = plan.decoder, plan.supply
    if supply.common is not None:
        return _from_one("common", supply.common)
    if decoder is None:
        return "a readable decoder sheet"
    if not decoder.common_is_readable:
        return "a readable common voltage of the decoder"
    if decoder.regulated is not None:
        return _from_one("regulated", decoder.regulated)
    if supply.track is None:
        return "a readable supply voltage"
    return _behind_drop(supply.track, decoder.drop, 1.0)


def rail_supply(plan: LightingPlan) -> CommonSupply | str:
    """While it conducts: the track less half of the drop, for one of the two rectifier diodes is in the way.

    The rail is not behind a regulator, and what was measured at the common says nothing of it. Else as
    `planned_supply`.
    """
    decoder, supply = plan.decoder, plan.supply
    if decoder is None:
        return "a readable decoder sheet"
    if not decoder.common_is_readable:
        return "a readable common voltage of the decoder"
    if supply.track is None:
        return "the track voltage, for a lamp that returns to a rail"
    return _behind_drop(supply.track, decoder.drop if decoder.regulated is None else DROP, 0.5)


def _from_one(what: WeakWhat, figure: Figure) -> CommonSupply:
    return CommonSupply(Range(figure.lowest, figure.usual, figure.highest), _weak((what, figure)))


def _behind_drop(track: Figure, drop: Figure, share: float) -> CommonSupply:
    """The least drop belongs to the highest voltage. A drop above the track leaves nothing, not less than nothing."""
    voltage = Range(
        max(track.lowest - share * drop.highest, 0.0),
        max(track.usual - share * drop.usual, 0.0),
        max(track.highest - share * drop.lowest, 0.0),
    )
    return CommonSupply(voltage, _weak(("track", track), ("drop", drop)))


def _weak(*named: tuple[WeakWhat, Figure]) -> tuple[WeakFact, ...]:
    return tuple(WeakFact(what, figure) for what, figure in named if figure.origin.is_weak)
