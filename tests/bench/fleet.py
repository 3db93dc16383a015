"""The page of a club's vehicles, and its order list, beside the check that both begin with; processor time of all processes."""

from __future__ import annotations

import re
import resource
import statistics
from functools import partial
from pathlib import Path

from club import LINES, make_club
from measuring import Figure, Measured, said, table
from peers import Bench

MOST = 2.0
"""Seconds for two hundred vehicles."""

FORMS = ("html", "markdown", "csv", "json", "text")
CHECK, ORDER, SUGGESTING = "check, recalled", "order --no-suggestions", "order"


def measure(bench: Bench) -> Measured:
    club, cache = bench.club("fleet"), bench.folder / "fleet-cache"
    make_club(club, bench.counts.fleet)
    catalogue = club / "club.parts.yaml"
    # An empty drawer, so that everything has to be bought.
    catalogue.write_text(re.sub("stock: [0-9]+", "stock: 0", catalogue.read_text("utf-8")), "utf-8")
    page = bench.folder / "page"
    commands = {
        CHECK: ["check", "--format", "line"],
        **{f"fleet --format {form}": ["fleet", "--format", form, "--output", f"{page}.{form}"] for form in FORMS},
        ORDER: ["order", "--no-suggestions"],
        SUGGESTING: ["order"],
    }
    take = partial(_seconds, bench, club, cache)
    # What all others recall has to be found first.
    take(commands[CHECK])
    seconds: dict[str, list[float]] = {name: [] for name in commands}
    for _ in range(bench.counts.runs):
        for name, arguments in commands.items():
            seconds[name].append(take(arguments))
    medians = {name: statistics.median(times) for name, times in seconds.items()}
    beside = {name: median - medians[CHECK] for name, median in medians.items()}
    what = f"{bench.counts.fleet} vehicles, beside the check"
    dearest = max(FORMS, key=lambda form: beside[f"fleet --format {form}"])
    figures = [
        Figure(f"`fleet`, {what}", beside[f"fleet --format {dearest}"], "s", most=MOST),
        Figure(f"`order`, {what}", beside[SUGGESTING], "s"),
    ]
    size = Path(f"{page}.html").stat().st_size // 1024
    rows = [(f"`{name}`", said(medians[name]), said(beside[name])) for name in commands]
    return Measured(
        figures,
        [
            f"Processor time for {bench.counts.fleet} plans of {LINES} lines after a check, whose findings are recalled;",
            f"the drawer is empty. In HTML the page has {size} kB.",
            "",
            *table(("command", "seconds", "of them beside the check"), rows),
        ],
    )


def _seconds(bench: Bench, club: Path, cache: Path, arguments: list[str]) -> float:
    """Processor seconds of our command, all of its processes included."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    bench.run([bench.program("lampwright"), *arguments], club, XDG_CACHE_HOME=str(cache))
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
