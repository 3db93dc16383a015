"""The figures of a plan as one JSON object, in the form that the plan language's page promises to programs."""

from __future__ import annotations

from math import isfinite
from typing import Any

from lampwright.account.figures import ElementFigures, Limit, OutputFigures, PlanFigures, ReadingFigures
from lampwright.account.objects import written
from lampwright.analysis.electrical.facts import Range
from lampwright.analysis.together import Together


def render_figures_json(name: str, figures: PlanFigures) -> str:
    """The figures of the plan in file `name`, in SI, with a line end. What is unlimited or unknown is null."""
    document = {
        "format": 1,
        "plan": name,
        "outputs": {output: _output(each) for output, each in figures.outputs.items()},
        **({"common": _output(figures.common)} if figures.common is not None else {}),
        "worst-state": _together(figures.together),
    }
    return f"{written(document, indent=2)}\n"


def _output(figures: OutputFigures) -> dict[str, Any]:
    return {
        "current": _range(figures.current) if figures.current is not None else None,
        "elements": [_element(element) for element in figures.elements],
        **({"measured": [_reading(figures, each) for each in figures.readings]} if figures.readings else {}),
        **_limit(figures.limit),
        **({"lacks": figures.lacks} if figures.lacks is not None else {}),
    }


def _reading(figures: OutputFigures, reading: ReadingFigures) -> dict[str, Any]:
    """A reading with its meter's tolerance; `path` is that of the element in this output's circuit."""
    facts = (each.facts for each in figures.elements)
    return {
        "what": reading.what,
        "path": next((each.path for each in facts if reading.place is not None and each.span == reading.place), None),
        "name": reading.name,
        **({"outputs": list(reading.together)} if reading.together else {}),
        "reading": _range(reading.measured),
        "computed": _range(reading.computed) if reading.computed is not None else None,
    }


def _element(figures: ElementFigures) -> dict[str, Any]:
    facts = figures.facts
    return {
        "path": facts.path,
        "kind": figures.kind,
        "name": figures.name,
        "current": _range(facts.current),
        "voltage": _range(facts.voltage),
        "power": _range(facts.power),
        **({"share-of-time": facts.share_of_time} if facts.share_of_time < 1 else {}),
        **_limit(figures.limit),
        **(
            {
                "light": figures.light,
                "life": figures.life if figures.life is not None and isfinite(figures.life) else None,
            }
            if figures.light is not None
            else {}
        ),
    }


def _limit(limit: Limit | None) -> dict[str, Any]:
    if limit is None:
        return {}
    return {"limit": limit.value, "share-of-limit": limit.share if isfinite(limit.share) else None}


def _finite(value: float | None) -> float | None:
    return value if value is not None and isfinite(value) else None


def _range(figures: Range) -> dict[str, float | None]:
    ends = {"lowest": figures.lowest, "usual": figures.usual, "highest": figures.highest}
    return {end: _finite(value) for end, value in ends.items()}


def _together(together: Together | str) -> dict[str, Any] | None:
    if isinstance(together, str):
        return None
    state, current = together.state, together.current.highest
    return {
        "keys": list(state.keys) if state is not None else None,
        "direction": ("forward" if state.forward else "reverse") if state is not None else None,
        "moving": state.moving if state is not None else None,
        "current": current if isfinite(current) else None,
        "outputs": list(together.outputs),
    }
