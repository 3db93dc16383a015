"""What a meter shows at the outputs of the example club, as planned and with each fault, against the simulator ngspice.

Where that is not installed, its recorded answers are compared (`record_ngspice.py` records them).
"""

from __future__ import annotations

import pytest

from outside import ngspice, recorded
from outside.bench_networks import Case, cases
from outside.spice import netlist

CASES = tuple(cases())

CURRENT = 1e-3
"""Of the larger of a current and a microampere: by how much the two may differ."""

VOLTS = 0.02
"""By how much a reading may differ: a fifth of the last digit that a sheet prints."""


def check(measured: list[list[float] | None]) -> tuple[int, int]:
    """How many currents and readings were compared."""
    currents = readings = 0
    for case, answer in zip(CASES, measured, strict=True):
        assert answer is not None, case.name
        if case.probed is None:
            assert [*answer[:-1]] == [pytest.approx(each, rel=CURRENT, abs=CURRENT * 1e-6) for each in case.currents], (
                case.name
            )
            currents += len(case.currents)
        else:
            assert read_of(case, answer) == pytest.approx(case.volts, abs=VOLTS), case.name
            readings += 1
    return currents, readings


def read_of(case: Case, answer: list[float]) -> float:
    """Volts that the meter shows: what goes through it, times its ohms."""
    from lampwright.analysis.readings import METER

    assert case.probed is not None
    return answer[case.probed] * METER


@pytest.mark.skipif(not ngspice.is_installed(), reason="ngspice is not installed; its recorded answers are compared")
def test_readings_are_those_of_the_simulator() -> None:
    currents, readings = check(list(ngspice.operating_points([netlist(each.setup) for each in CASES])))
    assert currents > 500
    assert readings > 500


@pytest.mark.skipif(ngspice.is_installed(), reason="ngspice itself is asked")
def test_readings_are_those_that_the_simulator_gave() -> None:
    _, networks = recorded.read(recorded.BENCH)
    check([network.currents for network in networks])


def test_recorded_are_the_networks_of_now() -> None:
    """Else run `python tests/outside/record_ngspice.py`, on a system with ngspice."""
    _, networks = recorded.read(recorded.BENCH)
    assert [network.netlist for network in networks] == [netlist(each.setup) for each in CASES]


def test_a_reading_that_is_off_is_seen() -> None:
    _, networks = recorded.read(recorded.BENCH)
    answers = [network.currents for network in networks]
    check(answers)
    place = next(number for number, case in enumerate(CASES) if case.probed is not None and case.volts > 5)
    wrong = list(answers[place] or [])
    wrong[CASES[place].probed or 0] *= 1.01
    with pytest.raises(AssertionError):
        check([*answers[:place], wrong, *answers[place + 1 :]])
