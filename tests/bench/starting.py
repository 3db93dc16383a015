"""One plan without a cache against named peers, and where the time of its imports goes."""

from __future__ import annotations

import re
import sys
from collections import Counter
from collections.abc import Iterator
from functools import partial

from measuring import Figure, Measured, Turns, table
from peers import SCHEMA, Bench

PLAN = "examples/vehicles/ore-hauler-12.lights.yaml"
PROFILES = 7
SHOWN_PACKAGES = 20

CHECK, VERSION, BARE = "lampwright check --no-cache", "lampwright --version", "python -c pass"


def measure(bench: Bench) -> Measured:
    commands = {
        CHECK: [bench.program("lampwright"), "check", "--no-cache", PLAN],
        "check-jsonschema": [bench.program("check-jsonschema"), "--schemafile", str(SCHEMA), PLAN],
        "yamllint": [bench.program("yamllint"), PLAN],
        VERSION: [bench.program("lampwright"), "--version"],
        BARE: [bench.program("python"), "-c", "pass"],
    }
    turns = Turns()

    def turn() -> None:
        for name, command in commands.items():
            turns.time(name, partial(bench.run, command))

    turns.take(bench.counts, bench.counts.short_runs, turn)
    ours = turns.median(CHECK)
    figures = [
        Figure("one plan, cold", ours, against="yamllint", peer=turns.median("yamllint"), most=1.5),
        Figure("one plan, cold", ours, against="check-jsonschema", peer=turns.median("check-jsonschema"), most=1.0),
        Figure("`--version`", turns.median(VERSION), against=f"`{BARE}`", peer=turns.median(BARE), most=2.5),
    ]
    return Measured(figures, [*turns.table(), "", *_said(_imports(bench, commands[CHECK]))])


def _imports(bench: Bench, command: list[str]) -> Counter[str]:
    """Microseconds that a check spends in each package's own modules while it imports them, at their fastest."""
    fastest: dict[str, int] = {}
    profiled = [bench.program("python"), "-X", "importtime", *command]
    for _ in range(min(PROFILES, bench.counts.short_runs)):
        said = bench.run(profiled).stderr.decode()
        for microseconds, module in re.findall(r"^import time: +(\d+) \| +\d+ \| +(\S+)$", said, re.MULTILINE):
            fastest[module] = min(int(microseconds), fastest.get(module, sys.maxsize))
    packages: Counter[str] = Counter()
    for module, microseconds in fastest.items():
        # Of our own package each floor is shown.
        parts = module.split(".")
        packages[".".join(parts[:2] if parts[0] == "lampwright" else parts[:1])] += microseconds
    return packages


def _said(imports: Counter[str]) -> Iterator[str]:
    yield f"Own time of the {SHOWN_PACKAGES} costliest packages that a check of `{PLAN}` imports, each module at its"
    yield f"fastest; `-X importtime` slows imports down. All imports together: {sum(imports.values()) / 1000:.0f} ms."
    yield ""
    costly = ((name, f"{microseconds / 1000:.1f}") for name, microseconds in imports.most_common(SHOWN_PACKAGES))
    yield from table(("package", "ms"), costly)
