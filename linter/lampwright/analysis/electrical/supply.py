"""The voltage between the common wire and a switched-on output, or between a rail and one, and its weak figures."""

from __future__ import annotations

from lampwright.analysis.electrical.facts import Range
from lampwright.analysis.electrical.weakness import WeakFact, WeakWhat
from lampwright.model.defaults import DROP
from lampwright.model.lighting import LightingPlan
from lampwright.model.values import Figure
from lampwright.records import dataclass


@dataclass(frozen=True, slots=True)
class CommonSupply:
    """Volts at the lamps, and the weak figures in them."""

    voltage: Range
    weak: tuple[WeakFact, ...]


def common_supply(plan: LightingPlan) -> CommonSupply | str:
    """What the plan measured; else what the sheet regulates to; else the track less the drop.

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

    The rail is not behind a regulator, and what was measured at the common says nothing of it. Else as `common_supply`.
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
