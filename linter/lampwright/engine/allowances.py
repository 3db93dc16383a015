"""Comments that excuse findings: which they are, what they excuse, and which of them are of no use."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace

from lampwright.diagnostics import Finding, Problem, Undecided
from lampwright.syntax import Comment, Tree, scope_below
from lampwright.text import Span, nearest

_DIRECTIVE = re.compile(r"#\s*lampwright\s*:\s*(?P<verb>[A-Za-z]\w*)\b(?P<names>[^#]*?)(?:\s--(?P<reason>.*))?$")
_ITSELF = "useless-allowance"
_NAME = re.compile(r"[^\s,]+")


@dataclass(frozen=True, slots=True)
class Allowance:
    """One rule that one comment excuses. `span` is the rule's name in the comment.

    `line` is the line it speaks of; an allowance on a line of its own has a `scope` instead (None: nothing below it).
    """

    comment: Comment
    span: Span
    rule: str
    reason: str
    line: int | None
    scope: Span | None

    def covers(self, place: Span) -> bool:
        """Whether a finding at `place` lies in what this allowance speaks of."""
        if self.line is not None:
            return place.source.position(place.start).line == self.line
        return self.scope is not None and self.scope.start <= place.start < max(self.scope.end, self.scope.start + 1)


def allowances(tree: Tree) -> tuple[tuple[Allowance, ...], tuple[Problem, ...]]:
    """All allowances of a file, and the comments that were probably meant to be one."""
    found: list[Allowance] = []
    problems: list[Problem] = []
    for comment in tree.comments:
        match = _DIRECTIVE.match(comment.span.text)
        if match is None:
            continue
        if match["verb"] != "allow":
            if nearest(match["verb"], ["allow"]):
                problems.append(_useless(comment, comment.span.part(*match.span("verb")), "verb"))
            continue
        named = list(_allowances_of(tree, comment, match))
        found += named
        if not named:
            problems.append(_useless(comment, comment.span, "no-rule"))
    return tuple(found), tuple(problems)


def _allowances_of(tree: Tree, comment: Comment, match: re.Match[str]) -> Iterator[Allowance]:
    start = match.start("names")
    for name in _NAME.finditer(match["names"]):
        span = comment.span.part(start + name.start(), start + name.end())
        line = None if comment.own_line else comment.span.source.position(comment.span.start).line
        scope = scope_below(tree, comment) if comment.own_line else None
        yield Allowance(comment, span, name[0], (match["reason"] or "").strip(), line, scope)


def excuse(findings: list[Finding], given: tuple[Allowance, ...]) -> list[Finding]:
    """The same findings, those that an allowance with a reason covers marked with it."""

    def marked(finding: Finding) -> Finding:
        for allowance in given:
            if allowance.rule == finding.rule and allowance.reason and allowance.covers(finding.span):
                return replace(finding, allowed=allowance.reason)
        return finding

    return [marked(finding) for finding in findings] if given else findings


def useless(
    given: tuple[Allowance, ...],
    findings: list[Finding],
    undecided: list[Undecided],
    rule_names: tuple[str, ...],
    decided: Collection[str],
) -> Iterator[Problem]:
    """A problem for each allowance without a reason, of no such rule, or whose rule found nothing in its scope.

    `decided` are the rules that could see all of this file and came to a verdict on it.
    """
    verdicts: list[Finding | Undecided] = [*findings, *undecided]
    for allowance in given:
        if allowance.rule not in rule_names:
            yield _useless(allowance.comment, allowance.span, "unknown", choices=rule_names)
        elif not allowance.reason:
            yield _useless(allowance.comment, allowance.comment.span, "no-reason")
        elif (
            allowance.rule in decided
            and allowance.rule != _ITSELF
            and not any(verdict.rule == allowance.rule and allowance.covers(verdict.span) for verdict in verdicts)
        ):
            yield _useless(allowance.comment, allowance.span, "nothing")


def _useless(comment: Comment, span: Span, reason: str, **data: object) -> Problem:
    return Problem("useless-allowance", span, {"reason": reason, "comment": comment, **data})
