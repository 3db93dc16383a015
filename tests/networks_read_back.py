"""Networks that were read back from a picture: what they resist from end to end, and what the circuit should."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from itertools import count

import numpy as np

from lampwright.model.circuit import Chain, Element, Parallel

Branch = tuple[Hashable, Hashable, float]
"""The two nodes that an element joins, and its ohms."""


def effective_resistance(branches: Sequence[Branch], left: Hashable, right: Hashable) -> float:
    """Ohms between two nodes, by Kirchhoff's current law as a matrix."""
    if left == right:
        return 0.0
    nodes = list(dict.fromkeys([left, right, *(node for one, other, _ in branches for node in (one, other))]))
    number = {node: place for place, node in enumerate(nodes)}
    matrix = np.zeros((len(nodes), len(nodes)))
    for one, other, ohms in branches:
        a, b = number[one], number[other]
        for row, column, sign in ((a, a, 1), (b, b, 1), (a, b, -1), (b, a, -1)):
            matrix[row, column] += sign / ohms
    kept = [place for node, place in number.items() if node != right]
    injected = np.zeros(len(kept))
    injected[kept.index(number[left])] = 1.0
    volts = np.linalg.solve(matrix[np.ix_(kept, kept)], injected)
    return float(volts[kept.index(number[left])])


def folded_resistance(circuit: Chain, ohms: Sequence[float]) -> float:
    """The same by the circuit, folded from the inside; its elements have these `ohms` in reading order."""
    numbers = count()

    def folded(element: Element) -> float:
        match element:
            case Chain(elements=parts):
                return sum(map(folded, parts))
            case Parallel(branches=branches):
                return 1 / sum(1 / folded(branch) for branch in branches)
        return ohms[next(numbers)]

    return folded(circuit)
