"""Which standard plug a plan's decoder has: the sheet says so, else the vehicle. Knows no currents."""

from __future__ import annotations

from lampwright.model.interfaces import INTERFACES, Interface
from lampwright.model.lighting import LightingPlan
from lampwright.records import dataclass
from lampwright.text import Span


@dataclass(frozen=True, slots=True)
class Plug:
    """A plug by its standard's name, what that says of it, and where it is stated."""

    name: str
    span: Span
    interface: Interface


def stated_plug(plan: LightingPlan) -> Plug | None:
    """The plug that the sheet states, else that of the vehicle's socket; None where neither does."""
    stated = (plan.decoder.interface if plan.decoder is not None else None) or plan.vehicle.socket
    return Plug(stated.text, stated.span, INTERFACES[stated.text]) if stated is not None else None


def plug_is_readable(plan: LightingPlan) -> bool:
    """Whether nothing that could state another plug was dropped with a problem."""
    if plan.decoder is None or "interface" in plan.decoder.unreadable:
        return False
    return plan.decoder.interface is not None or "socket" not in plan.vehicle.unreadable
