"""How much of its rating a resistor stands in the warmth of a shell."""

from __future__ import annotations

from lampwright.model.lighting import LightingPlan

FULL_UP_TO, NOTHING_AT = 70.0, 155.0
"""Degrees Celsius: film and chip resistors stand their rating up to the first, and from there on less in a straight
line down to nothing at the second (data sheets of both kinds, read)."""

LEAST = 1e-3
"""Of its rating that is left to compute with where nothing is."""


def derating(inside: float) -> float:
    """The share of its rating that a resistor stands at `inside` degrees Celsius."""
    left = (NOTHING_AT - inside) / (NOTHING_AT - FULL_UP_TO)
    return min(max(left, LEAST), 1.0)


def temperature_inside(plan: LightingPlan) -> float:
    """Degrees Celsius in the shell: the vehicle's, else the club's, else what is usual."""
    inside = plan.vehicle.inside or plan.settings.inside
    return inside.usual
