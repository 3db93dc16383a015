"""Notes what is found while a file is lowered: names that are not defined, figures that contradict each other."""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Set as AbstractSet
from typing import Any

from lampwright.diagnostics import Problem
from lampwright.plan.names import fault_of_name
from lampwright.plan.quantities import Measured
from lampwright.plan.words import Word
from lampwright.text import Span, nearest
from lampwright.units import Dimension

# Comparing names is slow; nobody reads of more than this many unknown ones of one file.
_MOST_COMPARED = 101
_DEFINED = ("lamp", "part", "output", "effect")


class Notes:
    """Collects the problems of one file while it is lowered."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []
        self._strangers = 0

    def report(self, kind: str, span: Span, **data: Any) -> None:
        """Note a problem."""
        self.problems.append(Problem(kind, span, data))

    def unknown(self, what: str, word: Word, choices: Iterable[str]) -> None:
        """Note that `word` names no `what`; `choices` are those that exist, a set in the order of the alphabet.

        Nothing is said where one of them is near and has a faulty name: that was said where it is defined.
        """
        self._strangers += 1
        if self._strangers > _MOST_COMPARED:
            choices = ()
        choices = tuple(sorted(choices) if isinstance(choices, AbstractSet) else choices)
        defined = choices[:_MOST_COMPARED] if what in _DEFINED else ()
        faulty = [choice for choice in defined if fault_of_name(choice) is not None]
        if nearest(word.text, faulty):
            return
        self.report("unknown-name", word.span, what=what, written=word.text, choices=choices)

    def at_most(self, figure: Measured | None, limit: Measured | None, dimension: Dimension) -> bool:
        """Whether a figure is not above another one that it cannot exceed; else that is noted."""
        if figure is None or limit is None or figure.usual <= limit.usual:
            return True
        self._implausible(figure, 0.0, limit.usual, dimension)
        return False

    def at_least(self, figure: Measured | None, limit: Measured | None, dimension: Dimension) -> None:
        """The same for one that cannot lie below another one."""
        if figure is not None and limit is not None and figure.usual < limit.usual:
            self._implausible(figure, limit.usual, figure.usual, dimension)

    def _implausible(self, figure: Measured, lowest: float, highest: float, dimension: Dimension) -> None:
        data = {"value": figure.usual, "lowest": lowest, "highest": highest, "dimension": dimension}
        self.report("implausible-value", figure.span, **data)
