"""Under what a figure was computed, in words: the supply, its spread, and the facts that a verdict may not lean on.

What an electrical finding says behind its two figures, and how high its level may be.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from lampwright.analysis.electrical.facts import Basis
from lampwright.analysis.electrical.weakness import WeakFact
from lampwright.analysis.logic.looks import Lack
from lampwright.analysis.logic.questions import State
from lampwright.diagnostics import Severity
from lampwright.model.lighting import LightingPlan
from lampwright.model.values import Figure, Origin
from lampwright.rule.phrases import listed
from lampwright.units import Dimension, say


def at_supply(plan: LightingPlan, corner: str, basis: Basis | None = None) -> str:
    """`at your 14.5 V`, or `at 16 V` of a supply with a spread; `corner` is "lowest", "usual" or "highest".

    `basis` is what was measured where the figure is of.
    """
    supply, decoder = plan.supply, plan.decoder
    if isinstance(basis, str):
        return _BY_CURRENT[basis]
    if basis is not None:
        return f"{_at(basis, corner)}, as measured between common and output"
    if supply.common is not None:
        return f"{_at(supply.common, corner)} between common and output"
    if decoder is not None and decoder.regulated is not None:
        return f"{_at(decoder.regulated, corner)} of the regulated common"
    return f"{_at(supply.track, corner)} on the track" if supply.track is not None else ""


_BY_CURRENT = {
    "current": "by the current that was measured",
    "lead": "by the current that was measured in the common lead",
    "bounded": "within what the current that was measured in the common lead leaves open",
}


def at_supply_or_measured(
    plan: LightingPlan, corner: str, names: Iterable[str] | None = None, basis: Basis | None = None
) -> str:
    """The same of several outputs, or of all of them, of which some may have been measured."""
    if isinstance(basis, str):
        return at_supply(plan, corner, basis)
    outputs = [plan.outputs[name] for name in (plan.outputs if names is None else names)]
    is_measured = any(output.measured is not None for output in outputs)
    return at_supply(plan, corner, basis) + (", or as measured at each output" if is_measured else "")


def _at(figure: Figure, corner: str) -> str:
    # With the digits that the installer wrote, who measured them.
    value = say(getattr(figure, corner), Dimension.VOLTAGE, 5)
    is_single = not figure.has_spread and figure.origin is Origin.STATED
    return f"at your {value}" if is_single else f"at {value}"


def ceiling(weak: Sequence[WeakFact]) -> Severity | None:
    """The highest level of a verdict that hangs on these facts."""
    return Severity.WARNING if weak else None


def caveat(weak: Sequence[WeakFact], corner: str = "highest") -> str:
    """`; hangs on a drop of 0.6 V (from memory)`, or nothing if all figures are stated."""
    said = dict.fromkeys(_weak(fact, corner) for fact in weak)
    return f"; this hangs on {listed(list(said))}" if said else ""


def _weak(fact: WeakFact, corner: str) -> str:
    # What drops least is hottest: the drop of the hot corner is its lowest, the track voltage its highest.
    against = {"highest": "lowest", "lowest": "highest"}.get(corner, "usual")
    value = getattr(fact.figure, corner if fact.what in ("track", "common", "regulated") else against)
    what = {
        "track": "the normal track voltage of the scale with 10 % either way",
        "drop": f"a decoder drop of {say(value, Dimension.VOLTAGE)}",
        "forward-voltage": f"a forward voltage of {say(value, Dimension.VOLTAGE)} for this colour",
        "board": "a lighting board that is taken as a plain resistance",
    }.get(fact.what, f"the {fact.what}")
    return f"{what} ({fact.figure.origin.value})"


TOO_LONG = "an answer within the time for one question"
"""What a plan lacks whose conditions are too hard."""


def lacking(lack: Lack) -> str:
    """What the plan lacks where nothing can be told of a look."""
    return TOO_LONG if lack is Lack.TIME else "entries and looks that can all be read"


def in_state(state: State) -> str:
    """`with F0 and F3 on, forward`; standing or moving is left out where standing will do."""
    keys = f"with {listed(state.keys)} on, " if state.keys else "with all keys off, "
    return keys + ("forward" if state.forward else "reverse") + (", moving" if state.moving else "")


def state_data(state: State) -> dict[str, object]:
    """A state as it stands in the JSON output."""
    direction = "forward" if state.forward else "reverse"
    return {"keys": list(state.keys), "direction": direction, "moving": state.moving}
