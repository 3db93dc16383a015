"""Figures that no circuit can have: a finding with its place or a figure, never a failure, whatever else they meet."""

from __future__ import annotations

import itertools

import pytest

from lampwright.account.figures import plan_figures
from lampwright.engine import Refusal, plan_of
from lampwright.model.settings import Settings
from lampwright.render.figures_as_json import render_figures_json
from lampwright.render.figures_as_text import render_figures_text
from lampwright.text import Source
from seam import PLAN, report

USUAL = {
    "vehicle": "",
    "track": "track: 14.5 V",
    "drop": "drop: 1.4 V",
    "limit": "100 mA",
    "led": "forward-voltage: 3 V",
    "bulb": "voltage: 12 V, current: 40 mA",
    "lead": "",
}
ODD = {
    "vehicle": [", inside: 100 °C", ", motor: 0 mA"],
    "track": ["track: 0 V", "track: 16 V to 13 V", "common: 0.001 V", "track: {lowest: 1 V, usual: 30 V, highest: 1000 V}", "track: 99999999 kV"],
    "drop": ["drop: 0 V", "drop: 50 V", "regulated: 0 V", "drop: {lowest: 3 V, usual: 1 V, highest: 2 V}"],
    "limit": ["0 mA"],
    "led": ["forward-voltage: 0 V", "forward-voltage: 0.000001 V", "forward-voltage: 4 V to 2 V", "colour: red", "colour: mauve", "forward-voltage: 3 V, at: 0 mA", "forward-voltage: 3 V, current: 30 mA, maximum-current: 0 mA", "forward-voltage: 1000000 V", "forward-voltage: 3 V, built-in-resistor: 0 ohm", "forward-voltage: 3 V, at: 1 uA"],
    "bulb": ["voltage: 0 V, current: 40 mA", "voltage: 12 V, current: 0 mA", "voltage: 12 V, current: 40 mA, tolerance: 100 %", "voltage: 12 V, current: 40 mA, tolerance: 200 %", "voltage: 12 V, current: 1000000 A", "voltage: 0.0001 mV, current: 40 mA"],
    "lead": ["common: {circuit: [0 ohm]}\n", "common: {circuit: []}\n", "common: {circuit: [l]}\n", "common: {circuit: [{diode: 0.7 V}]}\n"],
}  # fmt: skip
CIRCUITS = [
    "[0 ohm]", "[]", "[0 ohm, l]", "[l]", "[b]", "[1 Mohm, l]", "[{parallel: []}]", "[{parallel: [[]]}]", "[{series: []}]",
    "[{parallel: [[l], [0 ohm]]}]", "[{parallel: [[l, 1 kohm], [b]]}, 10 ohm]", "[{resistor: 1 kohm, tolerance: 100 %}, l]",
    "[{resistor: 1 kohm, tolerance: 99 %}, l]", "[{current-regulator: 0 mA}, l]",
    "[{current-regulator: 10 mA, needs: 0 V}, {current-regulator: 5 mA}, l]", "[{diode: 0 V}]", "[{diode: 0.7 V}]",
    "[{board: {voltage: 0 V, current: 20 mA}}]", "[{board: {voltage: 12 V, current: 0 mA}}]", "[{driver: {limit: 0 mA}}]",
    "[{lamp: l, reversed: true}, b]", "[{parallel: [{series: [b], return: rail}, [l, 1 kohm]]}]",
    "[1 kohm, {parallel: [[l], [l], [{lamp: l, reversed: true}]]}]",
]  # fmt: skip


def text(circuit: str, **odd: str) -> str:
    said = {**USUAL, **odd}
    return (
        f"vehicle: {{name: T, shell: plastic{said['vehicle']}}}\nsupply: {{{said['track']}}}\n"
        f"decoder: {{common: {{{said['drop']}}}, limits: {{outputs-together: 100 mA}}, outputs: {{white: {{number: 1,"
        f" limit: {said['limit']}}}, aux: {{number: 2, logic-level: 5 V}}}}}}\n"
        f"lamps:\n  l: {{led: {{{said['led']}}}}}\n  b: {{bulb: {{{said['bulb']}}}}}\n{said['lead']}"
        f"outputs:\n  white: {{circuit: {circuit}}}\n  aux: {{circuit: []}}\n"
        "keys: {F0: {turns-on: [{output: [white, aux]}]}}\n"
    )


def print_all(plan_text: str) -> None:
    """Judge it, and print its figures in both forms; a rule that fails raises here."""
    report(plan_text)
    plan = plan_of(Source(PLAN, plan_text), Settings(), lambda *_: Refusal("missing"))
    if plan is not None:
        figures = plan_figures(plan)
        render_figures_text(PLAN, plan, figures)
        render_figures_json(PLAN, figures)


@pytest.mark.parametrize("circuit", CIRCUITS)
def test_no_figure_is_too_odd(circuit: str) -> None:
    for name, values in ODD.items():
        for value in values:
            print_all(text(circuit, **{name: value}))


@pytest.mark.parametrize("names", list(itertools.combinations(["track", "led", "bulb", "lead"], 2)), ids="-".join)
def test_no_two_are(names: tuple[str, str]) -> None:
    one, other = names
    for number, circuit in enumerate(CIRCUITS):
        for first, second in itertools.product(ODD[one], ODD[other]):
            # A seventh of them: each value meets each other one in three circuits.
            if (number + ODD[one].index(first) + ODD[other].index(second)) % 7 == 0:
                print_all(text(circuit, **{one: first, other: second}))


@pytest.mark.parametrize(
    ("circuit", "odd", "rule", "culprit"),
    [
        ("[0 ohm]", {}, "overloaded-output", "white"),
        ("[1 kohm, b]", {"bulb": "voltage: 0 V, current: 40 mA"}, "implausible-value", "0 V"),
        ("[1 kohm, l]", {"led": "forward-voltage: 4 V to 2 V"}, "unreadable-quantity", "4 V to 2 V"),
        ("[1 kohm, l]", {"track": "track: {lowest: 13 V, usual: 17 V, highest: 16 V}"}, "unreadable-quantity", "{lowest: 13 V, usual: 17 V, highest: 16 V}"),
        ("[{current-regulator: 0 mA}, l]", {}, "implausible-value", "0 mA"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_found_at_its_place(circuit: str, odd: dict[str, str], rule: str, culprit: str) -> None:
    found = {(finding.rule, finding.span.text) for finding in report(text(circuit, **odd)).findings}
    assert (rule, culprit) in found
