"""Records the answers of ngspice for the networks of the tests; with a number, compares so many and writes RESULTS.md.

By hand, on a system with ngspice: `python tests/outside/record_ngspice.py`, or `... record_ngspice.py 10000`.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from outside import ngspice, recorded
from outside.bench_networks import cases
from outside.networks import LEAST, Case, Comparison, case, compared
from outside.spice import netlist

RESULTS = Path(__file__).with_name("RESULTS.md")
BATCH = 1000


def record() -> None:
    netlists = [netlist(case(seed).setup) for seed in range(recorded.NETWORKS)]
    answers = zip(netlists, ngspice.operating_points(netlists), strict=True)
    recorded.write(ngspice.version(), [recorded.Recorded(*answer) for answer in answers])
    record_bench()


def record_bench() -> None:
    netlists = [netlist(each.setup) for each in cases()]
    answers = zip(netlists, ngspice.operating_points(netlists), strict=True)
    recorded.write(ngspice.version(), [recorded.Recorded(*answer) for answer in answers], recorded.BENCH)


def compare(networks: int) -> Comparison:
    parts = []
    for first in range(0, networks, BATCH):
        cases = [case(seed) for seed in range(first, min(first + BATCH, networks))]
        parts.append(compared(cases, ngspice.operating_points([netlist(each.setup) for each in cases])))
        sys.stdout.write(f"{first + len(cases)} networks, worst of these {parts[-1].worst().share:.1e}\n")
        sys.stdout.flush()
    return Comparison(
        tuple(each for part in parts for each in part.differences),
        tuple(each for part in parts for each in part.unsolved),
    )


def report(networks: int, comparison: Comparison) -> Iterator[str]:
    worst, worst_of_larger = comparison.worst(), comparison.worst(LEAST)
    yield "# Currents against ngspice"
    yield ""
    yield f"Written by `tests/outside/record_ngspice.py {networks}`. A difference is given as a share of the larger of the"
    yield "current and 1 µA; 1e-3 is allowed."
    yield ""
    yield "| what | |"
    yield "| --- | --: |"
    yield f"| date | {datetime.now(UTC).date().isoformat()} |"
    yield f"| ngspice | {ngspice.version()} |"
    yield f"| random networks | {networks} |"
    yield f"| without an operating point in ngspice | {_named(comparison.unsolved)} |"
    yield f"| currents compared | {len(comparison.differences)} |"
    yield f"| worst difference | {worst.share:.1e} ({worst.case.name}: {worst.ours:.6g} A, ngspice {worst.theirs:.6g} A) |"
    larger = sum(each.theirs >= LEAST for each in comparison.differences)
    yield f"| of these above 1 µA | {larger} |"
    yield (
        f"| worst difference of these | {worst_of_larger.share:.1e} ({worst_of_larger.case.name}: "
        f"{worst_of_larger.ours:.9g} A, ngspice {worst_of_larger.theirs:.9g} A) |"
    )


def _named(cases: Sequence[Case]) -> str:
    return f"{len(cases)} ({', '.join(each.name for each in cases)})" if cases else "0"


if __name__ == "__main__":
    if len(sys.argv) > 1:
        asked = int(sys.argv[1])
        RESULTS.write_text("\n".join([*report(asked, compare(asked)), ""]), "utf-8")
    else:
        record()
