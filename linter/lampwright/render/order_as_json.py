"""An order as one JSON object, for programs; the help of the command says what it holds."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from lampwright.account.objects import written
from lampwright.account.orders import Instead, LeftOut, OrderList
from lampwright.account.parts import kind_word, part_bands, part_name
from lampwright.analysis.needs import Part
from lampwright.analysis.ordering import Line, Spares


def render_order_json(listed: OrderList) -> str:
    """The order, in SI, with a line end."""
    order, suggestions = listed.order, listed.suggestions
    document = {
        "format": 1,
        "spares": _spares(order.spares),
        "plans": [{"plan": each.plan, "vehicle": each.vehicle} for each in order.demands],
        "left-out": [_left_out(each) for each in listed.left_out],
        "unsure": [{"plan": plan, "places": places} for plan, places in listed.unsure],
        "lines": [_line(line) for line in order.lines],
        "suggestions": [_instead(each) for each in suggestions.found],
        "not-tried": suggestions.untried,
    }
    return f"{written(document, indent=2)}\n"


def _spares(spares: Spares) -> dict[str, Any]:
    return {"share": float(spares.share), "number": spares.number}


def _left_out(left_out: LeftOut) -> dict[str, Any]:
    return {"plan": left_out.plan, "errors": left_out.errors}


def _line(line: Line) -> dict[str, Any]:
    return {
        **_part(line.part),
        "needed": line.quantity,
        "spare": line.spares,
        "in-stock": line.stock,
        "from-stock": line.from_stock,
        "missing": line.missing,
        "pack": line.pack,
        "packs": line.packs,
        "buy": line.buy,
        "plans": [{"plan": plan, "needed": count} for plan, count in line.plans],
    }


def _part(part: Part) -> dict[str, Any]:
    """What it is, what it is called, and its figures by the names that plans have for them."""
    data = {field.name.replace("_", "-"): _figure(getattr(part, field.name)) for field in fields(part)}
    catalogue = data.pop("catalogue", None)
    own = data.pop("name", None)
    return {
        "kind": kind_word(part),
        "part": part_name(part),
        "name": own,
        "catalogue": catalogue,
        "data": data,
        "colour-bands": list(part_bands(part)),
    }


def _figure(value: Any) -> Any:
    return dict(zip(("lowest", "usual", "highest"), value, strict=True)) if isinstance(value, tuple) else value


def _instead(instead: Instead) -> dict[str, Any]:
    return {
        "use": _part(instead.part),
        "instead-of": _part(instead.instead_of),
        "from-stock": instead.is_from_stock,
        "places": instead.places,
        "plans": list(instead.plans),
        "current": dict(zip(("lowest", "highest"), instead.current, strict=True)),
        "saves": {"kinds": instead.kinds, "pieces": instead.pieces},
    }
