"""What ngspice found for the networks that the tests compare, kept in a file for systems that do not have it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

FILE = Path(__file__).with_name("ngspice.recorded.json")
BENCH = Path(__file__).with_name("ngspice.bench.json")

NETWORKS = 330


@dataclass(frozen=True)
class Recorded:
    """A netlist, and the amperes of its elements and of its supplies together; None if no operating point was found."""

    netlist: str
    currents: list[float] | None


def read(file: Path = FILE) -> tuple[str, list[Recorded]]:
    """The version of ngspice and the networks."""
    data = json.loads(file.read_text("utf-8"))
    return data["ngspice"], [Recorded("\n".join(each["netlist"]) + "\n", each["currents"]) for each in data["networks"]]


def write(version: str, networks: Sequence[Recorded], file: Path = FILE) -> None:
    """A line for each network."""
    lines = ",\n".join(_line(network) for network in networks)
    file.write_text(f'{{"ngspice": {json.dumps(version)}, "networks": [\n{lines}\n]}}\n', "utf-8")


def _line(network: Recorded) -> str:
    # Ten digits are a hundred thousand times what is compared.
    currents = network.currents and [float(f"{amperes:.9e}") for amperes in network.currents]
    return json.dumps({"netlist": network.netlist.splitlines(), "currents": currents}, separators=(",", ":"))
