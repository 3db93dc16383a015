"""A reduced ordered binary decision diagram: formulas become numbers, and two that agree everywhere the same number.

Knows numbered variables and no lamps. Its owner sets how many steps a question may take; there is no other clock.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import NewType

Formula = NewType("Formula", int)

TRUE = Formula(0)
FALSE = Formula(1)

_Way = tuple[int, tuple[int, ...]]


class OutOfStepsError(Exception):
    """The question takes more steps than it was given; the answer is that it is not decided."""


class Diagram:
    """Formulas over the variables 0, 1, ... of `prices`: what being false costs and being true, one of them nothing.

    A formula is twice the index of a node, plus one where it is the opposite of that node, so that negation is free.
    A node tests one variable and its branches test later ones only, so nothing here recurses deeper than the variables.
    What a step brought is remembered for one question, so that its steps do not depend on what was asked before.
    """

    def __init__(self, prices: Sequence[tuple[int, int]]) -> None:
        self.prices = prices
        self.steps_left = 0
        # Node 0 is the constant; its variable comes after all others, so that it is never the one to branch on.
        self._variables = [len(prices)]
        self._branches: list[tuple[int, int]] = [(TRUE, TRUE)]
        self._nodes: dict[tuple[int, int, int], int] = {}
        self._conjunctions: dict[tuple[int, int], int] = {}
        self._remainders: dict[tuple[int, int, int], int] = {}
        # These two are kept and cost no steps, as each looks once in all at a node that was made in a step of its own.
        self._ways: dict[int, _Way] = {TRUE: (0, ())}
        self._supports = {0: 0}

    def begin(self, steps: int) -> None:
        """Start a question that may take `steps` steps."""
        self.steps_left = steps
        self._conjunctions.clear()
        self._remainders.clear()

    @property
    def is_empty(self) -> bool:
        """Whether it has nothing but the constants."""
        return len(self._variables) == 1

    def take_over(self, other: Diagram) -> None:
        """Begin with all formulas of `other`, which stays as it is; this one is empty."""
        self._variables = other._variables.copy()
        self._branches = other._branches.copy()
        self._nodes = other._nodes.copy()

    def step(self, steps: int = 1) -> None:
        """Take so many steps. Raises OutOfStepsError if there are not as many left."""
        if self.steps_left < steps:
            raise OutOfStepsError
        self.steps_left -= steps

    def variable(self, number: int) -> Formula:
        """True exactly when variable `number` is. Raises OutOfStepsError."""
        self.step()
        return Formula(self._node(number, FALSE, TRUE))

    def negation(self, formula: Formula) -> Formula:
        """True exactly when `formula` is not."""
        return Formula(formula ^ 1)

    def conjunction(self, formulas: Iterable[Formula]) -> Formula:
        """True when each of `formulas` is; true when there is none. Raises OutOfStepsError."""
        result: int = TRUE
        for formula in formulas:
            result = self._both(result, formula)
        return Formula(result)

    def disjunction(self, formulas: Iterable[Formula]) -> Formula:
        """True when at least one of `formulas` is; false when there is none. Raises OutOfStepsError."""
        return self.negation(self.conjunction(self.negation(formula) for formula in formulas))

    def cheapest(self, formulas: Iterable[Formula]) -> tuple[int, ...] | None:
        """The cheapest assignment in which all `formulas` hold, None if there is none. Raises OutOfStepsError.

        It is given by the variables that are not at their free value; of equally cheap ones the first in order wins.
        """
        formula = self.conjunction(formulas)
        return None if formula == FALSE else self.way(formula)[1]

    def way(self, formula: Formula) -> tuple[int, tuple[int, ...]]:
        """What the cheapest assignment costs in which `formula`, which is not false, holds, and what it pays for."""
        return self._way(formula)

    def holds(self, formula: Formula, paid: Collection[int]) -> bool:
        """Whether `formula` is true when exactly the variables `paid` are not at their free value."""
        at: int = formula
        while at > 1:
            variable = self._variables[at >> 1]
            free = self.prices[variable].index(0)
            at = self._opened(at)[1 - free if variable in paid else free]
        return at == TRUE

    def support(self, formula: Formula) -> int:
        """The variables on which `formula` depends, as a set of bits."""
        return self._support(formula >> 1)

    def given(self, formula: Formula, variable: int, value: int) -> Formula:
        """What is left of `formula` once `variable` has `value`, 0 for false and 1 for true. Raises OutOfStepsError."""
        return Formula(self._given(formula, variable, value))

    def first(self, formula: Formula) -> int:
        """The first variable on which `formula` depends; for one that depends on none a number after all variables."""
        return self._variables[formula >> 1]

    def halves(self, formula: Formula, variable: int) -> tuple[Formula, Formula]:
        """What is left of `formula` once `variable` is false, and once it is true; it depends on no earlier one."""
        low, high = self._opened(formula) if self._variables[formula >> 1] == variable else (formula, formula)
        return Formula(low), Formula(high)

    def joined(self, variable: int, low: Formula, high: Formula) -> Formula:
        """What has these halves, neither of which depends on `variable` or an earlier one. Raises OutOfStepsError."""
        self.step()
        return Formula(self._node(variable, low, high))

    def _node(self, variable: int, low: int, high: int) -> int:
        if low == high:
            return low
        # The branch for true is never an opposite one: of a node and its negation only one is kept.
        opposite = high & 1
        key = (variable, low ^ opposite, high ^ opposite)
        index = self._nodes.get(key)
        if index is None:
            index = self._nodes[key] = len(self._variables)
            self._variables.append(variable)
            self._branches.append(key[1:])
        return index << 1 | opposite

    def _opened(self, formula: int) -> tuple[int, int]:
        """What is left of `formula` once the variable that it tests is false, and once it is true."""
        low, high = self._branches[formula >> 1]
        return (low ^ 1, high ^ 1) if formula & 1 else (low, high)

    def _both(self, left: int, right: int) -> int:
        # The constants are the smallest of all, and a formula and its negation differ by one bit.
        pair = left, right = (left, right) if left <= right else (right, left)
        if left == TRUE:
            return right
        if left == FALSE or left ^ right == 1:
            return FALSE
        if left == right:
            return left
        known = self._conjunctions.get(pair)
        if known is not None:
            return known
        self.step()
        tests_left, tests_right = self._variables[left >> 1], self._variables[right >> 1]
        low_left, high_left = self._opened(left) if tests_left <= tests_right else (left, left)
        low_right, high_right = self._opened(right) if tests_right <= tests_left else (right, right)
        low, high = self._both(low_left, low_right), self._both(high_left, high_right)
        result = self._conjunctions[pair] = self._node(min(tests_left, tests_right), low, high)
        return result

    def _way(self, formula: int) -> _Way:
        """The price of the cheapest assignment in which `formula`, which is not false, holds, and what it pays for."""
        known = self._ways.get(formula)
        if known is not None:
            return known
        variable = self._variables[formula >> 1]
        ways = []
        for rest, price in zip(self._opened(formula), self.prices[variable], strict=True):
            if rest != FALSE:
                total, paid = self._way(rest)
                ways.append((total + price, (variable, *paid) if price else paid))
        best = self._ways[formula] = min(ways)
        return best

    def _support(self, index: int) -> int:
        known = self._supports.get(index)
        if known is None:
            low, high = self._branches[index]
            known = 1 << self._variables[index] | self._support(low >> 1) | self._support(high >> 1)
            self._supports[index] = known
        return known

    def _given(self, formula: int, variable: int, value: int) -> int:
        tested = self._variables[formula >> 1]
        if tested >= variable:
            return self._opened(formula)[value] if tested == variable else formula
        key = (formula, variable, value)
        known = self._remainders.get(key)
        if known is not None:
            return known
        self.step()
        low, high = self._opened(formula)
        result = self._node(tested, self._given(low, variable, value), self._given(high, variable, value))
        self._remainders[key] = result
        return result
