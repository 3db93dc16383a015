"""Our electrical analysis against ngspice: processor time for the same random circuits, and their ratio.

Processor time of this process and of its children, not wall time, so that a busy machine does little to it.
"""

from __future__ import annotations

import resource
import statistics
import tempfile
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path
from random import Random

from club import ROOT
from measuring import Figure, Measured, own_seconds, said, table
from peers import Bench

from analysis.circuits import Maker, bulb, chain, exactly, led, parallel, plan, resistor
from lampwright.analysis import electrical
from lampwright.analysis.electrical import electrical_facts, extremes, output_facts, solving, wiring
from lampwright.analysis.electrical.law import Spread
from lampwright.analysis.electrical.supply import common_supply
from lampwright.cli.plans import read_plan
from lampwright.files import Files
from lampwright.kinds import Kind
from lampwright.model import values
from lampwright.model.circuit import Chain, Regulator, leaves
from lampwright.model.lighting import LightingPlan
from lampwright.plan.kinds import read_shape
from lampwright.syntax import parse
from lampwright.text import Source
from outside import ngspice
from outside.spice import Setup, netlist

PROCESSES = 20


def circuits(count: int) -> list[tuple[Chain, float]]:
    """With their usual supply; figures have a spread, as in plans. Regulators count by themselves."""
    made = []
    seed = 0
    while len(made) < count:
        maker = Maker(Random(seed), spread=True)
        circuit, supply = maker.circuit(1), maker.supply()
        if not any(isinstance(leaf, Regulator) for leaf in leaves(circuit)):
            made.append((circuit, supply[1]))
        seed += 1
    return made


def usual(circuit: Chain) -> Chain:
    return exactly(circuit, lambda one: values.Figure.exact(one.usual, one.span))


def plans(made: Sequence[tuple[Chain, float]]) -> list[LightingPlan]:
    return [plan({"white": circuit}, common=(0.9 * volts, volts, 1.1 * volts)) for circuit, volts in made]


def solves(given: Sequence[LightingPlan]) -> Callable[[], None]:
    """One usual operating point of each, from networks that are ready."""
    ready = []
    for each in given:
        supply = common_supply(each, ("white",))
        assert not isinstance(supply, str)
        wired = wiring.wire(chain(), {"white": each.outputs["white"].circuit}, wiring.Feeds(supply, None))
        for fed in wired.fed:
            laws = [wired.leaves[place].characteristics[Spread.USUAL] for place in fed.places]
            ready.append((fed.network, laws, supply.voltage.usual))

    def work() -> None:
        for network, laws, volts in ready:
            solving.solve(network, laws, volts)

    return work


def forget() -> None:
    """Have nothing of what was computed before."""
    extremes.carried.cache_clear()
    electrical._KNOWN.clear()


def facts(given: Sequence[LightingPlan]) -> Callable[[], None]:
    def work() -> None:
        forget()
        for each in given:
            output_facts(each, each.outputs["white"])

    return work


def all_facts(given: LightingPlan) -> Callable[[], None]:
    """Of every output and of the common lead."""

    def work() -> None:
        forget()
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


def vehicles(rounds: int) -> Iterator[tuple[float, float, float]]:
    """Of each vehicle of the club, seconds for its facts, for its tree, and for its tree read as a plan.

    Neither the decoder sheet nor a catalogue is in this.
    """
    files = Files(ROOT)
    for path in sorted((ROOT / "examples/vehicles").glob("*.lights.yaml")):
        read = read_plan(str(path), files)
        assert read is not None
        works = (all_facts(read.plan), partial(parse, read.source), partial(read_as_plan, read.source))
        facts_of, tree, whole = (own_seconds(work, rounds) for work in works)
        yield facts_of, tree, whole


def read_as_plan(source: Source) -> None:
    read_shape(parse(source), Kind.LIGHTING_PLAN)


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


def batch_seconds(netlists: Sequence[str], rounds: int) -> float:
    """Processor seconds of a process of ngspice with all of them, at its fastest."""
    with tempfile.TemporaryDirectory() as folder:
        control = ngspice.write(Path(folder), netlists)
        return min(_children_seconds(lambda: ngspice.run(control)) for _ in range(rounds))


def _children_seconds(work: Callable[[], object]) -> float:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    work()
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def measure(bench: Bench) -> Measured:
    count, rounds = bench.counts.circuits, bench.counts.rounds
    made = circuits(count)
    given = plans(made)
    solve, whole = (1e6 * own_seconds(work(given), rounds) / count for work in (solves, facts))
    batch = process = None
    if ngspice.is_installed():
        netlists = [netlist(Setup((usual(circuit),), volts, chain())) for circuit, volts in made]
        batch = 1e6 * batch_seconds(netlists, rounds) / count
        process = 1e6 * statistics.median(batch_seconds([each], rounds) for each in netlists[:PROCESSES])
    each = solves_counted(facts(given)) / count
    figures = [
        Figure("one operating point of a circuit", solve, "µs", f"ngspice, of {count} in a process", batch),
        Figure(
            f"all facts of an output ({each:.0f} operating points)",
            whole,
            "µs",
            "ngspice, one point in a process",
            process,
        ),
    ]
    sizes = [sum(1 for _ in leaves(circuit)) for circuit, _ in made]
    return Measured(
        figures,
        [
            f"Processor time, a circuit's share of it; {count} random circuits without regulators, of",
            f"{statistics.mean(sizes):.0f} elements on average and {max(sizes)} at most.",
            "",
            *table(("all facts of a plan", "milliseconds"), _plan_rows(rounds)),
        ],
    )


def _plan_rows(rounds: int) -> Iterator[tuple[str, str]]:
    for words, lead in (("", None), (" behind a common resistor", chain(resistor(22.0, 0.05)))):
        yield f"14 outputs with 40 lamps{words}", said(1e3 * own_seconds(all_facts(large_plan(lead)), rounds))
    columns = zip(*vehicles(rounds), strict=True)
    names = (
        "median vehicle of the example club",
        "to be compared with: its YAML as a tree with places",
        "and: its tree read as a plan",
    )
    for name, times in zip(names, columns, strict=True):
        yield name, said(1e3 * statistics.median(times))
