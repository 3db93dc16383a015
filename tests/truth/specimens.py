"""The plans with known truth, as plain data in volts, amperes and ohms, and as they are written."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

Span = tuple[float, float]
"""The lowest and the highest value; the usual one is in the middle."""


@dataclass(frozen=True)
class Led:
    """Volts, and amperes; without a wish nothing is too dim."""

    volts: Span
    most: float = 0.020
    wish: float | None = None


@dataclass(frozen=True)
class Bulb:
    """Volts and amperes at its rating."""

    volts: float
    amperes: float


@dataclass(frozen=True)
class Branch:
    """A resistor (ohms; none if zero) with LEDs or one bulb behind it."""

    names: tuple[str, ...]
    lamps: tuple[Led, ...] | Bulb
    ohms: float
    watts: float = 2.0
    tolerance: float = 0.05


@dataclass(frozen=True)
class Output:
    """Branches side by side, and the amperes that the output of the decoder stands, for long and for a moment.

    They return to a rail instead of the common where it says so.
    """

    branches: tuple[Branch, ...]
    limit: float = 0.5
    surge: float = 9.0
    rail: bool = False


@dataclass(frozen=True)
class Entry:
    """One item of `turns-on`: the output, the conditions that all must hold, and the brightness in per cent."""

    output: str
    when: tuple[str, ...] = ()
    brightness: int | None = None


@dataclass(frozen=True)
class Plan:
    """All that such a plan says, in volts and amperes; `keys` are by number."""

    track: Span
    drop: float
    outputs: Mapping[str, Output]
    keys: Mapping[int, tuple[Entry, ...]]
    always: tuple[Entry, ...] = ()
    momentary: frozenset[int] = frozenset()
    motor: float = 0.4
    decoder_limit: float = 3.0
    shell: str = "metal"

    def text(self) -> str:
        """As it is written: JSON, which is YAML in flow style, and so shares nothing with a writer of ours."""
        return json.dumps(self.document(), indent=1) + "\n"

    def document(self) -> dict[str, Any]:
        """The same as plain data."""
        outputs = {
            name: {"number": number, "limit": f"{each.limit * 1e3:.9g} mA", "surge": f"{each.surge * 1e3:.9g} mA"}
            for number, (name, each) in enumerate(self.outputs.items(), 1)
        }
        decoder = {
            "common": {"drop": f"{self.drop:.9g} V"},
            "limits": {"whole-decoder": f"{self.decoder_limit * 1e3:.9g} mA"},
            "keys": {"highest": 28},
            "outputs": outputs,
        }
        keys: dict[str, Any] = {}
        for number, entries in self.keys.items():
            keys[f"F{number}"] = {"turns-on": [_entry(each) for each in entries]}
            if number in self.momentary:
                keys[f"F{number}"]["momentary"] = True
        branches = [branch for each in self.outputs.values() for branch in each.branches]
        return {
            "vehicle": {"name": "Tipper 9", "motor": f"{self.motor * 1e3:.9g} mA", "shell": self.shell},
            "supply": {"track": _span(self.track)},
            "decoder": decoder,
            "lamps": {name: lamp for branch in branches for name, lamp in _lamps(branch)},
            "outputs": {name: _output(each) for name, each in self.outputs.items()},
            "always": [_entry(each) for each in self.always],
            "keys": keys,
        }


def _entry(entry: Entry) -> dict[str, Any]:
    said: dict[str, Any] = {"output": entry.output}
    if entry.when:
        said["when"] = list(entry.when)
    if entry.brightness is not None:
        said["brightness"] = f"{entry.brightness} %"
    return said


def _span(volts: Span) -> str:
    return f"{volts[0]:.9g} V" if volts[0] == volts[1] else f"{volts[0]:.9g} V to {volts[1]:.9g} V"


def _lamps(branch: Branch) -> Iterable[tuple[str, Any]]:
    if isinstance(branch.lamps, Bulb):
        bulb = branch.lamps
        yield branch.names[0], {"bulb": {"voltage": f"{bulb.volts:.9g} V", "current": f"{bulb.amperes * 1e3:.9g} mA"}}
        return
    for name, led in zip(branch.names, branch.lamps, strict=True):
        data = {"forward-voltage": _span(led.volts), "maximum-current": f"{led.most * 1e3:.9g} mA"}
        if led.wish is not None:
            data["current"] = f"{led.wish * 1e3:.9g} mA"
        yield name, {"led": data}


def _output(output: Output) -> dict[str, Any]:
    return {"circuit": _circuit(output), "return": "rail"} if output.rail else {"circuit": _circuit(output)}


def _circuit(output: Output) -> list[Any]:
    rows: list[list[Any]] = []
    for branch in output.branches:
        resistor = {
            "resistor": f"{branch.ohms:.9g} ohm",
            "rating": f"{branch.watts * 1e3:.9g} mW",
            "tolerance": f"{branch.tolerance * 100:.9g} %",
        }
        rows.append(([resistor] if branch.ohms else []) + list(branch.names))
    return rows[0] if len(rows) == 1 else [{"parallel": rows}]
