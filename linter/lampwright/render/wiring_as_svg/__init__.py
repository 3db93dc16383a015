"""What hangs on each output, as a picture: from the common through its elements to the wire of the decoder.

Says nothing of what flows. A picture asks for nothing else, has no ids, and its names are escaped, so that many of them
may stand in one page; every element is a group that says in `data-` attributes what it is and where it stands.
"""

from __future__ import annotations

from collections.abc import Mapping
from xml.etree import ElementTree as ET

from lampwright.harmless import visible
from lampwright.model.circuit import Chain, leaves
from lampwright.model.lighting import LightingPlan, Output
from lampwright.render.wiring_as_svg.labels import Ends, ends_of_common, ends_of_output
from lampwright.render.wiring_as_svg.layout import laid_out
from lampwright.render.wiring_as_svg.paper import MARGIN, Paper

COMMON_LEAD = "common lead"


def wiring_pictures(plan: LightingPlan) -> Mapping[str, str]:
    """An SVG for each output with something on it that can be read, by name; before them one for the common lead."""
    pictures: dict[str, str] = {}
    lead = plan.common_circuit
    if lead is not None and lead.elements:
        pictures[COMMON_LEAD] = _picture(lead, ends_of_common(plan), COMMON_LEAD, plan)
    for output in plan.outputs.values():
        if output.circuit is not None and not output.is_empty:
            pictures[output.name] = _picture(output.circuit, ends_of_output(plan, output), _title(output), plan)
    return pictures


def _title(output: Output) -> str:
    return f"output {output.name}"


def _picture(circuit: Chain, ends: Ends, title: str, plan: LightingPlan) -> str:
    shell = plan.vehicle.shell
    has_sleeves = circuit.rail_span is not None or (shell is not None and shell.text == "metal")
    box = laid_out(circuit, ends, has_sleeves=has_sleeves)
    picture = ET.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "class": "wiring",
            "role": "img",
            "viewBox": f"0 0 {box.width + 2 * MARGIN:g} {box.height + 2 * MARGIN:g}",
            "width": f"{box.width + 2 * MARGIN:g}",
            "height": f"{box.height + 2 * MARGIN:g}",
            "font-family": "sans-serif",
            "font-size": "11",
        },
    )
    ET.SubElement(picture, "title").text = visible(f"Wiring of the {title}")
    number = sum(1 for _ in leaves(circuit))
    described = f"{number} element{'s' if number != 1 else ''} between {ends.left.words} and {ends.right.words}"
    ET.SubElement(picture, "desc").text = visible(described)
    box.draw(Paper(picture), MARGIN, MARGIN)
    return ET.tostring(picture, "unicode")
