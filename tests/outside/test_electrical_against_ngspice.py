"""Our solver against the circuit simulator ngspice: the current of every element in random networks.

Both have the same laws of the elements, written down twice; what is held here is the solving. The networks are in
`networks.py`. Where ngspice is not installed, its recorded answers are compared instead (`record_ngspice.py` records
them). LAMPWRIGHT_EXAMPLES=10000 in the environment asks for as many networks.
"""

from __future__ import annotations

import math
import os
from dataclasses import replace

import pytest

from analysis.circuits import board, bulb, chain, diode, driver, led, regulator, resistor, to_rail
from lampwright.analysis.electrical import electrical_facts, solving
from lampwright.analysis.electrical.facts import CommonFacts, OutputFacts
from lampwright.model.circuit import Regulator, leaves
from lampwright.model.lighting import LightingPlan
from lampwright.model.measured import LeadReadings, Readings
from lampwright.model.values import Figure
from outside import ngspice, recorded
from outside.networks import Asked, Comparison, case, compared, ours
from outside.spice import Setup, netlist

MOST = 1e-3
"""Of the larger of a current and a microampere: by how much the two may differ."""

MOST_UNSOLVED = 0.02
"""Of the networks: for how many the simulator may find no operating point."""

BATCH = 110
NETWORKS = int(os.environ.get("LAMPWRIGHT_EXAMPLES", str(recorded.NETWORKS)))
SEEDS = [range(first, min(first + BATCH, NETWORKS)) for first in range(0, NETWORKS, BATCH)]


def check(comparison: Comparison, networks: int) -> None:
    worst = comparison.worst()
    assert worst.share <= MOST, f"{worst.case.name}: {worst.ours} A, ngspice {worst.theirs} A"
    assert len(comparison.unsolved) <= MOST_UNSOLVED * networks, [case.name for case in comparison.unsolved]


@pytest.mark.skipif(not ngspice.is_installed(), reason="ngspice is not installed; its recorded answers are compared")
@pytest.mark.parametrize("seeds", SEEDS, ids=str)
def test_currents_are_those_of_the_simulator(seeds):
    cases = [case(seed) for seed in seeds]
    measured = ngspice.operating_points([netlist(each.setup) for each in cases])
    check(compared(cases, measured), len(cases))


@pytest.mark.skipif(ngspice.is_installed(), reason="ngspice itself is asked")
def test_currents_are_those_that_the_simulator_gave():
    _, networks = recorded.read()
    cases = [case(seed) for seed in range(recorded.NETWORKS)]
    check(compared(cases, [network.currents for network in networks]), len(cases))


def test_the_way_out_of_what_does_not_settle_comes_to_the_same(monkeypatch):
    """No random network needs `refining`; here some have to."""
    monkeypatch.setattr(solving, "_nest", lambda *_: None)
    _, networks = recorded.read()
    chosen = [seed for seed in range(22) if case(seed).asked is Asked.ALL]
    check(compared([case(seed) for seed in chosen], [networks[seed].currents for seed in chosen]), len(chosen))


def test_recorded_are_the_networks_of_now():
    """Else run `python tests/outside/record_ngspice.py`, on a system with ngspice."""
    _, networks = recorded.read()
    assert [network.netlist for network in networks] == [netlist(case(seed).setup) for seed in range(recorded.NETWORKS)]


@pytest.mark.skipif(not ngspice.is_installed(), reason="ngspice is not installed")
def test_recorded_answers_are_those_of_now():
    """Of some, which is enough to see a mix-up; another version of ngspice need not agree to the last digit."""
    _, networks = recorded.read()
    some = networks[::10]
    for network, measured in zip(some, ngspice.operating_points([each.netlist for each in some]), strict=True):
        assert network.currents is not None
        assert measured == pytest.approx(network.currents, rel=1e-4, abs=1e-9)


@pytest.mark.skipif(not ngspice.is_installed(), reason="ngspice is not installed")
class TestTheNetlistsThemselves:
    """What an element is made for is what it does in the simulator, whatever our own solver says."""

    @pytest.mark.parametrize(
        ("circuit", "supply", "amperes"),
        [
            (chain(resistor(1000)), 12.0, 0.012),
            (chain(resistor(0.0), driver(), resistor(1000)), 12.0, 0.012),
            # The test current of `led` and of a diode is 10 mA; a blue one has a saturation current below 1e-28 A.
            (chain(led(3.6), resistor(840)), 12.0, 0.01),
            (chain(led(1.8, built_in=1000.0), resistor(20)), 12.0, 0.01),
            (chain(led(3.6, backwards=True), resistor(840)), 12.0, 0.0),
            (chain(diode(0.7), resistor(1130)), 12.0, 0.01),
            (chain(bulb(12.0, 0.04)), 12.0, 0.04),
            # Cold it has a tenth of its 300 ohms.
            (chain(bulb(12.0, 0.04)), 0.03, 0.001),
            (chain(board(12.0, 0.02), resistor(200)), 16.0, 0.02),
            (chain(regulator(0.01, 2.0), resistor(100)), 9.0, 0.01),
            (chain(regulator(0.01, 2.0), resistor(100)), 1.5, 0.005),
        ],
    )
    def test_at_a_known_point(self, circuit, supply, amperes):
        (measured,) = ngspice.operating_points([netlist(Setup((circuit,), supply, chain()))])
        assert measured == pytest.approx([amperes] * len(measured), rel=1e-5, abs=1e-11)

    def test_a_bulb_at_a_rail_by_its_effective_voltage(self):
        """17 V in half of the time heat like 12 V, at which it has 300 ohms."""
        supply = 12.0 * math.sqrt(2)
        (measured,) = ngspice.operating_points(
            [netlist(Setup((to_rail(chain(bulb(12.0, 0.04))),), 0.0, chain(), rail=supply))]
        )
        assert measured == pytest.approx([supply / 300] * 2, rel=1e-6)


class TestTheComparisonItself:
    def test_every_kind_of_comparison_is_among_the_networks(self):
        assert {case(seed).asked for seed in range(11)} == set(Asked)

    def test_a_current_that_is_off_by_a_little_is_seen(self):
        _, networks = recorded.read()
        network, one = networks[-1], case(recorded.NETWORKS - 1)
        assert network.currents is not None
        wrong = [*network.currents[:-1], network.currents[-1] * 1.002]
        assert compared([one], [network.currents]).worst().share < MOST
        assert compared([one], [wrong]).worst().share > MOST

    def test_an_unsolved_network_is_counted(self):
        one = case(0)
        with pytest.raises(AssertionError, match=one.name):
            check(compared([one, case(1)], [None, ours(case(1))]), 2)


def test_what_is_measured_divides_as_in_the_simulator():
    """Driven by the current that the simulator gave for the whole, each element carries what it gave for that."""
    _, networks = recorded.read()
    seeds = [seed for seed in range(recorded.NETWORKS) if case(seed).name.split()[0] in ("plain", "deep", "lead")]
    checked = 0
    for one, network in ((case(seed), networks[seed]) for seed in seeds):
        if network.currents is None or not 1e-4 < network.currents[-1] < 1:
            continue
        driven = replace(one, plan=_with_current(one.plan, network.currents[-1]))
        white = electrical_facts(driven.plan).outputs["white"]
        assert isinstance(white, OutputFacts)
        if white.basis != "current" or _is_level(one.plan):
            continue
        own = [each.current.usual for each in white.elements]
        given = network.currents[-1 - len(own) : -1]
        assert own == pytest.approx(given, rel=MOST, abs=1e-9), one.name
        checked += 1
    assert checked > 60


def test_what_is_measured_in_the_lead_divides_there_as_in_the_simulator():
    """Driven by the current that the simulator gave for all outputs together, so does each element of their lead."""
    _, networks = recorded.read()
    checked = 0
    for one, network in ((case(seed), networks[seed]) for seed in range(recorded.NETWORKS)):
        if one.asked is not Asked.LEAD or network.currents is None or not 1e-4 < network.currents[-1] < 1:
            continue
        read = LeadReadings(one.plan.span, None, Figure.exact(network.currents[-1], one.plan.span))
        lead = electrical_facts(replace(one.plan, common_measured=read)).common
        if lead is None or any(isinstance(each.element, Regulator) for each in lead.elements):
            continue
        assert isinstance(lead, CommonFacts)
        assert lead.basis == "lead", one.name
        own = [each.current.usual for each in lead.elements]
        assert own == pytest.approx(network.currents[: len(own)], rel=MOST, abs=1e-9), one.name
        checked += 1
    assert checked > 15


def _with_current(plan: LightingPlan, amperes: float) -> LightingPlan:
    white = plan.outputs["white"]
    readings = Readings(white.span, current=Figure.exact(amperes, white.span))
    return replace(plan, outputs={"white": replace(white, measured=readings)})


def _is_level(plan: LightingPlan) -> bool:
    """Whether a regulator makes many voltages of one current, so that the current does not tell the voltage."""
    circuits = (plan.outputs["white"].circuit, plan.common_circuit)
    return any(isinstance(each, Regulator) for circuit in circuits for each in leaves(circuit))
