"""Our electrical analysis against ngspice: processor time for the same random circuits, and their ratio.

Run by hand, where ngspice is installed: `python tests/bench/electricity.py`. Writes `ELECTRICITY.md`. Processor time of
this process and of its children, not wall time, so that a busy machine does little to it.
"""

from __future__ import annotations

import os
import platform
import resource
import statistics
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from analysis.circuits import Maker, bulb, chain, exactly, led, parallel, plan, resistor
from lampwright.analysis.electrical import electrical_facts, extremes, output_facts, solving, wiring
from lampwright.analysis.electrical.law import Spread
from lampwright.analysis.electrical.supply import common_supply
from lampwright.cli.plans import read_plan
from lampwright.files import Files
from lampwright.kinds import Kind
from lampwright.model.circuit import Chain, Regulator, leaves
from lampwright.model.lighting import LightingPlan
from lampwright.model.values import Figure
from lampwright.plan.kinds import read_shape
from lampwright.syntax import parse
from lampwright.text import Source
from outside import ngspice
from outside.spice import Setup, netlist

ROOT = Path(__file__).resolve().parents[2]
RESULTS = Path(__file__).with_name("ELECTRICITY.md")

CIRCUITS = 100
ROUNDS = 15
REPEATS = 20
PROCESSES = 20


def circuits() -> list[tuple[Chain, float]]:
    """With their usual supply; figures have a spread, as in plans. Regulators count by themselves."""
    made = []
    seed = 0
    while len(made) < CIRCUITS:
        maker = Maker(Random(seed), spread=True)
        circuit, supply = maker.circuit(1), maker.supply()
        if not any(isinstance(leaf, Regulator) for leaf in leaves(circuit)):
            made.append((circuit, supply[1]))
        seed += 1
    return made


def usual(circuit: Chain) -> Chain:
    return exactly(circuit, lambda one: Figure.exact(one.usual, one.span))


def plans(made: Sequence[tuple[Chain, float]]) -> list[LightingPlan]:
    return [plan({"white": circuit}, common=(0.9 * volts, volts, 1.1 * volts)) for circuit, volts in made]


def own_seconds(work: Callable[[], object]) -> float:
    """Of processor time, at its fastest."""
    return min(_spent(resource.RUSAGE_SELF, work) for _ in range(ROUNDS))


def _spent(who: int, work: Callable[[], object]) -> float:
    before = resource.getrusage(who)
    work()
    after = resource.getrusage(who)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def solves(given: Sequence[LightingPlan]) -> Callable[[], None]:
    """One usual operating point of each, from networks that are ready."""
    ready = []
    for each in given:
        supply = common_supply(each)
        assert not isinstance(supply, str)
        wired = wiring.wire(chain(), {"white": each.outputs["white"].circuit}, wiring.Feeds(supply, None))
        for fed in wired.fed:
            laws = [wired.leaves[place].characteristics[Spread.USUAL] for place in fed.places]
            ready.append((fed.network, laws, supply.voltage.usual))

    def work() -> None:
        for network, laws, volts in ready:
            solving.solve(network, laws, volts)

    return work


def facts(given: Sequence[LightingPlan]) -> Callable[[], None]:
    def work() -> None:
        # What was computed in the round before is forgotten.
        extremes.carried.cache_clear()
        for each in given:
            output_facts(each, each.outputs["white"])

    return work


def all_facts(given: LightingPlan) -> Callable[[], None]:
    """Of every output and of the common lead."""

    def work() -> None:
        extremes.carried.cache_clear()
        known = electrical_facts(given)
        for _ in known.outputs.values():
            pass
        _ = known.common

    return work


def large_plan(lead: Chain | None = None) -> LightingPlan:
    """Fourteen outputs with forty lamps: strings, lamps side by side behind a resistor, bulbs before LEDs."""
    white = (2.8, 3.0, 3.3)
    made = {}
    for number in range(14):
        string = chain(resistor(680, 0.05), led(white), led(white), led(white))
        pair = [chain(resistor(1500 + number, 0.05), led(white)) for _ in range(2)]
        beside = chain(resistor(47, 0.05), parallel(*pair, chain(resistor(330, 0.05), bulb(12.0, 0.04))))
        mixed = chain(resistor(820 + number, 0.05), bulb(1.5, 0.015), led(white))
        made[f"output {number}"] = (string, beside, mixed)[number % 3]
    return plan(made, track=(13.0, 14.5, 16.0), lead=lead)


def vehicles() -> Iterator[tuple[float, float, float]]:
    """Of each vehicle of the club, seconds for its facts, for its tree, and for its tree read as a plan.

    Neither the decoder sheet nor a catalogue is in this.
    """
    files = Files(ROOT)
    for path in sorted((ROOT / "examples/vehicles").glob("*.lights.yaml")):
        read = read_plan(str(path), files)
        assert read is not None
        tree = own_seconds(partial(repeated, partial(parse, read.source))) / REPEATS
        whole = own_seconds(partial(repeated, partial(read_as_plan, read.source))) / REPEATS
        yield own_seconds(partial(repeated, all_facts(read.plan))) / REPEATS, tree, whole


def read_as_plan(source: Source) -> None:
    read_shape(parse(source), Kind.LIGHTING_PLAN)


def repeated(work: Callable[[], object]) -> None:
    for _ in range(REPEATS):
        work()


def solves_counted(work: Callable[[], None]) -> int:
    count, original = 0, extremes.solve

    def counting(*given):
        nonlocal count
        count += 1
        return original(*given)

    extremes.solve = counting
    try:
        work()
    finally:
        extremes.solve = original
    return count


def batch_seconds(netlists: Sequence[str]) -> float:
    with tempfile.TemporaryDirectory() as folder:
        control = ngspice.write(Path(folder), netlists)
        return min(_spent(resource.RUSAGE_CHILDREN, lambda: ngspice.run(control)) for _ in range(ROUNDS))


def report() -> Iterator[str]:
    made = circuits()
    given = plans(made)
    netlists = [netlist(Setup((usual(circuit),), volts, chain())) for circuit, volts in made]
    load = os.getloadavg()[0]
    solve, whole = (own_seconds(work(given)) / CIRCUITS for work in (solves, facts))
    batch = batch_seconds(netlists) / CIRCUITS
    process = statistics.median(batch_seconds([each]) for each in netlists[:PROCESSES])
    yield "# Electrical analysis against ngspice"
    yield ""
    sizes = [sum(1 for _ in leaves(circuit)) for circuit, _ in made]
    yield "Written by `tests/bench/electricity.py`: processor time, the fastest of several rounds, a circuit's share of it;"
    yield f"{CIRCUITS} random circuits without regulators, of {statistics.mean(sizes):.0f} elements on average and"
    yield f"{max(sizes)} at most. {datetime.now(UTC).date().isoformat()}, {platform.machine()}, Python {platform.python_version()},"
    yield f"ngspice {ngspice.version()}, load {load:.1f} at the start."
    yield ""
    yield "| for one circuit | microseconds |"
    yield "| --- | --: |"
    yield f"| our solve of one operating point | {1e6 * solve:.0f} |"
    yield f"| our facts of the output, all corners ({solves_counted(facts(given)) / CIRCUITS:.0f} solves) | {1e6 * whole:.0f} |"
    yield f"| ngspice, one operating point, of {CIRCUITS} in one process | {1e6 * batch:.0f} |"
    yield f"| ngspice, one operating point, in a process of its own | {1e6 * process:.0f} |"
    yield ""
    yield "| ratio to ngspice | of many in a process | in a process of its own |"
    yield "| --- | --: | --: |"
    yield f"| our solve | {solve / batch:.2f} | {solve / process:.3f} |"
    yield f"| our facts | {whole / batch:.2f} | {whole / process:.2f} |"
    yield ""
    yield "| all facts of a plan | milliseconds |"
    yield "| --- | --: |"
    for words, lead in (("", None), (" behind a common resistor", chain(resistor(22.0, 0.05)))):
        seconds = own_seconds(all_facts(large_plan(lead)))
        yield f"| 14 outputs with 40 lamps{words} | {1e3 * seconds:.1f} |"
    times = list(vehicles())
    facts_of, trees, reading = (statistics.median(column) for column in zip(*times, strict=True))
    yield f"| median vehicle of the example club | {1e3 * facts_of:.2f} |"
    yield f"| to be compared with: its YAML as a tree with places | {1e3 * trees:.2f} |"
    yield f"| and: its tree read as a plan | {1e3 * reading:.2f} |"


if __name__ == "__main__":
    text = "\n".join([*report(), ""])
    RESULTS.write_text(text, "utf-8")
    sys.stdout.write(text)
