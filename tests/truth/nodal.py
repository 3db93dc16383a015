"""Circuits between two rails while their output is off: Kirchhoff's current law at each node, solved with SciPy.

Junctions are bent lines: forwards they need their forward voltage and then have ten ohms; backwards, and below that
voltage, they leak. How much is anybody's guess, so as little as is said here, which leaves most volts for an LED; a
plain diode leaks a thousandth of that, as those of data sheets do.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import count

from scipy.sparse import lil_matrix
from scipy.sparse.linalg import spsolve

FORWARD_OHMS, BELOW, LED_BACKWARDS, DIODE_BACKWARDS = 10.0, 1e-6, 1e-9, 1e-12
"""Ohms, then the conductances of leaks."""

CLOSE = 1e-7
"""Volts between two steps of which the second is as good as the first."""


@dataclass(frozen=True)
class Part:
    """An element from one node to another: ohms, or the forward voltage of a junction. The name is that of a lamp."""

    name: str
    ohms: float | None = None
    forward: float | None = None
    is_diode: bool = False
    turned: bool = False


@dataclass(frozen=True)
class Row:
    """Parts in series, and rows side by side among them, from the common, or from a rail where it says so."""

    parts: tuple[Part | tuple[Row, ...], ...]
    rail: bool = False


@dataclass(frozen=True)
class Placed:
    """A part between two nodes by their numbers."""

    part: Part
    start: int
    end: int


COMMON, RAIL, OUTPUT = 0, 1, 2


def placed(row: Row) -> list[Placed]:
    """The parts of a circuit between its nodes: the common, a rail, the output, and those inside."""
    numbers, found = count(3), []

    def walk(row: Row, start: int, end: int) -> None:
        at = RAIL if row.rail else start
        for index, part in enumerate(row.parts):
            following = end if index == len(row.parts) - 1 else next(numbers)
            if isinstance(part, Part):
                found.append(Placed(part, following, at) if part.turned else Placed(part, at, following))
            else:
                for each in part:
                    walk(each, at, following)
            at = following

    walk(row, COMMON, OUTPUT)
    return found


def _line(part: Part, volts: float) -> tuple[float, float]:
    """The straight piece that holds at `volts`: siemens, and amperes at none."""
    if part.ohms is not None:
        return 1 / part.ohms, 0.0
    assert part.forward is not None
    if volts < 0:
        return (DIODE_BACKWARDS if part.is_diode else LED_BACKWARDS), 0.0
    if volts < part.forward:
        return BELOW, 0.0
    return 1 / FORWARD_OHMS, BELOW * part.forward - part.forward / FORWARD_OHMS


def potentials(parts: Sequence[Placed], fixed: Mapping[int, float]) -> dict[int, float]:
    """Volts of each node, where those that are `fixed` are known as far as they are there, by Newton's method."""
    nodes = sorted({node for each in parts for node in (each.start, each.end)})
    fixed = {node: volts for node, volts in fixed.items() if node in nodes}
    free = {node: index for index, node in enumerate(node for node in nodes if node not in fixed)}
    at = {node: fixed.get(node, sum(fixed.values()) / len(fixed)) for node in nodes}
    for step in range(1, 200):
        lines = [_line(each.part, at[each.start] - at[each.end]) for each in parts]
        matrix, right = lil_matrix((len(free), len(free))), [0.0] * len(free)
        for each, (siemens, amperes) in zip(parts, lines, strict=True):
            for node, other, sign in ((each.start, each.end, 1), (each.end, each.start, -1)):
                if node in free:
                    matrix[free[node], free[node]] += siemens
                    right[free[node]] -= sign * amperes
                    if other in free:
                        matrix[free[node], free[other]] -= siemens
                    else:
                        right[free[node]] += siemens * fixed[other]
        solved = spsolve(matrix.tocsr(), right) if free else []
        after = {node: float(solved[free[node]]) if node in free else fixed[node] for node in nodes}
        if all(abs(after[node] - at[node]) < CLOSE for node in nodes):
            return after
        # Halfway only, now and then, so that two junctions do not take turns for ever.
        at = after if step % 3 else {node: (after[node] + at[node]) / 2 for node in nodes}
    raise AssertionError("the steps do not come to an end")


def amperes(each: Placed, at: Mapping[int, float]) -> float:
    """What flows through a part, forwards."""
    siemens, more = _line(each.part, volts := at[each.start] - at[each.end])
    return siemens * volts + more
