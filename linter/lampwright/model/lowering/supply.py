"""What feeds the lamps: the plan's supply, else the settings', else the normal one of the scale."""

from __future__ import annotations

from lampwright.model.defaults import NORMAL_TRACK_VOLTAGE, SUPPLY_SPREAD
from lampwright.model.lighting import Supply
from lampwright.model.lowering.names import Notes
from lampwright.model.lowering.values import spread_figure
from lampwright.model.settings import Settings
from lampwright.model.values import Figure, Origin
from lampwright.plan.lighting import LightingPlan
from lampwright.plan.settings import Settings as WrittenSettings

UNREADABLE = Supply(None, None)
"""What is said of the supply was dropped with a problem, or nothing is known of it at all."""


def plan_supply(shape: LightingPlan, settings: Settings, notes: Notes) -> Supply:
    """The supply of a plan."""
    stated = stated_supply(shape, notes)
    if stated is not None:
        return stated
    if not settings.supply_is_readable:
        return UNREADABLE
    if settings.track is not None or settings.common is not None:
        return Supply(settings.track, settings.common)
    return Supply(_normal_voltage(shape), None)


def stated_supply(shape: LightingPlan | WrittenSettings, notes: Notes) -> Supply | None:
    """What a file says of the supply, None if nothing."""
    if not shape.says("supply"):
        return None
    supply = shape.supply
    if supply is None:
        return UNREADABLE
    track, common = spread_figure(supply.track, notes), spread_figure(supply.common, notes)
    if (track is None and supply.says("track")) or (common is None and supply.says("common")):
        return UNREADABLE
    return None if track is None and common is None else Supply(track, common)


def _normal_voltage(shape: LightingPlan) -> Figure | None:
    scale = shape.vehicle.scale if shape.vehicle is not None else None
    if scale is None:
        return None
    normal = NORMAL_TRACK_VOLTAGE[scale.text]
    return Figure(normal * (1 - SUPPLY_SPREAD), normal, normal * (1 + SUPPLY_SPREAD), scale.span, Origin.PRACTICE)
