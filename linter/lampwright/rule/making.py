"""What a rule is: a name, a level, a page and one generator over a `Context`. Knows no rule.

A rule reads facts and yields findings or what it cannot decide; it opens nothing, prints nothing and knows no other.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator

from lampwright.diagnostics import Finding, Severity, Undecided
from lampwright.fleet import Fleet
from lampwright.records import dataclass

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from lampwright.rule.context import Context

    Judge = Callable[[Context], Iterator["Verdict"]]

Verdict = Finding | Undecided
FleetJudge = Callable[[Fleet], Iterator[Finding]]


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule. `level` is the highest that its findings can have unless the settings say otherwise.

    One that `words_problems` has nothing to say where there is no problem of its name. One `of_fleet` judges a card
    among all others; of a single plan it says nothing.
    """

    name: str
    level: Severity
    judge: Judge
    needs_plan: bool
    has_fix: bool
    words_problems: bool = False
    of_fleet: FleetJudge | None = None

    @property
    def page(self) -> str:
        """The user's page: the docstring of the rule's file."""
        return sys.modules[self.judge.__module__].__doc__ or ""

    @property
    def summary(self) -> str:
        """The first sentence of the page."""
        return self.page.strip().split("\n\n", 1)[0].replace("\n", " ")


def rule(
    level: Severity, *, needs_plan: bool = False, has_fix: bool = False, words_problems: bool = False
) -> Callable[[Judge], Rule]:
    """Make a rule of a generator function; its name with hyphens is the rule's.

    `needs_plan`: only asked where there is a lighting plan. `has_fix`: its page shows what Fixed looks like.
    `words_problems`: only asked where there is a problem of its name.
    """

    def make(judge: Judge) -> Rule:
        return Rule(judge.__name__.replace("_", "-"), level, judge, needs_plan, has_fix, words_problems)

    return make


def fleet_rule(level: Severity) -> Callable[[FleetJudge], Rule]:
    """Make a rule of a generator function that looks at the cards of many plans; each finding is at one of
    their spots.
    """

    def make(of_fleet: FleetJudge) -> Rule:
        def says_nothing(_: Context) -> Iterator[Verdict]:
            return iter(())

        says_nothing.__module__ = of_fleet.__module__
        says_nothing.__name__ = of_fleet.__name__
        return Rule(
            of_fleet.__name__.replace("_", "-"), level, says_nothing, needs_plan=True, has_fix=False, of_fleet=of_fleet
        )

    return make
