"""Asks the rules about one file: their verdicts are stamped with rule and level, excused and kept within bounds.

A rule that fails costs what it would have said and nothing else.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping

from lampwright.diagnostics import Failure, Finding, Problem, Undecided
from lampwright.engine.excuses import Excuses
from lampwright.model.settings import Settings
from lampwright.records import dataclass, field, replace
from lampwright.rule import Context, Rule, Verdict
from lampwright.text import Source, Span

MOST_FINDINGS = 100
"""Findings of one rule in one file, and as many that are excused; a last one says how many more there are."""


@dataclass(slots=True)
class Hearing:
    """What the rules said of one file so far. `excuses` are those of each file that a verdict may stand in."""

    source: Source
    excuses: Mapping[Source, Excuses]
    settings: Settings
    raising: bool
    findings: list[Finding] = field(default_factory=list)
    undecided: list[Undecided] = field(default_factory=list)
    failures: list[Failure] = field(default_factory=list)

    def ask(self, rule: Rule, context: Context) -> None:
        """Hear `rule`. If it fails, that is noted, or with `raising` let out."""
        try:
            self._hear(rule, context)
        except Exception as error:
            if self.raising:
                raise
            self.failures.append(Failure(rule.name, self.source.name, f"{type(error).__name__}: {error}"))

    def _hear(self, rule: Rule, context: Context) -> None:
        more: Counter[bool] | None = None
        if rule.words_problems:
            count = len(context.problems_of(rule.name))
            if count == 0:
                return
            if count > MOST_FINDINGS:
                context, more = self._bounded(rule, context)
        verdicts = context.hear(rule.judge)
        # Most rules have nothing to say.
        if verdicts:
            self._take(rule, verdicts, more or Counter())

    def _take(self, rule: Rule, verdicts: Iterable[Verdict], more: Counter[bool]) -> None:
        """`more` is how many open and excused findings nobody has worded."""
        shown: Counter[bool] = Counter()
        left_out: dict[bool, tuple[Finding, str | None]] = {}
        for verdict in verdicts:
            if isinstance(verdict, Undecided):
                self._leave_open(rule, verdict)
                continue
            reason = self._reason(rule, verdict.span)
            is_open = reason is None
            if shown[is_open] < MOST_FINDINGS:
                shown[is_open] += 1
                self._find(rule, verdict, reason)
            else:
                more[is_open] += 1
                left_out.setdefault(is_open, (verdict, reason))
        for is_open, (first, reason) in left_out.items():
            message = f"and {more[is_open]} more of {rule.name} in this file"
            self._find(rule, Finding(first.span, message, ceiling=first.ceiling), reason)

    def _bounded(self, rule: Rule, context: Context) -> tuple[Context, Counter[bool]]:
        """`context` without the problems that `rule` need not word, and how many open and excused ones that leaves out.

        They are counted, not worded: two hundred thousand sentences would take seconds.
        """
        more: Counter[bool] = Counter()
        kept: dict[bool, list[Problem]] = {True: [], False: []}
        for problem in context.problems_of(rule.name):
            is_open = self._reason(rule, problem.span) is None
            # One more than is shown, since it has the place where the rest begins.
            if len(kept[is_open]) <= MOST_FINDINGS:
                kept[is_open].append(problem)
            else:
                more[is_open] += 1
        others = (problem for problem in context.problems if problem.kind != rule.name)
        return replace(context, problems=(*others, *kept[True], *kept[False])), more

    def _find(self, rule: Rule, finding: Finding, reason: str | None) -> None:
        level = self.settings.levels.get(rule.name, rule.level)
        assert level is not None
        level = level if finding.ceiling is None else min(level, finding.ceiling)
        self.findings.append(finding.stamped(rule.name, level, reason))

    def _leave_open(self, rule: Rule, undecided: Undecided) -> None:
        self.undecided.append(Undecided(undecided.span, undecided.lacks, rule.name))
        excuses = self.excuses.get(undecided.span.source)
        if excuses is not None:
            excuses.leave_open(rule.name, undecided.span)

    def _reason(self, rule: Rule, place: Span) -> str | None:
        excuses = self.excuses.get(place.source)
        return excuses.reason(rule.name, place) if excuses is not None else None
