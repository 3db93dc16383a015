"""The allowances of a file at work: what they excuse, and which of them were of use."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator

from lampwright.diagnostics import Problem
from lampwright.engine.allowances import Allowance, allowances, useless
from lampwright.engine.reaches import Reaches
from lampwright.syntax import Tree, path_at
from lampwright.text import Span

_ITSELF = "useless-allowance"

_Path = tuple[str | int, ...]


class Excuses:
    """Excuses what the comments of one file allow, and remembers which of them a verdict has met."""

    def __init__(self, tree: Tree) -> None:
        self._tree = tree
        self._given, self._misspelt = allowances(tree)
        by_rule: dict[str, list[Allowance]] = defaultdict(list)
        for allowance in self._given:
            by_rule[allowance.rule].append(allowance)
        self._reaches = {rule: Reaches(given) for rule, given in by_rule.items()}
        self._open: dict[str, set[_Path]] = defaultdict(set)
        self._around_open: dict[str, set[_Path]] = defaultdict(set)

    def reason(self, rule: str, place: Span) -> str | None:
        """Why a finding of `rule` at `place` is excused; None if it is not."""
        if rule not in self._reaches or place.source is not self._tree.source:
            return None
        reason = ""
        for reach in self._reaches[rule].around(place):
            reach.is_met = True
            reason = reason or reach.reason
        return reason or None

    def leave_open(self, rule: str, place: Span) -> None:
        """Note that `rule` could not tell at `place`."""
        if rule in self._reaches and place.source is self._tree.source:
            entry = self._entry(place)
            self._open[rule].add(entry)
            self._around_open[rule].update(entry[:length] for length in range(len(entry) + 1))

    def useless(self, rule_names: Collection[str], decided: Collection[str]) -> Iterator[Problem]:
        """A problem for each allowance without a reason, of no such rule, or whose rule found nothing where it reaches.

        `decided` are the rules that could see all of this file and came to a verdict on it.
        """
        yield from self._misspelt
        for allowance in self._given:
            if allowance.rule not in rule_names:
                yield useless(allowance.comment, allowance.span, "unknown", choices=tuple(rule_names))
            elif not allowance.reason:
                yield useless(allowance.comment, allowance.comment.span, "no-reason")
            elif allowance.rule in decided and allowance.rule != _ITSELF and not self._may_be_of_use(allowance):
                yield useless(allowance.comment, allowance.span, "nothing")

    def _may_be_of_use(self, allowance: Allowance) -> bool:
        """Whether the rule said something where the allowance reaches, or could not tell there."""
        rule = allowance.rule
        if allowance.scope is None or self._reaches[rule].of(allowance).is_met:
            return allowance.scope is not None
        entry = self._entry(allowance.scope)
        return entry in self._around_open[rule] or any(
            entry[:length] in self._open[rule] for length in range(len(entry))
        )

    def _entry(self, place: Span) -> _Path:
        """The output, lamp or key that `place` lies in: a rule that cannot tell at one place of it means all of it."""
        return path_at(self._tree, place)[:2]
