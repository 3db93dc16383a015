"""Circuits drawn in lines of text are read back, column by column, and held against the circuit."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analysis.circuits import Maker, chain, led, parallel, plan, resistor, to_rail
from command import Command
from lampwright.model.circuit import Chain, PlacedLamp, leaves
from lampwright.render.wiring_as_text import Manner, render_wiring_text
from networks_read_back import effective_resistance, folded_resistance

SEEDS = st.integers(min_value=0, max_value=10**9)
ELEMENT = re.compile(r"\[[^\]]*\]|\([^)]*\)")
WIRE, UP, DOWN = set("─┬├└┤┘"), set("│├└┤┘"), set("│┬├┤")


WIDE = Manner(width=200)


def drawn(circuit: Chain, manner: Manner = WIDE) -> list[str]:
    made = plan({"white": circuit}, common=14.0)
    return render_wiring_text("test.lights.yaml", made, manner).splitlines()[3:]


class Grid:
    """Which ends of elements the lines join; an element is its place among all in reading order of the rows."""

    def __init__(self, lines: list[str]) -> None:
        self.above: dict[object, object] = {}
        self.elements: list[tuple[tuple[int, int], tuple[int, int], str]] = []
        rows = [row for row, line in enumerate(lines) if re.search(r"^  (common|the common|a rail| *→)", line)]
        for row, line in enumerate(lines):
            taken: set[int] = set()
            for found in ELEMENT.finditer(line):
                if found.start() and line[found.start() - 1] == "─":
                    taken |= set(range(*found.span()))
                    self.elements.append(((row, found.start() - 1), (row, found.end()), found[0]))
            for column, character in enumerate(line):
                if column in taken:
                    continue
                if character in WIRE and line[column + 1 : column + 2] in WIRE and column + 1 not in taken:
                    self.join((row, column), (row, column + 1))
                below = lines[row + 1][column : column + 1] if row + 1 < len(lines) else ""
                if character in DOWN and below in UP:
                    self.join((row, column), (row + 1, column))
        for row, later in pairwise(rows):
            self.join((row, lines[row].rindex("→") - 2), (later, lines[later].index("→") + 2))
        self.left = self.root((0, lines[0].index("─")))
        last = lines[rows[-1]]
        self.right = self.root((rows[-1], last.rindex("─")))

    def root(self, place: object) -> object:
        while self.above.get(place, place) != place:
            place = self.above[place]
        return place

    def join(self, one: object, other: object) -> None:
        self.above[self.root(one)] = self.root(other)


@given(SEEDS, st.sampled_from([60, 100, 400]))
@settings(max_examples=60, deadline=None)
def test_by_its_lines_a_drawing_is_the_circuit(seed, width):
    circuit = numbered(Maker(Random(seed)).circuit(3, 4))
    random = Random(seed)
    ohms = [10 ** random.uniform(0, 3) for _ in leaves(circuit)]
    grid = Grid(drawn(circuit, Manner(width=width)))
    assert len(grid.elements) == len(ohms)
    branches = [
        (grid.root(start), grid.root(end), ohms[int(re.search(r"n(\d+)", text)[1])])
        for start, end, text in grid.elements
    ]
    measured = effective_resistance(branches, grid.left, grid.right)
    assert measured == pytest.approx(folded_resistance(circuit, ohms), rel=1e-6)


def numbered(circuit: Chain) -> Chain:
    """The same nest with lamps in all places, which have their numbers for names."""
    numbers = iter(range(10**6))

    def renamed(element):
        if hasattr(element, "elements"):
            return replace(element, elements=tuple(map(renamed, element.elements)))
        if hasattr(element, "branches"):
            return replace(element, branches=tuple(map(renamed, element.branches)))
        return led(2.0, f"n{next(numbers)}")

    return renamed(circuit)


def test_a_plain_chain():
    assert drawn(chain(resistor(1500.0, 0.05), led(2.0, "front headlamp"))) == [
        "  common +, blue wire ───[1.5 kohm brown-green-red-gold]──(▷| front headlamp)─── white wire"
    ]


def test_a_terminal_with_colours_shows_the_bands():
    """1.5 kohm 5 % is brown, green, red, gold (IEC 60062)."""
    (line,) = drawn(chain(resistor(1500.0, 0.05)), Manner(has_colour=True, width=200))
    assert re.findall(r"38;5;(\d+)m", line) == ["94", "34", "160", "178"]
    assert "brown" not in line


def test_a_terminal_without_lines_gets_ascii():
    nest = chain(parallel(chain(resistor(1000.0), led(2.0)), chain(led(2.0, backwards=True))))
    lines = drawn(nest, Manner(has_lines=False, width=200))
    assert all(line.isascii() for line in lines)
    assert "(>| led)" in lines[0]
    assert "(|< led)" in lines[1]


def test_what_returns_to_a_rail():
    nest = chain(parallel(chain(resistor(1000.0), led(2.0, "one")), to_rail(chain(led(2.0, "other")))))
    lines = drawn(nest)
    assert "rail ●" in lines[1]
    grid = Grid(lines)
    fed = [text for start, _, text in grid.elements if grid.root(start) == grid.left]
    assert fed == ["[1 kohm]"]


@pytest.mark.parametrize("name", ["\x1b[31mred", "\u202eback", "##[group]", "\ue000"])
def test_no_name_commands_a_terminal(name):
    (line,) = drawn(chain(PlacedLamp(led(2.0).span, name, led(2.0, name).lamp)), Manner(has_colour=True, width=200))
    assert "\x1b" not in line
    assert "\u202e" not in line
    assert "##[" not in line


def test_outputs_with_nothing_to_draw():
    made = plan({"white": chain(), "yellow": None}, common=14.0)
    text = render_wiring_text("test.lights.yaml", made, Manner())
    assert text.splitlines()[1:] == [
        "",
        "output white:",
        "  nothing hangs on it",
        "",
        "output yellow:",
        "  its circuit cannot be read",
    ]


def test_the_command_draws_the_example_club(command: Command):
    path = Path(__file__).parents[1] / "examples" / "vehicles" / "ore-hauler-12.lights.yaml"
    outcome = command("figures", "--format", "wiring", str(path))
    assert (outcome.status, outcome.err) == (0, "")
    assert "(▷| left ditch lamp)─── aux3, output 5" in outcome.out
