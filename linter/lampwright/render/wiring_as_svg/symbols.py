"""The symbols of IEC 60617 as schemdraw draws them, as SVG shapes between (0, 0) and (WIDTH, 0).

Schemdraw is imported when the first symbol is drawn: a check of plans draws none.
"""

from __future__ import annotations

from functools import cache
from xml.etree import ElementTree as ET

WIDTH = 108.0
"""Of a symbol with both its leads, in the units of the picture."""

BODY = (36.0, 72.0)
"""Where the body of a resistor begins and ends."""

_GEOMETRY = ("d", "points", "cx", "cy", "r", "x", "y", "width", "height")


def shapes(kind: str) -> list[ET.Element]:
    """The shapes of a symbol, without a style but whether they are filled."""
    return [ET.Element(tag, dict(attributes)) for tag, attributes in _drawn(kind)]


@cache
def _drawn(kind: str) -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
    import schemdraw
    from schemdraw import elements

    schemdraw.use("svg")
    symbols = {
        "led": elements.LED,
        "bulb": elements.Lamp,
        "resistor": elements.ResistorIEC,
        "diode": elements.Diode,
        "regulator": elements.SourceI,
    }
    symbol = symbols.get(kind, elements.RBox)
    drawing = schemdraw.Drawing(show=False)
    drawing.add(symbol().right())  # type: ignore[no-untyped-call]
    root = ET.fromstring(drawing.get_imagedata("svg"))  # noqa: S314  # what the library itself has drawn
    return tuple((each.tag.rpartition("}")[2], tuple(_attributes(each))) for each in root)


def _attributes(shape: ET.Element) -> list[tuple[str, str]]:
    kept = [(name, shape.attrib[name]) for name in _GEOMETRY if name in shape.attrib]
    is_filled = "fill:black" in shape.get("style", "")
    return [*kept, ("fill", "currentColor" if is_filled else "none")]
