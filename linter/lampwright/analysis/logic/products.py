"""Takes formulas apart: by marks into pieces that exclude each other, and into products whose sum they are.

A product is a condition that people can read at a glance. Knows numbered variables and no lamps.
"""

from __future__ import annotations

from collections.abc import Sequence

from lampwright.analysis.logic.decision import FALSE, TRUE, Diagram, Formula

Product = tuple[tuple[int, bool], ...]
"""Variables in their order, each with the value that it must have; the empty one always holds."""

_Cover = tuple[tuple[Product, ...], Formula]
"""Some products and their sum."""


def pieces(diagram: Diagram, formula: Formula, marks: Sequence[Formula]) -> list[tuple[tuple[int, ...], Formula]]:
    """The pieces into which `marks` cut `formula`, none of them empty: the numbers of the marks that hold, and where.

    Raises OutOfStepsError.
    """
    found: list[tuple[tuple[int, ...], Formula]] = [((), formula)] if formula != FALSE else []
    for number, mark in enumerate(marks):
        cut = []
        for held, piece in found:
            diagram.step()
            cut.append((held, diagram.conjunction([piece, diagram.negation(mark)])))
            cut.append(((*held, number), diagram.conjunction([piece, mark])))
        found = [(held, piece) for held, piece in cut if piece != FALSE]
    return found


def irredundant(diagram: Diagram, formula: Formula) -> tuple[Product, ...]:
    """Products whose sum is `formula`: none can be left out, and no variable of any. Raises OutOfStepsError.

    By the usual recursion over a diagram (from memory; the tests hold it against brute force). Which products they are
    and their order depend on nothing but `formula`.
    """
    products, _ = _Search(diagram).between(formula, formula)
    return tuple(sorted(products, key=lambda product: [(variable, not value) for variable, value in product]))


class _Search:
    def __init__(self, diagram: Diagram) -> None:
        self._diagram = diagram
        self._known: dict[tuple[Formula, Formula], _Cover] = {}

    def between(self, least: Formula, most: Formula) -> _Cover:
        """Products whose sum holds wherever `least` does, and only where `most` does."""
        if least == FALSE:
            return (), FALSE
        if most == TRUE:
            return ((),), TRUE
        known = self._known.get((least, most))
        if known is None:
            known = self._known[least, most] = self._split(least, most)
        return known

    def _split(self, least: Formula, most: Formula) -> _Cover:
        diagram = self._diagram
        variable = min(diagram.first(least), diagram.first(most))
        least_low, least_high = diagram.halves(least, variable)
        most_low, most_high = diagram.halves(most, variable)
        # Only what may hold in one half and must not in the other has to name the variable.
        low, sum_low = self.between(self._without(least_low, most_high), most_low)
        high, sum_high = self.between(self._without(least_high, most_low), most_high)
        rest = diagram.disjunction([self._without(least_low, sum_low), self._without(least_high, sum_high)])
        both, sum_both = self.between(rest, diagram.conjunction([most_low, most_high]))
        # What is long to write down takes its time as well.
        diagram.step(len(low) + len(high) + len(both))
        named = [((variable, value), *product) for value, half in ((False, low), (True, high)) for product in half]
        halves = (diagram.disjunction([each, sum_both]) for each in (sum_low, sum_high))
        return (*named, *both), diagram.joined(variable, *halves)

    def _without(self, formula: Formula, other: Formula) -> Formula:
        return self._diagram.conjunction([formula, self._diagram.negation(other)])
