"""What is drawn on: wires, words and groups, added to an SVG in the order in which they are drawn."""

from __future__ import annotations

from collections.abc import Iterable
from xml.etree import ElementTree as ET

from lampwright.harmless import visible
from lampwright.records import dataclass

MARGIN = 6.0
_INK = "#111"


@dataclass(frozen=True, slots=True)
class Paper:
    """A picture that is being drawn."""

    picture: ET.Element

    def wire(self, *points: tuple[float, float], colour: str | None = None) -> None:
        """A wire through `points`; in a colour it has dark edges, so that a white one shows on white paper."""
        path = " ".join(f"{x:g},{y:g}" for x, y in points)
        line = {"points": path, "fill": "none", "stroke-linejoin": "round"}
        if colour is None:
            ET.SubElement(self.picture, "polyline", {"class": "wire", **line, "stroke": _INK, "stroke-width": "2"})
            return
        ET.SubElement(self.picture, "polyline", {"class": "edge", **line, "stroke": _INK, "stroke-width": "6"})
        ET.SubElement(self.picture, "polyline", {"class": "wire", **line, "stroke": colour, "stroke-width": "4"})

    def joint(self, x: float, y: float) -> None:
        """A dot where wires meet."""
        ET.SubElement(
            self.picture, "circle", {"class": "joint", "cx": f"{x:g}", "cy": f"{y:g}", "r": "3", "fill": _INK}
        )

    def words(
        self, x: float, y: float, text: str, *, anchor: str = "middle", size: float = 11, weight: str = "normal"
    ) -> None:
        """A line of text with its base line at `y`."""
        line = {"x": f"{x:g}", "y": f"{y:g}", "text-anchor": anchor, "font-size": f"{size:g}", "font-weight": weight}
        # A name in a script that runs from right to left must not turn the rest of the picture round.
        ET.SubElement(self.picture, "text", {**line, "style": "unicode-bidi:isolate"}).text = visible(text)

    def sign(self, x: float, y: float, sign: str) -> None:
        """A sign of polarity, thin enough to be read."""
        place = {
            "x": f"{x:g}",
            "y": f"{y:g}",
            "text-anchor": "middle",
            "font-size": "13",
            "stroke": "none",
            "fill": _INK,
        }
        ET.SubElement(self.picture, "text", {"class": "polarity", **place}).text = sign

    def group(self, x: float, y: float, about: dict[str, str], title: str, shapes: Iterable[ET.Element]) -> Paper:
        """A group of shapes with its own origin; more can be drawn in it."""
        place = {"transform": f"translate({x:g} {y:g})", "stroke": _INK, "color": _INK, "stroke-width": "2"}
        group = ET.SubElement(self.picture, "g", {"class": "element", **place, **about})
        ET.SubElement(group, "title").text = visible(title)
        group.extend(shapes)
        return Paper(group)

    def box(self, x: float, y: float, width: float, height: float, **style: str) -> None:
        """A rectangle."""
        place = {"x": f"{x:g}", "y": f"{y:g}", "width": f"{width:g}", "height": f"{height:g}"}
        ET.SubElement(self.picture, "rect", {**place, **{key.replace("_", "-"): text for key, text in style.items()}})
