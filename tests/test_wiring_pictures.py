"""A picture of a circuit is read back: elements, order, labels, and by its wires what hangs on what."""

from __future__ import annotations

import time
from collections import defaultdict
from dataclasses import replace
from itertools import pairwise
from random import Random
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analysis.circuits import Maker, bulb, chain, driver, led, parallel, plan, resistor, to_rail
from lampwright.harmless import visible
from lampwright.model.circuit import Chain, Parallel, PlacedLamp, leaves
from lampwright.model.values import Name
from lampwright.model.vehicle import Vehicle
from lampwright.render.wiring_as_svg import wiring_pictures
from lampwright.render.wiring_as_svg.symbols import WIDTH
from networks_read_back import effective_resistance, folded_resistance

SEEDS = st.integers(min_value=0, max_value=10**9)
SVG = "{http://www.w3.org/2000/svg}"


def picture(circuit: Chain, **changes: object) -> ET.Element:
    made = replace(plan({"white": circuit}, common=14.0), **changes)
    return ET.fromstring(wiring_pictures(made)["white"])


def elements(svg: ET.Element) -> list[ET.Element]:
    return [group for group in svg.iter(f"{SVG}g") if group.get("class") == "element"]


def place_of(group: ET.Element) -> tuple[float, float]:
    x, y = group.get("transform", "").removeprefix("translate(").removesuffix(")").split()
    return float(x), float(y)


def texts(svg: ET.Element) -> list[str]:
    return [each.text or "" for each in svg.iter(f"{SVG}text")]


class Wires:
    """Which points of a picture its wires join."""

    def __init__(self, svg: ET.Element) -> None:
        self.above: dict[tuple[float, float], tuple[float, float]] = {}
        self.ends: list[tuple[float, float]] = []
        for line in svg.iter(f"{SVG}polyline"):
            points = [
                tuple(round(float(each), 3) for each in point.split(",")) for point in line.get("points", "").split()
            ]
            for one, other in pairwise(points):
                self.above[self.root(one)] = self.root(other)
            self.ends += points

    def root(self, point):
        point = (round(point[0], 3), round(point[1], 3))
        while self.above.get(point, point) != point:
            point = self.above[point]
        return point


def resistance_of_picture(svg: ET.Element, ohms: list[float]) -> float:
    """Between the ends of the picture, by its wires, if its elements had these resistances."""
    wires = Wires(svg)
    branches = []
    for group in elements(svg):
        x, y = place_of(group)
        branches.append((wires.root((x, y)), wires.root((x + WIDTH, y)), ohms[int(group.get("data-number", ""))]))
    return effective_resistance(branches, wires.root(min(wires.ends)), wires.root(max(wires.ends)))


@given(SEEDS)
@settings(max_examples=60, deadline=None)
def test_by_its_wires_a_picture_is_the_circuit(seed):
    circuit = Maker(Random(seed)).circuit(3, 4)
    random = Random(seed)
    ohms = [10 ** random.uniform(0, 3) for _ in leaves(circuit)]
    svg = picture(circuit)
    assert len(elements(svg)) == len(ohms)
    assert resistance_of_picture(svg, ohms) == pytest.approx(folded_resistance(circuit, ohms), rel=1e-6)


@given(SEEDS)
@settings(max_examples=60, deadline=None)
def test_the_elements_are_those_of_the_circuit_in_their_order(seed):
    circuit = Maker(Random(seed)).circuit(3, 4)
    found = sorted(elements(picture(circuit)), key=lambda group: int(group.get("data-number", "")))
    kinds = {"Resistor": "resistor", "Diode": "diode", "Regulator": "regulator", "Board": "board", "Driver": "driver"}
    for group, element in zip(found, leaves(circuit), strict=True):
        title = group.findtext(f"{SVG}title") or ""
        if isinstance(element, PlacedLamp):
            assert group.get("data-kind") == type(element.lamp.kind).__name__.lower()
            assert title.startswith(element.name)
        else:
            assert group.get("data-kind") == kinds[type(element).__name__]
    assert [group.get("data-path") for group in found] == list(paths(circuit))


def paths(circuit: Chain, before: str = ""):
    for place, element in enumerate(circuit.elements):
        path = f"{before}{place}"
        match element:
            case Chain():
                yield from paths(element, f"{path}.series.")
            case Parallel(branches=branches):
                for number, branch in enumerate(branches):
                    yield from paths(branch, f"{path}.parallel.{number}.")
            case _:
                yield path


@given(SEEDS)
@settings(max_examples=60, deadline=None)
def test_nothing_lies_on_another_thing(seed):
    places = [place_of(group) for group in elements(picture(Maker(Random(seed)).circuit(3, 4)))]
    rows = defaultdict(list)
    for x, y in places:
        rows[y].append(x)
    for row in rows.values():
        row.sort()
        assert all(after - before >= WIDTH for before, after in pairwise(row))
    heights = sorted(rows)
    near = [(above, below) for above in heights for below in heights if 0 < below - above < 60]
    # Rows that are closer than an element is high have nothing above each other.
    assert all(abs(x - other) >= WIDTH for above, below in near for x in rows[above] for other in rows[below])


@given(SEEDS)
@settings(max_examples=40, deadline=None)
def test_no_words_run_into_the_next_element(seed):
    """By the width of a usual sans-serif: a bold letter takes 0.64 of its size, a plain one 0.55."""
    for line in picture(Maker(Random(seed)).circuit(3, 4)).iter(f"{SVG}text"):
        if line.get("text-anchor") == "middle" and line.get("class") is None:
            letter = float(line.get("font-size", "")) * (0.64 if line.get("font-weight") == "bold" else 0.55)
            assert len(line.text or "") * letter <= WIDTH + 12, line.text


def test_long_captions_are_wrapped():
    long_name = "the left number board of the rear end"
    svg = picture(chain(resistor(1500.0, 0.05), led(2.0, long_name, backwards=True)))
    assert [text for text in texts(svg) if "put in" in text or "feed" in text] == ["LED, put in", "against the feed"]
    assert "the left number" in texts(svg)
    assert (elements(svg)[1].findtext(f"{SVG}title") or "").startswith(long_name)


class TestWhatIsShown:
    def test_polarity(self):
        svg = picture(chain(resistor(1000.0), led(2.0, "marker lamp"), led(2.0, "wrong one", backwards=True)))
        right, wrong = [group for group in elements(svg) if group.get("data-kind") == "led"]
        assert wrong.get("data-reversed") == "yes"
        assert right.get("data-reversed") is None
        for group, begins_with in ((right, "+"), (wrong, "\N{MINUS SIGN}")):
            signs = sorted(group.iter(f"{SVG}text"), key=lambda sign: float(sign.get("x", "")))
            assert signs[0].text == begins_with
        assert [each.get("transform") for each in right.iter(f"{SVG}polygon")] == [None]
        assert [each.get("transform") for each in wrong.iter(f"{SVG}polygon")] == [f"matrix(-1 0 0 1 {WIDTH:g} 0)"]

    def test_the_left_end_of_an_led_symbol_is_its_anode(self):
        """The triangle of the symbol points from the anode to the cathode, to the right."""
        (group,) = elements(picture(chain(led(2.0))))
        (triangle,) = group.iter(f"{SVG}polygon")
        points = [float(point.split(",")[0]) for point in triangle.get("points", "").split()]
        assert sorted(points)[:2] == [min(points)] * 2
        assert points.count(max(points)) == 1

    def test_bands(self):
        """1.5 kohm 5 % is brown, green, red, gold (IEC 60062)."""
        svg = picture(chain(resistor(1500.0, 0.05), led(2.0)))
        assert "brown green red gold" in texts(svg)
        (group,) = [each for each in elements(svg) if each.get("data-kind") == "resistor"]
        bands = [each.get("fill") for each in group.iter(f"{SVG}rect")]
        assert bands == ["#843", "#2a4", "#d22", "#c9a227"]

    def test_the_wires_have_their_colours_and_their_names(self):
        svg = picture(chain(resistor(1000.0), led(2.0)))
        colours = [line.get("stroke") for line in svg.iter(f"{SVG}polyline") if line.get("stroke-width") == "4"]
        assert colours == ["#26d", "#fff"]
        assert {"common +, blue wire", "white wire"} <= set(texts(svg))

    def test_what_has_no_colour_gets_none(self):
        made = plan({"aux3": chain(resistor(1000.0), led(2.0))}, common=14.0)
        svg = ET.fromstring(wiring_pictures(made)["aux3"])
        assert [line.get("stroke") for line in svg.iter(f"{SVG}polyline") if line.get("stroke-width") == "4"] == [
            "#26d"
        ]
        assert "aux3" in texts(svg)

    def test_the_common_lead_has_a_picture_of_its_own(self):
        made = plan({"white": chain(led(2.0))}, common=14.0, lead=chain(resistor(100.0)))
        pictures = wiring_pictures(made)
        assert list(pictures) == ["common lead", "white"]
        assert "the common lead +" in " ".join(texts(ET.fromstring(pictures["white"])))
        assert "1 output, side by" not in texts(ET.fromstring(pictures["common lead"]))

    def test_what_returns_to_a_rail(self):
        svg = picture(to_rail(chain(resistor(1000.0), led(2.0))))
        assert any("rail" in text for text in texts(svg))
        assert "sleeves on both leads" in texts(svg)

    @pytest.mark.parametrize("nested", [False, True])
    def test_so_are_those_of_a_branch_to_a_rail_and_no_others(self, nested):
        to_wheels = to_rail(chain(resistor(2000.0), led(2.0, "tail lamp")))
        inner = chain(parallel(chain(bulb(12.0, 0.04, "step lamp")), to_wheels)) if nested else to_wheels
        svg = picture(chain(parallel(chain(resistor(1000.0), led(2.0, "cab lamp")), inner), led(2.0, "last lamp")))
        sleeved = [
            each for each in elements(svg) if any(box.get("stroke-dasharray") for box in each.iter(f"{SVG}rect"))
        ]
        assert [each.findtext(f"{SVG}title", "").split(",")[0] for each in sleeved] == ["tail lamp"]
        assert texts(svg).count("sleeves on both leads") == 1

    @pytest.mark.parametrize(("shell", "sleeves"), [("metal", 2), ("plastic", 0), ("resin", 0), (None, 0)])
    def test_the_leads_of_lamps_are_insulated_in_a_metal_shell(self, shell, sleeves):
        circuit = chain(resistor(1000.0), bulb(12.0, 0.04))
        vehicle = Vehicle(shell=Name(shell, circuit.span) if shell else None)
        (lamp,) = [each for each in elements(picture(circuit, vehicle=vehicle)) if each.get("data-kind") == "bulb"]
        assert len([each for each in lamp.iter(f"{SVG}rect") if each.get("stroke-dasharray")]) == sleeves

    def test_a_branch_to_a_rail_does_not_hang_on_the_common(self):
        svg = picture(chain(parallel(chain(resistor(1000.0), led(2.0)), to_rail(chain(resistor(2000.0), led(2.0))))))
        wires = Wires(svg)
        left = wires.root(min(wires.ends))
        fed = {int(each.get("data-number", "")) for each in elements(svg) if wires.root(place_of(each)) == left}
        assert fed == {0}
        assert "from a rail" in texts(svg)

    def test_outputs_with_nothing_on_them_have_no_picture(self):
        assert wiring_pictures(plan({"white": chain()}, common=14.0)) == {}

    def test_drivers_and_lamps_of_which_nothing_is_known(self):
        unknown = PlacedLamp(led(2.0).span, "ghost", None)
        svg = picture(chain(driver(), unknown))
        assert [each.get("data-kind") for each in elements(svg)] == ["driver", "unreadable"]
        assert "nothing known" in texts(svg)


NAMES = [
    "<script>alert(1)</script>",
    "a & b \"c\" 'd'",
    "\u202eright to left",
    "\u0645\u0635\u0628\u0627\u062d",
    "\U0001f682",
    "\x00\x1b[31m",
    "]]>",
    "x" * 500,
    "",
]


@pytest.mark.parametrize("name", NAMES)
def test_no_name_does_harm(name):
    lamp = led(2.0, name)
    made = plan({name or "white": chain(resistor(1000.0), lamp)}, common=14.0)
    (text,) = wiring_pictures(made).values()
    svg = ET.fromstring(text)
    tags = {each.tag.removeprefix(SVG) for each in svg.iter()}
    assert tags <= {"svg", "title", "desc", "g", "polyline", "polygon", "path", "circle", "rect", "text"}
    titles = [each.findtext(f"{SVG}title") for each in elements(svg)]
    assert titles[1] == visible(f"{name}, LED")
    assert "\u202e" not in text


def test_a_picture_asks_for_nothing_and_has_no_ids():
    (text,) = wiring_pictures(plan({"white": Maker(Random(1)).circuit(3, 4)}, common=14.0)).values()
    svg = ET.fromstring(text)
    allowed = {"http://www.w3.org/2000/svg"}
    assert [part for part in text.split('"') if "://" in part and part not in allowed] == []
    assert all("id" not in each.attrib and "href" not in each.attrib for each in svg.iter())
    assert svg.get("role") == "img"
    assert svg.findtext(f"{SVG}title") == "Wiring of the output white"


def test_it_is_the_same_each_time():
    made = plan({"white": Maker(Random(2)).circuit(3, 4)}, common=14.0)
    assert wiring_pictures(made) == wiring_pictures(made)


def test_a_large_circuit_is_drawn_in_rows_and_in_time():
    many = chain(*(part for number in range(125) for part in (resistor(100.0 + number), led(2.0, f"lamp {number}"))))
    begin = time.perf_counter()
    svg = picture(many)
    assert time.perf_counter() - begin < 2.0
    assert len(elements(svg)) == 250
    assert float(svg.get("width", "")) < 1100
    assert len({y for _, y in map(place_of, elements(svg))}) > 20


def test_a_link_of_zero_ohm_is_a_resistor_with_one_band():
    svg = picture(chain(resistor(0.0), led(2.0)))
    assert "black" in texts(svg)
