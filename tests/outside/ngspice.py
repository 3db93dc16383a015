"""Runs the circuit simulator ngspice on netlists and reads the currents that its ammeters measure."""

from __future__ import annotations

import re
import shutil
import subprocess
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

PROGRAM = "ngspice"

OPTIONS = """\
.options reltol=1e-6 abstol=1e-14 vntol=1e-9 gmin=1e-15
.options temp=27 tnom=27 epsmin=1e-300 itl1=1000
"""
"""Without `epsmin` the diode model raises every saturation current to 1e-28 A, which is more than that of some LEDs.

`itl1` are the rounds of Newton's method.
"""

SHUNTS = (1e14, 1e13, 1e12)
"""Ohms from each node to ground, tried in turn until there is an operating point.

Without them one in thirty networks has none: behind LEDs that stay dark nodes hang in the air. At 20 V the first let
0.2 pA through at each node, a five thousandth of what currents may differ by.
"""

BATCH = 200
"""Networks for one run of the simulator, each with an operating point of its own."""


def is_installed() -> bool:
    return shutil.which(PROGRAM) is not None


def version() -> str:
    said = subprocess.run([PROGRAM, "--version"], capture_output=True, text=True, check=True).stdout
    found = re.search(r"ngspice-(\S+)", said)
    assert found, said
    return found[1]


def operating_points(netlists: Sequence[str]) -> Iterator[list[float] | None]:
    """Amperes of each network's elements in reading order, and of its supplies together.

    None where the simulator finds no operating point.
    """
    for first in range(0, len(netlists), BATCH):
        yield from _batch(netlists[first : first + BATCH])


def _batch(netlists: Sequence[str]) -> list[list[float] | None]:
    found: list[list[float] | None] = [None] * len(netlists)
    for shunt in SHUNTS:
        unsolved = [place for place, currents in enumerate(found) if currents is None]
        answers = _answers([netlists[place] for place in unsolved], shunt)
        for place, currents in zip(unsolved, answers, strict=True):
            found[place] = currents
    return found


def _answers(netlists: Sequence[str], shunt: float) -> Iterator[list[float] | None]:
    if not netlists:
        return
    with tempfile.TemporaryDirectory(prefix="lampwright-ngspice-") as name:
        said = run(write(Path(name), netlists, shunt))
    # Each network is announced by its number; what was printed before the first is no network.
    announced = re.split(r"^network \d+$", said, flags=re.MULTILINE)[1:]
    assert len(announced) == len(netlists), said
    for cards, text in zip(netlists, announced, strict=True):
        measured = dict(re.findall(r"^(v\w+)#branch = (\S+)$", text, re.MULTILINE))
        yield _currents(cards, {name: float(amperes) for name, amperes in measured.items()}) if measured else None


def _currents(cards: str, measured: dict[str, float]) -> list[float]:
    # What flows out of a supply counts as negative.
    supplied = -measured["vcommon"] - measured["vrail"]
    return [*(measured[ammeter] for ammeter in re.findall(r"^va\d+", cards, re.MULTILINE)), supplied]


def write(folder: Path, netlists: Sequence[str], shunt: float = SHUNTS[0]) -> Path:
    """A file for each network, and the one that runs them all."""
    commands = ["operating points", ".control", "set numdgt=15"]
    for place, cards in enumerate(netlists):
        deck = folder / f"{place}.cir"
        deck.write_text(f"network\n{OPTIONS}.options rshunt={shunt:g}\n{cards}.end\n", "ascii")
        commands += [f"echo network {place}", f"source {deck}", "op", "print all", "remcirc", "destroy all"]
    control = folder / "all.cir"
    control.write_text("\n".join([*commands, "quit", ".endc", ".end", ""]), "ascii")
    return control


def run(control: Path) -> str:
    """What the simulator prints, without the settings of whoever runs it."""
    command = [PROGRAM, "-n", "-b", str(control)]
    return subprocess.run(command, cwd=control.parent, capture_output=True, text=True, check=True).stdout
